/**
 * Mouse, pen and fingers on the stage. A drag and a tap lead to the same verbs of the hand; two fingers always zoom.
 *
 * @typedef {import('./measure.js').Point} Point
 * @typedef {{kind: 'handle'|'place'|'pan'|'pinch', start: Point, last: Point, moved: boolean, slack: number, offset?: Point}} Gesture
 */

/** How far a pointer may move and still be a tap, CSS pixels. */
const SLACK = { mouse: 3, pen: 5, touch: 8 };
const DRAWN_BY_DRAG = ['length', 'angle', 'scale'];

export class Pointer {
  /** @type {Map<number, Point>} where each finger is */
  #fingers = new Map();
  /** @type {Gesture|null} */
  #gesture = null;

  /**
   * @param {HTMLElement} stage
   * @param {import('./view.js').View} view
   * @param {import('./hand.js').Hand} hand
   * @param {import('./loupe.js').Loupe} loupe
   */
  constructor(stage, view, hand, loupe) {
    Object.assign(this, { stage, view, hand, loupe });
    stage.addEventListener('pointerdown', (event) => this.#down(event));
    stage.addEventListener('pointermove', (event) => this.#move(event));
    stage.addEventListener('pointerup', (event) => this.#up(event));
    stage.addEventListener('pointercancel', (event) => this.#lose(event));
    stage.addEventListener('pointerleave', () => { if (!this.#fingers.size && !hand.tool) hand.aim(null); });
    stage.addEventListener('wheel', (event) => this.#wheel(event), { passive: false });
    // Two fingers are ours; one still scrolls the page where touch-action lets it.
    stage.addEventListener('touchstart', (event) => { if (event.touches.length > 1) event.preventDefault(); }, { passive: false });
  }

  /** @returns {Point} stage pixels */
  #at({ clientX, clientY }) {
    const { left, top } = this.stage.getBoundingClientRect();
    return [clientX - left, clientY - top];
  }

  #down(event) {
    if (event.pointerType === 'mouse' && event.button > 1) return;
    const here = this.#at(event);
    this.#fingers.set(event.pointerId, here);
    this.stage.setPointerCapture(event.pointerId);
    const gesture = { start: here, last: here, moved: false, slack: SLACK[event.pointerType] ?? 5 };
    if (this.#fingers.size > 1) {
      this.#gesture = { ...gesture, kind: 'pinch' };
      this.loupe.hide();
      return;
    }
    const handle = event.target.closest('[data-pin]');
    if (handle && !this.hand.tool && !this.stage.classList.contains('v-fixed')) {
      const [pin, index] = [Number(handle.dataset.pin), Number(handle.dataset.index)];
      const grip = this.view.toStage(this.hand.marks.find(pin).points[index]);
      this.#gesture = { ...gesture, kind: 'handle', offset: [grip[0] - here[0], grip[1] - here[1]] };
      this.hand.choose(pin, index);
      return;
    }
    this.#gesture = { ...gesture, kind: this.hand.tool && event.button === 0 ? 'place' : 'pan' };
    if (this.#gesture.kind === 'place') this.#magnify(event, this.view.toFilm(here));
  }

  #move(event) {
    const here = this.#at(event);
    if (!this.#fingers.has(event.pointerId)) {
      if (event.pointerType !== 'touch') this.hand.aim(this.view.toFilm(here));
      return;
    }
    const before = [...this.#fingers.values()].slice(0, 2);
    this.#fingers.set(event.pointerId, here);
    const gesture = this.#gesture;
    if (!gesture) return;
    if (gesture.kind === 'pinch') {
      if (before.length > 1) this.#pinch(before, [...this.#fingers.values()].slice(0, 2));
      return;
    }
    if (!gesture.moved && Math.hypot(here[0] - gesture.start[0], here[1] - gesture.start[1]) < gesture.slack) return;
    if (!gesture.moved && gesture.kind === 'place' && !this.hand.pending.length && DRAWN_BY_DRAG.includes(this.hand.tool)) {
      this.hand.place(this.view.toFilm(gesture.start));
    }
    gesture.moved = true;
    this.#drag(event, gesture, here);
    gesture.last = here;
  }

  #drag(event, gesture, here) {
    if (gesture.kind === 'pan') {
      this.view.panBy(here[0] - gesture.last[0], here[1] - gesture.last[1]);
      return;
    }
    const [dx, dy] = gesture.offset ?? [0, 0];
    const point = this.view.toFilm([here[0] + dx, here[1] + dy]);
    if (gesture.kind === 'handle') this.hand.drag(point);
    else this.hand.aim(point);
    this.#magnify(event, point);
  }

  #up(event) {
    const gesture = this.#gesture;
    if (!this.#lose(event) || !gesture) return;
    if (gesture.kind === 'place') this.hand.place(this.view.toFilm(this.#at(event)));
    if (gesture.kind === 'pan' && !gesture.moved && this.hand.chosen) this.hand.back();
  }

  /** @returns {boolean} whether the finger was one of ours */
  #lose(event) {
    if (!this.#fingers.delete(event.pointerId)) return false;
    if (!this.#fingers.size) this.#gesture = null;
    this.loupe.hide();
    return true;
  }

  #pinch([a, b], [c, d]) {
    const middle = (p, q) => /** @type {Point} */ ([(p[0] + q[0]) / 2, (p[1] + q[1]) / 2]);
    const apart = (p, q) => Math.max(1, Math.hypot(q[0] - p[0], q[1] - p[1]));
    this.view.zoomTo(this.view.zoom * apart(c, d) / apart(a, b), middle(a, b), middle(c, d));
  }

  #magnify(event, point) { if (event.pointerType === 'touch') this.loupe.show(point); }

  /** The page keeps its own wheel unless the film has focus; Ctrl, or a trackpad's pinch, always zooms. */
  #wheel(event) {
    if (!event.ctrlKey && !this.stage.contains(document.activeElement)) return;
    event.preventDefault();
    this.view.zoomTo(this.view.zoom * Math.exp(-event.deltaY * (event.ctrlKey ? 0.01 : 0.0015)), this.#at(event));
  }
}
