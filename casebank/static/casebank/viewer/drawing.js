/**
 * Marks, millimetre rule and cursor over the film. Lines are SVG in stage pixels, so their width keeps at any zoom;
 * handles are HTML buttons, so focus, names and forced colours work as everywhere else.
 *
 * @typedef {import('./measure.js').Point} Point
 * @typedef {{kind: import('./marks.js').Kind, points: Point[], text?: string}} Shown a mark that is only shown
 */

import { carriedOn } from './measure.js';
import { PinPlaces } from './pins.js';
import { label, shape, strokes } from './svg.js';

export class Drawing {
  /**
   * @param {HTMLElement} stage
   * @param {import('./view.js').View} view
   * @param {import('./hand.js').Hand} hand
   * @param {import('./words.js').Words} words
   * @param {{fixed: boolean, reference: Shown[]}} shown fixed: marks cannot be moved; reference: the other reading
   */
  constructor(stage, view, hand, words, { fixed, reference }) {
    Object.assign(this, { view, hand, words, fixed, reference, marks: hand.marks, hidden: false });
    /** @type {Point|null} cursor of a linked film */
    this.guest = null;
    this.svg = shape('svg', { 'aria-hidden': 'true', class: 'v-drawing' });
    this.handles = document.createElement('div');
    this.handles.className = 'v-handles';
    stage.append(this.svg, this.handles);
  }

  /** At most once a frame. */
  refresh() {
    this.waiting ??= requestAnimationFrame(() => {
      this.waiting = undefined;
      this.draw();
    });
  }

  draw() {
    const { width, height } = this.view.stage;
    const marks = this.hidden ? [] : this.marks.list;
    const reference = this.hidden ? [] : this.reference;
    this.svg.setAttribute('viewBox', `0 0 ${width} ${height}`);
    const places = new PinPlaces(this.view.stage, [...marks, ...reference].map(({ points }) => this.#onStage(points)));
    const drawn = marks.map((mark) => this.#mark(mark, places));
    this.svg.replaceChildren(
      ...this.#rule(),
      ...reference.flatMap((mark) => this.#referenceMark(mark, places)),
      ...drawn.flatMap(({ lines }) => lines),
      ...drawn.map(({ disc }) => disc),
      ...this.#pending(),
      ...this.#cursors(),
    );
    if (!this.fixed) this.#setHandles(marks);
  }

  #onStage(points) { return points.map((point) => this.view.toStage(point)); }

  #reading(mark) {
    return mark.kind === 'point' ? '' : this.words.reading(mark.kind, this.marks.reading(mark), this.marks.unit.name);
  }

  #mark(mark, places) {
    const { pin, kind, points } = mark;
    const at = this.#onStage(points);
    const reading = this.#reading(mark);
    const { foot, spot, left } = places.take(kind, at, reading);
    const disc = shape('g', { class: 'v-pin', 'data-pin': pin, 'data-index': kind === 'angle' ? 1 : at.length - 1 },
      shape('circle', { cx: spot[0], cy: spot[1], r: 11 }), label(spot[0], spot[1] + 4.5, String(pin), 'v-number'));
    if (reading) disc.append(label(spot[0] + (left ? -16 : 16), spot[1] + 5, reading, `v-read${left ? ' v-read-left' : ''}`));
    const ends = at.map(([cx, cy]) => shape('circle', { cx, cy, r: 4, class: 'v-dot v-end' }));
    return { disc, lines: [...this.#carried(kind, points, at), ...strokes(`M${at.join('L')}`, 'v-own'), ...strokes(`M${foot}L${spot}`, 'v-leader'), ...ends] };
  }

  #referenceMark(mark, places) {
    const at = this.#onStage(mark.points);
    const said = [mark.text, this.#reading(mark)].filter(Boolean).join(' ');
    const { foot, spot, left } = places.take(mark.kind, at, said);
    const rings = mark.kind === 'point' ? at.flatMap(([x, y]) => strokes(`M${x - 7} ${y}a7 7 0 1 0 14 0a7 7 0 1 0 -14 0`, 'v-ref')) : [];
    return [
      ...strokes(`M${at.join('L')}`, 'v-ref'), ...rings, ...strokes(`M${foot}L${spot}`, 'v-leader v-ref'),
      label(spot[0], spot[1] + 5, said, `v-read${left ? ' v-read-left' : ''}`),
    ];
  }

  #carried(kind, points, at) {
    return kind === 'angle' ? strokes(`M${at[1]}L${this.view.toStage(carriedOn(points))}`, 'v-carried') : [];
  }

  #pending() {
    const { tool, pending, cursor } = this.hand;
    if (!tool || !pending.length) return [];
    const at = this.#onStage(cursor ? [...pending, cursor] : pending);
    const set = this.#onStage(pending).map(([cx, cy]) => shape('circle', { cx, cy, r: 5, class: 'v-dot' }));
    return [...strokes(`M${at.join('L')}`, 'v-pending'), ...set];
  }

  #cursors() {
    const { tool, cursor } = this.hand;
    const { width, height } = this.view.stage;
    const drawn = [];
    if (this.guest) {
      const [x, y] = this.view.toStage(this.guest);
      drawn.push(...strokes(`M0 ${y}H${width}M${x} 0V${height}`, 'v-guest'));
    }
    if (tool && cursor) {
      const [x, y] = this.view.toStage(cursor);
      drawn.push(...strokes(`M${x - 18} ${y}h12M${x + 6} ${y}h12M${x} ${y - 18}v12M${x} ${y + 6}v12`, 'v-cursor'));
    }
    return drawn;
  }

  /** Along the lower and left edge, counted from the film's upper left corner as all places are; none without a scale. */
  #rule() {
    const { name: unit, perPx } = this.marks.unit;
    if (unit !== 'mm') return [];
    const mm = this.view.scale / perPx;
    const step = mm >= 5 ? 1 : 5;
    const named = mm >= 44 ? 1 : mm >= 14 ? 5 : 10;
    const { width, height } = this.view.stage;
    const [left, top] = this.view.corner;
    const names = [];
    let path = '';
    const ticks = (from, length, tick, name) => {
      for (let n = Math.max(0, Math.ceil(-from / mm / step) * step); from + n * mm <= length; n += step) {
        const at = from + n * mm;
        path += tick(at.toFixed(1), n % 10 === 0 ? 14 : n % 5 === 0 ? 10 : 6);
        if (n && n % named === 0 && at > 24 && at < length - 30) names.push(name(at, String(n)));
      }
    };
    ticks(left, width, (x, long) => `M${x} ${height}v${-long}`, (x, n) => label(x, height - 18, n, 'v-scale'));
    ticks(top, height - 30, (y, long) => `M0 ${y}h${long}`, (y, n) => label(18, y + 4, n, 'v-scale v-scale-side'));
    return [...strokes(path, 'v-rule'), label(width - 8, height - 18, this.words.say(unit), 'v-scale v-scale-unit'), ...names];
  }

  #setHandles(marks) {
    const wanted = new Map(marks.flatMap((mark) => mark.points.map((point, index) => [`${mark.pin}:${index}`, { mark, point, index }])));
    const have = new Map([...this.handles.children].map((node) => [`${node.dataset.pin}:${node.dataset.index}`, node]));
    for (const [key, node] of have) if (!wanted.has(key)) node.remove();
    for (const [key, { mark, point, index }] of wanted) {
      this.#setHandle(have.get(key) ?? this.handles.appendChild(handleButton(mark.pin, index)), mark, point, index);
    }
  }

  #setHandle(node, mark, point, index) {
    const { chosen } = this.hand;
    const mine = chosen?.pin === mark.pin;
    const { name: unit, perPx } = this.marks.unit;
    const [x, y] = this.view.toStage(point);
    const [across, down] = point.map((value) => this.words.length(value * perPx, unit));
    node.style.transform = `translate(${x.toFixed(2)}px, ${y.toFixed(2)}px)`;
    node.hidden = !this.view.shows(point, 4);
    node.tabIndex = mine ? 0 : -1;
    set(node, 'aria-pressed', String(mine && chosen.index === index));
    set(node, 'aria-label', this.words.say('handle', {
      pin: mark.pin, kind: this.words.say(`kind.${mark.kind}`), index: index + 1, count: mark.points.length, across, down,
    }));
  }
}

/** Only if it differs: a screen reader need not hear what stays. */
function set(node, name, value) {
  if (node.getAttribute(name) !== value) node.setAttribute(name, value);
}

function handleButton(pin, index) {
  const button = document.createElement('button');
  button.type = 'button';
  button.className = 'v-handle';
  Object.assign(button.dataset, { pin, index });
  return button;
}
