/**
 * The marks on one film: a document of film pixels, with a history. What a reading means is in measure.js.
 *
 * @typedef {import('./measure.js').Point} Point
 * @typedef {'point'|'length'|'angle'} Kind
 * @typedef {{pin: number, kind: Kind, points: Point[], text: string}} Mark
 * @typedef {{mm_per_px: number|null, from: 'receptor'|'known length'|'none', known_mm?: number, points?: Point[]}} Scale
 * @typedef {{next: number, scale: Scale, marks: Mark[]}} Draft one state; never changed, only replaced
 * @typedef {{film: string, width: number, height: number, mmPerPx: number, most: number}} About mmPerPx NaN if unknown
 */

import { lengthPx, mmPerPxFrom, secantDegrees } from './measure.js';

/** Points a tool takes. */
export const POINTS = { point: 1, length: 2, angle: 3, scale: 2 };
export const LONGEST_TEXT = 200;
const VERSION = 1;
const STEPS_KEPT = 200;
/** Small moves of one point within this time are one step of the history. */
const GATHER_MS = 1200;

export class Marks extends EventTarget {
  /** @type {Draft[]} */
  #history;
  #at = 0;
  #gather = { key: '', until: 0 };

  /** @param {About} about */
  constructor(about) {
    super();
    this.about = about;
    this.#history = [{ next: 1, scale: this.#ownScale(), marks: [] }];
  }

  /** @returns {Draft} */
  get now() { return this.#history[this.#at]; }
  get list() { return this.now.marks; }
  get canUndo() { return this.#at > 0; }
  get canRedo() { return this.#at < this.#history.length - 1; }

  /** Millimetres where the size of a pixel is known, else film pixels. @returns {{name: 'mm'|'px', perPx: number, step: number}} */
  get unit() {
    const perPx = this.now.scale.mm_per_px;
    return perPx ? { name: 'mm', perPx, step: 0.1 } : { name: 'px', perPx: 1, step: 1 };
  }

  /** @param {number} pin @returns {Mark|undefined} */
  find(pin) { return this.list.find((mark) => mark.pin === pin); }

  /**
   * @param {Kind} kind
   * @param {Point[]} points
   * @param {number} [pin] wished for; a lower number than the next free one is not given
   * @returns {Mark|null} null if the film takes no more
   */
  add(kind, points, pin = 0) {
    if (this.list.length >= this.about.most) return null;
    const mark = { pin: Math.max(pin, this.now.next), kind, points: points.map((point) => this.#inside(point)), text: '' };
    this.#put({ ...this.now, next: mark.pin + 1, marks: [...this.list, mark] }, 'added');
    return mark;
  }

  /** @param {number} pin @param {number} index @param {Point} point @param {string} [way] ways given are gathered into one step */
  move(pin, index, point, way = '') {
    const points = this.find(pin)?.points.map((old, place) => (place === index ? this.#inside(point) : old));
    this.#change(pin, { points }, 'moved', way && `${way}:${pin}:${index}`);
  }

  /** @param {number} pin @param {string} text */
  describe(pin, text) { this.#change(pin, { text: text.slice(0, LONGEST_TEXT) }, 'described', `text:${pin}`); }

  /** The number is not given out again: an answer may cite it. @param {number} pin */
  remove(pin) {
    if (this.find(pin)) this.#put({ ...this.now, marks: this.list.filter((mark) => mark.pin !== pin) }, 'removed');
  }

  /** @param {Point[]} ends @param {number} knownMm @returns {boolean} whether they give a scale */
  scaleFrom(ends, knownMm) {
    const points = ends.map((point) => this.#inside(point));
    const mm_per_px = mmPerPxFrom(points, knownMm);
    if (!(mm_per_px > 0)) return false;
    this.#put({ ...this.now, scale: { mm_per_px, from: 'known length', known_mm: knownMm, points } }, 'scaled');
    return true;
  }

  scaleBack() { this.#put({ ...this.now, scale: this.#ownScale() }, 'scaled'); }

  /** @param {{kind: Kind, points: Point[]}} mark @returns {number} in the unit, or degrees; NaN where there is nothing to read */
  reading({ kind, points }) {
    if (kind === 'length') return lengthPx(points) * this.unit.perPx || NaN;
    return kind === 'angle' ? secantDegrees(points) : NaN;
  }

  undo() { this.#go(this.#at - 1, 'undone'); }
  redo() { this.#go(this.#at + 1, 'redone'); }

  /** The document as it is stored. */
  toJSON() {
    const { film, width, height } = this.about;
    return { version: VERSION, film, size: [width, height], ...this.now };
  }

  /**
   * Take over a stored document; points follow if the film now comes at another size. What is not understood is left
   * out: the text may come from an older page or from anyone.
   * @param {string} text
   */
  read(text) {
    let stored;
    try { stored = JSON.parse(text); } catch { return; }
    if (stored?.version !== VERSION || !Array.isArray(stored.marks)) return;
    const grown = this.about.width / (stored.size?.[0] || this.about.width);
    const taken = new Set();
    const marks = stored.marks
      .filter((mark) => Number.isInteger(mark?.pin) && mark.pin > 0 && !taken.has(mark.pin)
        && arePoints(mark.points, POINTS[mark.kind]) && mark.kind !== 'scale' && taken.add(mark.pin))
      .slice(0, this.about.most)
      .map(({ pin, kind, points, text: said }) => ({ pin, kind, points: this.#grown(points, grown), text: String(said ?? '').slice(0, LONGEST_TEXT) }));
    const next = Math.max(1, Number.isInteger(stored.next) ? stored.next : 1, ...marks.map(({ pin }) => pin + 1));
    this.#history = [{ next, scale: this.#storedScale(stored.scale, grown), marks }];
    this.#at = 0;
  }

  #ownScale() {
    const { mmPerPx } = this.about;
    return mmPerPx > 0 ? { mm_per_px: mmPerPx, from: 'receptor' } : { mm_per_px: null, from: 'none' };
  }

  #storedScale(stored, grown) {
    if (stored?.from !== 'known length' || !arePoints(stored.points, 2)) return this.#ownScale();
    const points = this.#grown(stored.points, grown);
    const mm_per_px = mmPerPxFrom(points, stored.known_mm);
    return mm_per_px > 0 ? { mm_per_px, from: stored.from, known_mm: stored.known_mm, points } : this.#ownScale();
  }

  #change(pin, change, why, key = '') {
    const old = this.find(pin);
    if (!old) return;
    const made = { ...old, ...change };
    if (JSON.stringify(made) === JSON.stringify(old)) return;
    this.#put({ ...this.now, marks: this.list.map((mark) => (mark === old ? made : mark)) }, why, key);
  }

  #put(draft, why, key = '') {
    const now = performance.now();
    const joins = key && key === this.#gather.key && now < this.#gather.until && this.#at > 0;
    const kept = this.#history.slice(0, joins ? this.#at : this.#at + 1);
    this.#history = [...kept, Object.freeze(draft)].slice(-STEPS_KEPT);
    this.#at = this.#history.length - 1;
    this.#gather = { key, until: now + GATHER_MS };
    this.#tell(why);
  }

  #go(at, why) {
    if (at < 0 || at >= this.#history.length) return;
    this.#at = at;
    this.#gather = { key: '', until: 0 };
    this.#tell(why);
  }

  #tell(why) { this.dispatchEvent(new CustomEvent('change', { detail: { why } })); }

  #grown(points, grown) { return points.map(([x, y]) => this.#inside([x * grown, y * grown])); }

  /** On the film, to a hundredth of a pixel. @param {Point} point @returns {Point} */
  #inside([x, y]) {
    const keep = (value, most) => Math.round(Math.min(most, Math.max(0, value)) * 100) / 100;
    return [keep(x, this.about.width), keep(y, this.about.height)];
  }
}

/** @param {unknown} points @param {number} count */
function arePoints(points, count) {
  return Array.isArray(points) && points.length === count
    && points.every((point) => Array.isArray(point) && point.length === 2 && point.every(Number.isFinite));
}
