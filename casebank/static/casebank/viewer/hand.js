/**
 * What the student has in hand: the tool, the points set so far, the point chosen, the cursor. Mouse, finger, keys and
 * buttons all end in the same few verbs here, so they cannot lead to different work.
 *
 * Sends change; cursor; say {key, values, calm}, a key of the words; read {pin, index}, a mark to be read out.
 *
 * @typedef {import('./measure.js').Point} Point
 * @typedef {import('./marks.js').Kind|'scale'|'move'} Tool
 */

import { POINTS } from './marks.js';

export class Hand extends EventTarget {
  /** @param {import('./marks.js').Marks} marks */
  constructor(marks) {
    super();
    this.marks = marks;
    /** @type {Tool|null} */
    this.tool = null;
    /** @type {Point[]} set, but not yet a mark */
    this.pending = [];
    /** @type {{pin: number, index: number}|null} */
    this.chosen = null;
    /** @type {Point|null} where the next point would go */
    this.cursor = null;
    this.knownMm = NaN;
    /** The number wished for the next pin; films of one set share theirs. */
    this.nextPin = () => 0;
  }

  /** Take a tool, or put it down by taking it again. @param {Tool} tool */
  arm(tool) {
    this.tool = tool === this.tool || (tool === 'move' && !this.chosen) ? null : tool;
    this.pending = [];
    if (this.tool && this.tool !== 'move') this.chosen = null;
    this.#sayTool();
    this.#changed();
  }

  /** @param {Point|null} point */
  aim(point) {
    this.cursor = point;
    this.dispatchEvent(new Event('cursor'));
  }

  /** Set the next point of the tool in hand. @param {Point} point */
  place(point) {
    this.cursor = point;
    if (!this.tool) return;
    if (this.tool === 'move') {
      this.tool = null;
      this.marks.move(this.chosen.pin, this.chosen.index, point);
      this.#read();
      return;
    }
    this.pending.push(point);
    if (this.pending.length === POINTS[this.tool]) this.#finish();
    else this.say(this.tool === 'angle' ? `next.angle.${this.pending.length + 1}` : 'next.end');
    this.#changed();
  }

  /** A new mark, all points at once. @param {import('./marks.js').Kind} kind @param {Point[]} points @returns {boolean} */
  add(kind, points) {
    const mark = this.marks.add(kind, points, this.nextPin());
    if (mark) this.choose(mark.pin, points.length - 1);
    else this.say('full', { count: this.marks.about.most });
    return Boolean(mark);
  }

  /** @param {number} pin @param {number} index */
  choose(pin, index) {
    if (this.chosen?.pin === pin && this.chosen.index === index && !this.tool) return;
    this.tool = null;
    this.pending = [];
    this.chosen = { pin, index };
    this.#read();
  }

  /** The next or previous of all points, in the order of the pins. @param {1|-1} way */
  chooseNext(way) {
    const all = this.marks.list.flatMap(({ pin, points }) => points.map((_, index) => ({ pin, index })));
    if (!all.length) return;
    const here = all.findIndex(({ pin, index }) => pin === this.chosen?.pin && index === this.chosen.index);
    const first = way > 0 ? 0 : all.length - 1;
    const { pin, index } = all[here < 0 ? first : (here + way + all.length) % all.length];
    this.choose(pin, index);
  }

  /** @param {Point} point */
  drag(point) {
    if (!this.chosen) return;
    this.marks.move(this.chosen.pin, this.chosen.index, point, 'drag');
    this.#read();
  }

  /**
   * Move the cursor of the tool in hand, or else the chosen point.
   * @param {number} right in the unit of the marks @param {number} down
   * @returns {boolean} whether there was something to move
   */
  nudge(right, down) {
    const { perPx } = this.marks.unit;
    const { width, height } = this.marks.about;
    if (this.tool) {
      const [x, y] = this.cursor ?? [width / 2, height / 2];
      const keep = (value, most) => Math.min(most, Math.max(0, value));
      this.aim([keep(x + right / perPx, width), keep(y + down / perPx, height)]);
      this.say('place', { place: this.cursor }, true);
      return true;
    }
    const at = this.chosen && this.marks.find(this.chosen.pin)?.points[this.chosen.index];
    if (!at) return false;
    this.marks.move(this.chosen.pin, this.chosen.index, [at[0] + right / perPx, at[1] + down / perPx], 'nudge');
    this.#read();
    return true;
  }

  /** @param {number} [pin] the chosen one if none is named */
  remove(pin = this.chosen?.pin) {
    if (!pin || !this.marks.find(pin)) return;
    if (this.tool === 'move') this.tool = null;
    if (this.chosen?.pin === pin) this.chosen = null;
    this.marks.remove(pin);
    this.say('removed', { pin });
    this.#changed();
  }

  /** One step back: the last point set, then the tool, then the choice. */
  back() {
    if (this.pending.length) this.pending.pop();
    else if (this.tool) this.tool = null;
    else if (this.chosen) this.chosen = null;
    else return;
    this.#sayTool();
    this.#changed();
  }

  /** @param {'undo'|'redo'} way */
  history(way) {
    if (way === 'undo' && this.pending.length) {
      this.back();
      return;
    }
    const can = way === 'undo' ? this.marks.canUndo : this.marks.canRedo;
    if (can) this.marks[way]();
    if (this.chosen && !this.marks.find(this.chosen.pin)) {
      this.chosen = null;
      if (this.tool === 'move') this.tool = null;
    }
    this.say(can ? `${way}.done` : `${way}.nothing`);
    this.#changed();
  }

  /** @param {string} key of the words @param {object} [values] @param {boolean} [calm] say it once things rest */
  say(key, values = {}, calm = false) {
    this.dispatchEvent(new CustomEvent('say', { detail: { key, values, calm } }));
  }

  #finish() {
    const { tool, pending } = this;
    this.tool = null;
    this.pending = [];
    if (tool === 'scale') this.say(this.marks.scaleFrom(pending, this.knownMm) ? 'scale.set' : 'scale.short', { mm: this.knownMm });
    else this.add(tool, pending);
  }

  #sayTool() { this.say(`arm.${this.tool ?? 'none'}`, { ...this.chosen }); }

  #read() {
    this.dispatchEvent(new CustomEvent('read', { detail: this.chosen }));
    this.#changed();
  }

  #changed() { this.dispatchEvent(new Event('change')); }
}
