/**
 * <grey-wedge>: five grey steps, each with a faint disc, and one box per disc. Says what to do before films are read and
 * sends wedge-checked {seen: number}. Without this module the boxes are part of the form as they stand.
 */
export class GreyWedge extends HTMLElement {
  constructor() {
    super();
    this.addEventListener('change', () => this.#judge());
  }

  #judge() {
    const ticks = [...this.querySelectorAll('input[type="checkbox"]')].map((box) => box.checked);
    const advice = adviceFor(ticks);
    for (const line of this.querySelectorAll('[data-advice]')) line.hidden = line.dataset.advice !== advice;
    this.dispatchEvent(new CustomEvent('wedge-checked', { bubbles: true, detail: { seen: ticks.filter(Boolean).length } }));
  }
}

/** @param {boolean[]} ticks from black to white */
function adviceFor(ticks) {
  if (ticks.every(Boolean)) return 'all';
  if (!ticks[0]) return 'dark';
  return ticks.at(-1) ? 'some' : 'light';
}

customElements.define('grey-wedge', GreyWedge);
