/** The line under the film that says what just happened; a screen reader reads it out. */

const CALM_MS = 250;

export class Speech {
  /** @param {HTMLElement|null} line @param {import('./words.js').Words} words @param {import('./hand.js').Hand} hand */
  constructor(line, words, hand) {
    Object.assign(this, { line, words, marks: hand.marks });
    hand.addEventListener('say', ({ detail }) => this.#sayHand(detail));
    hand.addEventListener('read', ({ detail }) => this.#read(detail));
  }

  /** Calm: while something moves, only its rest is said. @param {string} key @param {object} [values] @param {boolean} [calm] */
  say(key, values = {}, calm = false) { this.#show(this.words.say(key, values), calm); }

  #sayHand({ key, values: { place, index, ...values }, calm }) {
    const { name, perPx } = this.marks.unit;
    const [across, down] = place?.map((value) => this.words.length(value * perPx, name)) ?? [];
    this.say(key, { ...values, across, down, index: index === undefined ? '' : index + 1 }, calm);
  }

  #read({ pin, index }) {
    const mark = this.marks.find(pin);
    if (!mark) return;
    const value = this.words.reading(mark.kind, this.marks.reading(mark), this.marks.unit.name);
    const said = this.words.say('read', { pin, kind: this.words.say(`kind.${mark.kind}`), value });
    const which = mark.points.length > 1 ? ` ${this.words.say('read.point', { index: index + 1 })}` : '';
    this.#show(said + which, true);
  }

  #show(text, calm) {
    clearTimeout(this.soon);
    const show = () => { if (this.line) this.line.textContent = text; };
    if (calm) this.soon = setTimeout(show, CALM_MS);
    else show();
  }
}
