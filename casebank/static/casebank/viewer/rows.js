/**
 * The marks as rows: what each shows, what it reads, every point as two numbers. Rows and drawing show one document, so
 * a number typed moves the point and a point moved changes the number.
 */

import { LONGEST_TEXT } from './marks.js';

const AXES = ['across', 'down'];
const MOST_POINTS = 3;

export class Rows {
  /**
   * @param {{list: HTMLElement|null, numbers: HTMLElement|null, empty: HTMLElement|null}} parts two table bodies, a line for none
   * @param {import('./hand.js').Hand} hand
   * @param {import('./words.js').Words} words
   */
  constructor({ list, numbers, empty }, hand, words) {
    Object.assign(this, { list, numbers, empty, hand, words, marks: hand.marks });
    list?.replaceChildren();
    numbers?.replaceChildren();
    list?.addEventListener('input', ({ target }) => this.marks.describe(Number(target.dataset.pin), target.value));
    numbers?.addEventListener('input', ({ target }) => this.#typed(target));
    numbers?.addEventListener('focusin', ({ target }) => hand.choose(Number(target.dataset.pin), Number(target.dataset.index)));
    numbers?.addEventListener('change', () => this.update(true));
  }

  /** @param {boolean} [settle] also rewrite the field in use */
  update(settle = false) {
    const { list: marks } = this.marks;
    if (this.empty) this.empty.hidden = marks.length > 0;
    for (const body of [this.list, this.numbers]) {
      const table = body?.closest('table');
      if (table) table.hidden = !marks.length;
    }
    keep(this.list, marks, (mark) => this.#listRow(mark), (row, mark) => this.#fillList(row, mark, settle));
    keep(this.numbers, marks, (mark) => this.#numberRow(mark), (row, mark) => this.#fillNumbers(row, mark, settle));
  }

  /** Go to the first number of a mark. @param {number} pin */
  focus(pin) { this.numbers?.querySelector(`input[data-pin="${pin}"]`)?.focus(); }

  #listRow({ pin }) {
    const words = (key) => this.words.say(`list.${key}`, { pin });
    const button = (verb) => element('button', { type: 'button', className: 'btn btn-s', ariaLabel: words(`${verb}.pin`) }, { do: `${verb}:${pin}` }, words(verb));
    return row(pin, [
      element('th', { scope: 'row' }, {}, element('span', { className: 'pin' }, {}, String(pin))),
      element('td', {}, {}, element('input', {
        type: 'text', className: 'voice', maxLength: LONGEST_TEXT, autocomplete: 'off', ariaLabel: words('text'),
      }, { pin })),
      element('td', { className: 'fig' }, {}),
      element('td', { className: 'v-acts' }, {}, button('choose'), button('remove')),
    ]);
  }

  #fillList(node, mark, settle) {
    const input = node.querySelector('input');
    if (settle || input !== document.activeElement) input.value = mark.text;
    node.cells[2].textContent = this.words.reading(mark.kind, this.marks.reading(mark), this.marks.unit.name);
    node.querySelector('[data-do^="choose:"]').setAttribute('aria-pressed', String(this.hand.chosen?.pin === mark.pin));
  }

  #numberRow({ pin, kind, points }) {
    const cells = points.flatMap((_, index) => AXES.map((axis) => element('td', {}, {},
      element('input', { type: 'number', className: 'num', step: 'any', min: '0', inputMode: 'decimal' }, { pin, index, axis }))));
    const pad = Array.from({ length: (MOST_POINTS - points.length) * 2 }, () => element('td', {}, {}));
    const name = element('th', { scope: 'row' }, {}, element('span', { className: 'pin' }, {}, String(pin)), ` ${this.words.say(`kind.${kind}`)}`);
    return row(pin, [name, ...cells, ...pad]);
  }

  #fillNumbers(node, mark, settle) {
    const { name, perPx } = this.marks.unit;
    for (const input of node.querySelectorAll('input')) {
      const { index, axis } = input.dataset;
      input.ariaLabel = this.words.say(`number.${axis}`, { pin: mark.pin, index: Number(index) + 1, unit: this.words.say(name) });
      if (!settle && input === document.activeElement) continue;
      input.value = (mark.points[Number(index)][AXES.indexOf(axis)] * perPx).toFixed(name === 'mm' ? 2 : 1);
      input.setAttribute('aria-invalid', 'false');
    }
  }

  #typed(input) {
    const value = input.valueAsNumber;
    input.setAttribute('aria-invalid', String(!Number.isFinite(value)));
    if (!Number.isFinite(value)) {
      this.hand.say('number.missing', { unit: this.marks.unit.name }, true);
      return;
    }
    const [pin, index] = [Number(input.dataset.pin), Number(input.dataset.index)];
    const point = /** @type {import('./measure.js').Point} */ ([...this.marks.find(pin).points[index]]);
    point[AXES.indexOf(input.dataset.axis)] = value / this.marks.unit.perPx;
    this.marks.move(pin, index, point, 'typed');
  }
}

/** One row per mark, kept where it stands so that focus stays in it. */
function keep(body, marks, build, fill) {
  if (!body) return;
  const have = new Map([...body.rows].map((node) => [node.dataset.row, node]));
  for (const [key, node] of have) if (!marks.some(({ pin }) => String(pin) === key)) node.remove();
  marks.forEach((mark, place) => {
    const node = have.get(String(mark.pin)) ?? build(mark);
    if (body.rows[place] !== node) body.insertBefore(node, body.rows[place] ?? null);
    fill(node, mark);
  });
}

function row(pin, cells) { return element('tr', {}, { row: pin }, ...cells); }

function element(name, properties, data, ...children) {
  const node = Object.assign(document.createElement(name), properties);
  Object.assign(node.dataset, data);
  node.append(...children);
  return node;
}
