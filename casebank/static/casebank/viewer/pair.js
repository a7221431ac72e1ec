/**
 * <film-pair>: two films side by side. The cursor of one shows on the other at the same share of its width and height;
 * zoom and pan go together while the box [data-part="together"] is ticked.
 */
export class FilmPair extends HTMLElement {
  constructor() {
    super();
    this.addEventListener('cursor-moved', ({ target, detail }) => this.#others(target, (film) => film.showCursor(detail.share)));
    this.addEventListener('view-changed', ({ target, detail }) => {
      if (this.querySelector('[data-part="together"]')?.checked ?? true) this.#others(target, (film) => film.goTo(detail.place));
    });
  }

  #others(from, act) {
    for (const film of this.querySelectorAll('film-viewer')) if (film !== from && film.mounted) act(film);
  }
}

customElements.define('film-pair', FilmPair);
