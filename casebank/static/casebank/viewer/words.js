/**
 * What the viewer says. The sentences come from the page, translated there:
 * <template data-film-words><p data-word="ready">…</p></template>; {name} stands for a value.
 */

export class Words {
  /** @param {ParentNode} root the element that holds the template */
  constructor(root) {
    const page = root.querySelector('template[data-film-words]')?.content.querySelectorAll('[data-word]') ?? [];
    /** @type {Map<string, string>} */
    this.said = new Map([...page].map((word) => [word.dataset.word, word.textContent.trim().replace(/\s+/g, ' ')]));
    this.language = document.documentElement.lang || 'en';
    /** @type {Map<number, Intl.NumberFormat>} */
    this.formats = new Map();
  }

  /** @param {string} key @param {Record<string, string|number>} [values] */
  say(key, values = {}) {
    return (this.said.get(key) ?? key).replace(/\{(\w+)\}/g, (_, name) => String(values[name] ?? ''));
  }

  /** @param {number} value @param {number} digits behind the point */
  figure(value, digits) {
    if (!this.formats.has(digits)) {
      this.formats.set(digits, new Intl.NumberFormat(this.language, { minimumFractionDigits: digits, maximumFractionDigits: digits }));
    }
    return this.formats.get(digits).format(value);
  }

  /** A length or a place: tenths of a millimetre, or whole film pixels. @param {number} value @param {'mm'|'px'} unit */
  length(value, unit) { return `${this.figure(value, unit === 'mm' ? 1 : 0)} ${this.say(unit)}`; }

  /**
   * No finer than a hand can place a point: tenths of a millimetre, whole degrees.
   * @param {import('./marks.js').Kind} kind
   * @param {number} value
   * @param {'mm'|'px'} unit
   */
  reading(kind, value, unit) {
    if (kind === 'point') return this.say('reading.point');
    if (!Number.isFinite(value)) return this.say('reading.none');
    return kind === 'angle' ? `${this.figure(value, 0)}°` : this.length(value, unit);
  }
}
