/**
 * Which part of the film is shown, and how large. Numbers only, no page: film pixels in, stage pixels (CSS pixels) out.
 *
 * @typedef {import('./measure.js').Point} Point
 * @typedef {{zoom: number, centre: Point}} Place centre as a share (0 to 1) of the film's width and height
 */

const LARGEST_ZOOM = 12;
const RIM_PX = 48;

export class View extends EventTarget {
  /** @param {number} width of the film in pixels @param {number} height */
  constructor(width, height) {
    super();
    this.film = { width, height };
    this.stage = { width, height };
    /** 1 shows the whole film. */
    this.zoom = 1;
    /** @type {Point} film pixel in the middle of the stage */
    this.centre = [width / 2, height / 2];
  }

  /** Stage pixels per film pixel. */
  get scale() {
    return this.zoom * Math.min(this.stage.width / this.film.width, this.stage.height / this.film.height);
  }

  /** Where the film's corner is on the stage. @returns {Point} */
  get corner() {
    return [this.stage.width / 2 - this.centre[0] * this.scale, this.stage.height / 2 - this.centre[1] * this.scale];
  }

  /** @param {Point} point film pixels @returns {Point} stage pixels */
  toStage([x, y]) {
    const [left, top] = this.corner;
    return [left + x * this.scale, top + y * this.scale];
  }

  /** @param {Point} point stage pixels @returns {Point} film pixels */
  toFilm([x, y]) {
    const [left, top] = this.corner;
    return [(x - left) / this.scale, (y - top) / this.scale];
  }

  /** @param {number} width of the stage in CSS pixels @param {number} height */
  resize(width, height) {
    if (!width || !height || (width === this.stage.width && height === this.stage.height)) return;
    this.stage = { width, height };
    this.#settle();
  }

  /**
   * Zoom, and carry the film pixel under `from` to `to`: one place for a wheel, two for fingers.
   * @param {number} zoom
   * @param {Point} [from] stage pixels
   * @param {Point} [to] stage pixels
   */
  zoomTo(zoom, from = [this.stage.width / 2, this.stage.height / 2], to = from) {
    const held = this.toFilm(from);
    this.zoom = Math.min(LARGEST_ZOOM, Math.max(1, zoom));
    const [x, y] = this.toStage(held);
    this.panBy(to[0] - x, to[1] - y);
  }

  /** Move the film under the stage. @param {number} dx stage pixels @param {number} dy */
  panBy(dx, dy) {
    this.centre = [this.centre[0] - dx / this.scale, this.centre[1] - dy / this.scale];
    this.#settle();
  }

  /** Show the whole film. */
  fit() {
    this.zoom = 1;
    this.#settle();
  }

  /** Pan no further than needed to have the point well on the stage. @param {Point} point film pixels */
  reveal(point) {
    const { width, height } = this.stage;
    const [x, y] = this.toStage(point);
    const rim = Math.min(RIM_PX, width / 4, height / 4);
    const dx = Math.max(rim - x, 0) + Math.min(width - rim - x, 0);
    const dy = Math.max(rim - y, 0) + Math.min(height - rim - y, 0);
    if (dx || dy) this.panBy(dx, dy);
  }

  /** @param {Point} point film pixels @param {number} [slack] stage pixels beyond the stage that still count */
  shows(point, slack = 0) {
    const [x, y] = this.toStage(point);
    return x >= -slack && y >= -slack && x <= this.stage.width + slack && y <= this.stage.height + slack;
  }

  /** Free of stage and film size, so that another film can follow. @returns {Place} */
  place() {
    return { zoom: this.zoom, centre: [this.centre[0] / this.film.width, this.centre[1] / this.film.height] };
  }

  /** @param {Place} place */
  goTo({ zoom, centre }) {
    this.zoom = zoom;
    this.centre = [centre[0] * this.film.width, centre[1] * this.film.height];
    this.#settle();
  }

  /** No empty stage beside a film that is larger; a smaller one stands in the middle. */
  #settle() {
    /** @type {('width'|'height')[]} */ (['width', 'height']).forEach((side, axis) => {
      const half = this.stage[side] / this.scale / 2;
      const size = this.film[side];
      this.centre[axis] = half * 2 >= size ? size / 2 : Math.min(size - half, Math.max(half, this.centre[axis]));
    });
    this.dispatchEvent(new Event('change'));
  }
}
