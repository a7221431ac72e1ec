/** Putting things in order by taps or keys. The fields of the page hold the places; this writes them. */

const SAVE_AFTER_MS = 600;

class PutInOrder extends HTMLElement {
  connectedCallback() {
    this.status = this.querySelector('[data-part="status"]');
    this.soFar = this.querySelector('[data-part="so-far"]');
    this.items = [...this.querySelectorAll('.order-items > li')].map((row) => this.#made(row));
    this.order = this.items.filter(({ field }) => field.value).sort((one, other) => one.field.value - other.field.value);
    this.querySelector('[data-part="how"]').hidden = false;
    this.querySelector('[data-part="how-by-hand"]').hidden = true;
    this.addEventListener('focusout', () => this.#saveNow());
    this.#draw();
  }

  /** A row's label and field give way to a button that numbers it, and to those that move it. */
  #made(row) {
    const item = { row, words: row.dataset.words, field: row.querySelector('select') };
    row.querySelector('label').hidden = true;
    item.field.hidden = true;
    item.tap = button('order-tap');
    item.number = item.tap.appendChild(document.createElement('span'));
    item.number.className = 'order-number fig';
    item.tap.append(item.words);
    item.tap.addEventListener('click', () => this.#tap(item));
    const moves = document.createElement('div');
    moves.className = 'order-moves';
    item.moves = { first: -Infinity, earlier: -1, later: 1 };
    for (const [name, by] of Object.entries(item.moves)) {
      const move = moves.appendChild(button('btn'));
      move.textContent = this.dataset[name];
      move.setAttribute('aria-label', `${this.dataset[name]}: ${item.words}`);
      move.addEventListener('click', () => this.#move(item, by));
      item.moves[name] = move;
    }
    row.append(item.tap, moves);
    return item;
  }

  // Acts ---------------------------------------------------------------------

  #tap(item) {
    const at = this.order.indexOf(item);
    if (at < 0) this.order.push(item);
    else this.order.splice(at, 1);
    this.#write(item);
  }

  /** Earlier, later, or first; what has no place yet comes first by "first", and else last. */
  #move(item, by) {
    const at = this.order.indexOf(item);
    const from = at < 0 ? this.order.length : at;
    const to = Math.max(0, Math.min(from + (at < 0 && by > 0 ? 0 : by), at < 0 ? this.order.length : this.order.length - 1));
    if (to === at) {
      this.status.textContent = this.#said(this.dataset.stays, item);
      return;
    }
    if (at >= 0) this.order.splice(at, 1);
    this.order.splice(at < 0 && by === -1 ? this.order.length : to, 0, item);
    this.#write(item);
  }

  // What is kept and said ----------------------------------------------------

  #write(item) {
    for (const one of this.items) one.field.value = this.order.includes(one) ? this.order.indexOf(one) + 1 : '';
    this.#draw();
    const left = this.items.length - this.order.length;
    const said = this.#said(this.order.includes(item) ? this.dataset.placed : this.dataset.taken, item);
    this.status.textContent = `${said} ${left ? this.dataset.toGo.replace('{count}', left) : this.dataset.whole}`;
    clearTimeout(this.soon); // a hand that is still moving things has not answered yet
    this.soon = setTimeout(() => this.#saveNow(), SAVE_AFTER_MS);
  }

  #saveNow() {
    if (!this.soon) return;
    clearTimeout(this.soon);
    this.soon = null;
    if (this.order.length === this.items.length) this.items[0].field.dispatchEvent(new Event('change', { bubbles: true }));
  }

  #said(words, item) {
    return words.replace('{item}', item.words).replace('{place}', this.order.indexOf(item) + 1).replace('{whole}', this.items.length);
  }

  #draw() {
    for (const item of this.items) {
      const place = this.order.indexOf(item) + 1;
      item.number.textContent = place || '–';
      item.row.toggleAttribute('data-placed', place > 0);
      item.tap.setAttribute('aria-label', `${place || this.dataset.off}: ${item.words}`);
      item.tap.setAttribute('aria-pressed', String(place > 0));
    }
    this.soFar.hidden = this.order.length === 0;
    this.soFar.querySelector('ol').replaceChildren(...this.order.map(({ words }) => {
      const line = document.createElement('li');
      line.textContent = words;
      return line;
    }));
  }
}

function button(name) {
  const made = document.createElement('button');
  made.type = 'button';
  made.className = name;
  return made;
}

customElements.define('put-in-order', PutInOrder);
