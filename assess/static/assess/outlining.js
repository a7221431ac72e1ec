/** Drawing an opening on the crown's map, by pointer, taps or keys. The fields under the map hold what counts. */

const SVG = 'http://www.w3.org/2000/svg';
const STEP_MM = 0.1;
const LEAP = 10;
const NEAR_MM = 0.55;
const MOST = { outline: 200, orifices: 12 };
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const SAVE_AFTER_MS = 700;

class CrownOutline extends HTMLElement {
  connectedCallback() {
    this.map = this.querySelector('[data-part="map"]');
    this.svg = this.map.querySelector('svg');
    this.status = this.querySelector('[data-part="status"]');
    this.fields = { outline: this.querySelector('[name="outline"]'), orifices: this.querySelector('[name="orifices"]') };
    this.tool = 'outline';
    this.chosen = null;
    this.cursor = null;
    this.middle = [0, 1].map((axis) => this.#snapped(this.svg.viewBox.baseVal[axis ? 'y' : 'x'] + this.svg.viewBox.baseVal[axis ? 'height' : 'width'] / 2));
    this.past = [];
    for (const drawn of this.svg.querySelectorAll('.map-cut, .map-point, .map-corner, .map-mark')) drawn.remove(); // drawn here from now on
    this.layer = this.svg.appendChild(document.createElementNS(SVG, 'g'));
    Object.assign(this.map, { tabIndex: 0 });
    this.map.setAttribute('role', 'application');
    this.map.setAttribute('aria-label', this.map.dataset.label);
    this.querySelector('[data-part="numbers"]').open = false;
    this.setAttribute('data-live', '');
    this.#read();
    this.#listen();
    this.#draw();
    this.#say();
  }

  #listen() {
    this.map.addEventListener('click', (event) => this.#tap(this.#place(event)));
    this.map.addEventListener('keydown', (event) => this.#key(event));
    this.addEventListener('click', ({ target }) => {
      const button = target.closest('button');
      if (!button) return;
      if (button.dataset.tool) this.#take(button.dataset.tool);
      if (button.dataset.move) this.#nudge(button.dataset.move.split(' ').map(Number));
      if (button.dataset.act === 'next') this.#choose(1);
      if (button.dataset.act === 'remove') this.#remove();
      if (button.dataset.act === 'undo') this.#undo();
    });
    for (const field of Object.values(this.fields)) {
      field.addEventListener('input', () => { this.#read(); this.chosen = null; this.#draw(); this.#say(); });
    }
  }

  get points() { return this.places[this.tool]; }

  // From and to the fields ---------------------------------------------------

  #read() {
    this.places = {};
    for (const [name, field] of Object.entries(this.fields)) {
      const pairs = field.value.split('\n').map((line) => line.trim().split(/[\s;,]+/).map(Number));
      this.places[name] = pairs.filter((pair) => pair.length === 2 && pair.every(Number.isFinite));
    }
  }

  #keep() {
    this.past.push(JSON.stringify(this.places));
    if (this.past.length > 100) this.past.shift();
  }

  #write() {
    for (const [name, field] of Object.entries(this.fields)) {
      field.value = this.places[name].map(([right, down]) => `${+right.toFixed(2)} ${+down.toFixed(2)}`).join('\n');
    }
    this.#draw();
    this.#say();
    clearTimeout(this.soon);
    this.soon = setTimeout(() => { // a hand that is still drawing has not answered yet
      if (this.places.outline.length >= 3) this.fields.outline.dispatchEvent(new Event('change', { bubbles: true }));
    }, SAVE_AFTER_MS);
  }

  // Acts ---------------------------------------------------------------------

  #place({ clientX, clientY }) {
    const at = new DOMPoint(clientX, clientY).matrixTransform(this.svg.getScreenCTM().inverse());
    return [at.x, at.y];
  }

  #tap(place) {
    const near = this.points.findIndex((point) => Math.hypot(point[0] - place[0], point[1] - place[1]) < NEAR_MM);
    if (this.chosen === null && near >= 0) {
      this.chosen = near;
      this.#draw();
      this.#say();
    } else this.#set(place);
  }

  #snapped(mm) { return Math.round(mm * 20) / 20; }

  /** A new point, or the chosen one's new place. */
  #set(place) {
    const rounded = place.map(this.#snapped);
    if (this.chosen === null && this.points.length >= MOST[this.tool]) {
      this.status.textContent = this.dataset.full;
      return;
    }
    this.#keep();
    if (this.chosen === null) this.points.push(rounded);
    else this.points[this.chosen] = rounded;
    this.chosen = null;
    this.#write();
  }

  #take(tool) {
    this.tool = tool;
    this.chosen = null;
    for (const button of this.querySelectorAll('[data-tool]')) button.setAttribute('aria-pressed', String(button.dataset.tool === tool));
    this.#draw();
    this.#say();
  }

  #choose(by) {
    const count = this.points.length;
    if (!count) return;
    this.chosen = this.chosen === null ? (by > 0 ? 0 : count - 1) : (this.chosen + by + count) % count;
    this.cursor = null;
    this.#draw();
    this.#say();
  }

  #nudge([right, down]) {
    if (!this.points.length) return;
    if (this.chosen === null) this.chosen = this.points.length - 1;
    this.#keep();
    const point = this.points[this.chosen];
    this.points[this.chosen] = [point[0] + right * STEP_MM, point[1] + down * STEP_MM];
    this.#write();
  }

  #remove() {
    if (!this.points.length) return;
    this.#keep();
    this.points.splice(this.chosen ?? this.points.length - 1, 1);
    this.chosen = null;
    this.#write();
  }

  #undo() {
    const before = this.past.pop();
    if (!before) return;
    this.places = JSON.parse(before);
    this.chosen = null;
    this.#write();
  }

  #key(event) {
    if (event.altKey || event.metaKey || (event.ctrlKey && event.key !== 'z')) return;
    const acts = {
      Enter: () => this.#set(this.cursor ?? this.middle),
      ' ': () => this.#set(this.cursor ?? this.middle),
      n: () => this.#choose(1),
      p: () => this.#choose(-1),
      Delete: () => this.#remove(),
      Backspace: () => this.#remove(),
      z: () => this.#undo(),
      Escape: () => { this.chosen = null; this.cursor = null; this.#draw(); this.#say(); },
    };
    const arrow = ARROWS[event.key];
    const act = arrow ? () => this.#arrow(arrow.map((way) => way * (event.shiftKey ? LEAP : 1))) : acts[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!act) return;
    event.preventDefault();
    act();
  }

  #arrow(way) {
    if (this.chosen !== null) {
      this.#nudge(way);
      return;
    }
    const from = this.cursor ?? this.middle;
    this.cursor = this.cursor ? [from[0] + way[0] * STEP_MM, from[1] + way[1] * STEP_MM] : from;
    this.#draw();
    this.#say();
  }

  // What is seen and said ----------------------------------------------------

  /** A place as "1.2 mm left, 0.3 mm down". */
  #words([right, down]) {
    const [leftward, rightward, up, downward] = this.dataset.places.split('|');
    return [right < 0 ? leftward : rightward, down < 0 ? up : downward]
      .map((words, axis) => words.replace('{mm}', Math.abs([right, down][axis]).toFixed(1))).join(', ');
  }

  #draw() {
    const parts = [];
    const { outline, orifices } = this.places;
    if (outline.length > 1) parts.push(['path', { class: 'map-cut map-cut-own', d: `M${outline.map((pair) => pair.join(' ')).join('L')}${outline.length > 2 ? 'Z' : ''}` }]);
    outline.forEach(([right, down], index) => {
      const chosen = this.tool === 'outline' && index === this.chosen;
      parts.push(['circle', { class: `outline-point${chosen ? ' outline-point-chosen' : ''}`, cx: right, cy: down, r: chosen ? 0.26 : 0.18 }]);
      parts.push(['text', { class: 'outline-number', x: right + 0.22, y: down - 0.22 }, index + 1]);
    });
    orifices.forEach(([right, down], index) => {
      const arm = this.tool === 'orifices' && index === this.chosen ? 0.5 : 0.35;
      parts.push(['path', { class: 'map-mark', d: `M${right - arm} ${down}h${2 * arm}M${right} ${down - arm}v${2 * arm}` }]);
    });
    if (this.cursor && this.chosen === null) {
      const [right, down] = this.cursor;
      const d = `M${right - 0.6} ${down}h1.2M${right} ${down - 0.6}v1.2`;
      parts.push(['path', { class: 'outline-cursor-under', d }], ['path', { class: 'outline-cursor', d }]);
    }
    this.layer.replaceChildren(...parts.map(([name, attributes, text]) => {
      const part = document.createElementNS(SVG, name);
      for (const [key, value] of Object.entries(attributes)) part.setAttribute(key, value);
      if (text) part.textContent = text;
      return part;
    }));
  }

  #say() {
    const { outline, orifices } = this.places;
    const said = [];
    const at = this.chosen === null ? this.cursor : this.points[this.chosen];
    if (this.chosen !== null) said.push(this.tool === 'outline' ? this.dataset.chosen : this.dataset.chosenOrifice);
    else if (this.cursor) said.push(this.dataset.cursor);
    said.push(outline.length > 2 ? this.dataset.points : this.dataset.few);
    if (orifices.length) said.push(this.dataset.orifices.replace('{count}', orifices.length));
    this.status.textContent = said.join(' ')
      .replace('{number}', (this.chosen ?? 0) + 1)
      .replace('{place}', at ? this.#words(at) : '')
      .replace('{count}', outline.length).replace('{area}', area(outline).toFixed(1));
  }
}

/** Of a closed outline, mm². */
function area(outline) {
  const twice = outline.reduce((sum, [x, y], index) => {
    const [toX, toY] = outline[(index + 1) % outline.length];
    return sum + x * toY - toX * y;
  }, 0);
  return Math.abs(twice) / 2;
}

customElements.define('crown-outline', CrownOutline);
