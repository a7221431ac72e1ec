/**
 * <film-viewer>: takes over the server's HTML for one film and joins the parts. All that can be pressed is in that HTML,
 * as data-do="verb:detail" (acts.js); all that is filled in is data-part="name"; any of it may be left out. Without this
 * module the picture and the number fields still work.
 *
 * Events, bubbling, none on load:
 *   marks-changed  {film, why, document}         after every change that would be stored
 *   view-changed   {film, place, look}           after zoom, pan, brightness, contrast, invert
 *   cursor-moved   {film, share: [x, y]|null}    the cursor as a share of the film's width and height
 */

import { act } from './acts.js';
import { Drawing } from './drawing.js';
import { Hand } from './hand.js';
import { askedBy } from './keys.js';
import { Loupe } from './loupe.js';
import { Marks } from './marks.js';
import { Pointer } from './pointer.js';
import { Rows } from './rows.js';
import { Sheet } from './sheet.js';
import { Speech } from './speech.js';
import { View } from './view.js';
import { Words } from './words.js';

const MOST_MARKS = 20;

export class FilmViewer extends HTMLElement {
  mounted = false;

  connectedCallback() {
    if (!this.mounted) this.#mount();
    this.leaving = new AbortController();
    this.watch.observe(this.stage);
    addEventListener('beforeprint', () => this.#fitForPaper(), { signal: this.leaving.signal });
  }

  disconnectedCallback() {
    this.watch.disconnect();
    this.leaving.abort();
  }

  /** Follow another film. @param {import('./view.js').Place} place */
  goTo(place) {
    this.following = true;
    this.view.goTo(place);
    this.following = false;
  }

  /** Show another film's cursor. @param {[number, number]|null} share of width and height */
  showCursor(share) {
    this.drawing.guest = share && [share[0] * this.about.width, share[1] * this.about.height];
    this.drawing.refresh();
  }

  // For acts.js ------------------------------------------------------------

  /** @param {string} name @returns {HTMLElement|null} */
  part(name) { return this.querySelector(`[data-part="${name}"]`); }

  /** The point that keys move now. */
  pointInUse() {
    const { tool, cursor, chosen } = this.hand;
    return tool ? cursor : chosen && this.marks.find(chosen.pin)?.points[chosen.index];
  }

  keepInSight() {
    const point = this.pointInUse();
    if (point) this.view.reveal(point);
  }

  /** Focus to the point chosen, or to the film. */
  toFilm() {
    this.drawing.draw();
    const { chosen, tool } = this.hand;
    const handle = chosen && !tool && this.drawing.handles.querySelector(`[data-pin="${chosen.pin}"][data-index="${chosen.index}"]`);
    (handle || this.stage).focus({ preventScroll: true });
  }

  /** @param {Partial<import('./sheet.js').Look>} change */
  setLook(change) {
    const look = { ...this.sheet.look, ...change };
    this.sheet.draw(look);
    this.#showLook();
    this.#tellView();
    this.speech.say('look', { brightness: look.brightness, contrast: look.contrast }, true);
  }

  press(action, on) { this.querySelector(`[data-do="${action}"]`)?.setAttribute('aria-pressed', String(on)); }

  /** The picture first as it is, then on the canvas. @param {boolean} [again] ask the server once more */
  async arrive(again = false) {
    if (again) this.picture.src = this.picture.src;
    const missing = this.part('missing');
    if (missing) missing.hidden = true;
    try {
      await this.picture.decode();
    } catch {
      this.dataset.arrived = 'not';
      if (missing) missing.hidden = false;
      this.speech.say('missing');
      return;
    }
    this.speech.say(this.#onCanvas());
    if (this.picture.dataset.whole) await this.#becomeWhole();
  }

  /** What there is to say of it: ready, or only to be seen as it is. */
  #onCanvas() {
    try {
      this.sheet.load(this.picture);
      this.sheet.canvas.hidden = false;
      this.dataset.arrived = this.picture.dataset.whole ? 'quick' : 'whole';
      return 'ready';
    } catch {
      // The picture's values may not be read (another origin): it is shown and measured, but not windowed.
      this.dataset.arrived = 'plain';
      return 'plain';
    }
  }

  /** A picture for the wait gives way to the film itself; marks, zoom and brightness stay as they are. */
  async #becomeWhole() {
    const whole = new Image();
    whole.src = this.picture.dataset.whole;
    try {
      await whole.decode();
    } catch {
      return; // the picture for the wait stays; loading the page again asks anew
    }
    this.picture.removeAttribute('data-whole');
    this.picture.src = whole.src;
    await this.picture.decode();
    this.#onCanvas();
  }

  // Mounting ---------------------------------------------------------------

  #mount() {
    const { film, width, height, mmPerPx, most, reference } = this.dataset;
    this.about = { film, width: Number(width), height: Number(height), mmPerPx: Number(mmPerPx || NaN), most: Number(most) || MOST_MARKS };
    this.fixed = 'fixed' in this.dataset;
    this.words = new Words(this);
    this.view = new View(this.about.width, this.about.height);
    this.marks = new Marks(this.about);
    this.marks.read(this.part('document')?.value ?? '');
    this.hand = new Hand(this.marks);
    this.hand.nextPin = () => this.#nextPinOfSet();
    this.speech = new Speech(this.part('status'), this.words, this.hand);
    this.#makeStage(reference ? JSON.parse(reference) : []);
    this.rows = new Rows({ list: this.part('list'), numbers: this.part('numbers'), empty: this.part('empty') }, this.hand, this.words);
    this.#listen();
    this.rows.update();
    this.#showLook();
    this.#showHand();
    const numbers = this.part('fallback');
    if (numbers) numbers.open = false;
    this.mounted = true;
    this.arrive();
  }

  /** Anything made by an earlier life of this HTML (a page kept by the history) is taken away first. */
  #makeStage(reference) {
    this.stage = this.part('stage');
    for (const old of this.stage.querySelectorAll('canvas, svg, .v-handles')) old.remove();
    this.picture = this.stage.querySelector('img');
    const canvas = document.createElement('canvas');
    canvas.className = 'v-layer';
    canvas.setAttribute('role', 'img');
    canvas.setAttribute('aria-label', this.picture.alt);
    canvas.hidden = true;
    this.stage.append(canvas);
    this.stage.style.setProperty('--v-width', `${this.about.width}px`);
    this.stage.style.setProperty('--v-ratio', `${this.about.width} / ${this.about.height}`);
    this.stage.classList.add('v-mounted');
    this.stage.classList.toggle('v-fixed', this.fixed);
    this.stage.tabIndex = 0;
    this.stage.setAttribute('role', 'application');
    this.stage.setAttribute('aria-label', this.stage.dataset.label);
    this.sheet = new Sheet(canvas, this.about.width, this.about.height);
    this.drawing = new Drawing(this.stage, this.view, this.hand, this.words, { fixed: this.fixed, reference });
    new Pointer(this.stage, this.view, this.hand, new Loupe(this.stage, this.view, canvas));
  }

  #listen() {
    const measure = () => this.view.resize(this.stage.clientWidth, this.stage.clientHeight);
    this.watch = new ResizeObserver(measure);
    measure();
    this.told = this.#lookAndPlace();
    this.view.addEventListener('change', () => this.#showView());
    this.marks.addEventListener('change', ({ detail }) => this.#showMarks(detail.why));
    this.hand.addEventListener('change', () => this.#showHand());
    this.hand.addEventListener('cursor', () => this.#showCursor());
    this.addEventListener('click', (event) => this.#click(event));
    this.stage.addEventListener('keydown', (event) => this.#key(event));
    this.stage.addEventListener('focusin', ({ target: { dataset } }) => {
      if (dataset.pin) this.hand.choose(Number(dataset.pin), Number(dataset.index));
    });
    for (const name of ['brightness', 'contrast']) {
      this.part(name)?.addEventListener('input', ({ target }) => this.setLook({ [name]: Number(target.value) }));
    }
    this.#showView(false);
  }

  #fitForPaper() {
    this.view.fit();
    this.drawing.draw();
  }

  #click(event) {
    const button = event.target.closest('[data-do], .v-handle');
    if (!button || button.getAttribute('aria-disabled') === 'true') return;
    const byKey = event.detail === 0;
    if (button.classList.contains('v-handle')) {
      if (byKey) this.hand.choose(Number(button.dataset.pin), Number(button.dataset.index));
      return;
    }
    act(this, button.dataset.do, event);
    // A tool taken by key is used by key: go to the film. A finger or mouse is on its way there already.
    if (byKey && /^(arm|choose):/.test(button.dataset.do)) this.toFilm();
  }

  #key(event) {
    const asked = askedBy(event, this.part('letters')?.checked ?? true);
    if (!asked || (asked === 'place' && !this.hand.tool && event.target.closest('.v-handle'))) return;
    event.preventDefault();
    act(this, asked, event);
  }

  // Showing ----------------------------------------------------------------

  #showView(tell = true) {
    const [left, top] = this.view.corner;
    for (const [name, value] of [['--v-left', `${left}px`], ['--v-top', `${top}px`], ['--v-scale', this.view.scale]]) {
      this.stage.style.setProperty(name, String(value));
    }
    this.stage.classList.toggle('v-zoomed', this.view.zoom > 1);
    const zoom = this.part('zoom');
    if (zoom) zoom.textContent = `${this.words.figure(this.view.zoom * 100, 0)} %`;
    for (const button of this.querySelectorAll('[data-do^="pan:"]')) button.setAttribute('aria-disabled', String(this.view.zoom === 1));
    this.drawing.refresh();
    if (tell) this.#tellView();
  }

  #showLook() {
    const { brightness, contrast, invert } = this.sheet.look;
    for (const [name, value] of Object.entries({ brightness, contrast })) if (this.part(name)) this.part(name).value = String(value);
    this.press('invert', invert);
    for (const button of this.querySelectorAll('[data-do^="preset:"]')) {
      button.setAttribute('aria-pressed', String(button.dataset.do === `preset:${brightness},${contrast}`));
    }
  }

  #showMarks(why) {
    const field = this.part('document');
    if (field) field.value = JSON.stringify(this.marks);
    this.rows.update();
    this.#showHand();
    this.#tell('marks-changed', { why, document: this.marks.toJSON() });
  }

  #showHand() {
    const { tool, chosen, pending } = this.hand;
    const disable = (selector, no) => {
      for (const button of this.querySelectorAll(selector)) button.setAttribute('aria-disabled', String(no));
    };
    for (const button of this.querySelectorAll('[data-do^="arm:"]')) button.setAttribute('aria-pressed', String(button.dataset.do === `arm:${tool}`));
    disable('[data-do="undo"]', !this.marks.canUndo && !pending.length);
    disable('[data-do="redo"]', !this.marks.canRedo);
    disable('[data-do="arm:move"], [data-do="remove"]', !chosen);
    disable('[data-do^="nudge:"]', !chosen && !tool);
    const moves = this.part('moves');
    if (moves) moves.textContent = chosen ? this.words.say('moves.point', { pin: chosen.pin, index: chosen.index + 1 }) : this.words.say('moves.none');
    this.rows.update();
    this.stage.classList.toggle('v-armed', Boolean(tool));
    this.#showCursor();
  }

  #showCursor() {
    this.drawing.refresh();
    const { cursor } = this.hand;
    this.#tell('cursor-moved', { share: cursor && [cursor[0] / this.about.width, cursor[1] / this.about.height] });
  }

  // Telling ----------------------------------------------------------------

  #lookAndPlace() { return JSON.stringify({ place: this.view.place(), look: this.sheet.look }); }

  #tellView() {
    if (this.following) return;
    this.tellSoon ??= requestAnimationFrame(() => {
      this.tellSoon = undefined;
      const now = this.#lookAndPlace();
      if (now === this.told) return;
      this.told = now;
      this.#tell('view-changed', JSON.parse(now));
    });
  }

  #tell(name, detail) {
    if (this.mounted) this.dispatchEvent(new CustomEvent(name, { bubbles: true, detail: { film: this.about.film, ...detail } }));
  }

  /** Films of one set share their pin numbers, so that "pin 4" is one place. */
  #nextPinOfSet() {
    const films = this.closest('[data-film-set]')?.querySelectorAll('film-viewer') ?? [this];
    return Math.max(...[...films].map((film) => film.marks?.now.next ?? 1));
  }
}

customElements.define('film-viewer', FilmViewer);
