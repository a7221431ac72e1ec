/**
 * The film's greys on a canvas. Brightness, contrast and invert never touch the values: they make a table with one grey
 * per value, and drawing is a look-up.
 *
 * @typedef {{brightness: number, contrast: number, invert: boolean}} Look brightness and contrast 0 to 100; 50 is as exposed
 */

export const AS_EXPOSED = Object.freeze({ brightness: 50, contrast: 50, invert: false });

const VALUES = 256;
/** Contrast doubles over so many steps of its slider. */
const STEPS_PER_DOUBLING = 16;
/** One step of brightness moves the window by this share of the whole range. */
const SHIFT_PER_STEP = 0.016;

/**
 * The window: which values become black and white.
 * @param {Look} look
 * @returns {{low: number, high: number}} as shares of the range of values
 */
export function windowOf({ brightness, contrast }) {
  const width = 2 ** ((50 - contrast) / STEPS_PER_DOUBLING);
  const middle = 0.5 + (50 - brightness) * SHIFT_PER_STEP;
  return { low: middle - width / 2, high: middle + width / 2 };
}

/** One opaque grey per value, in the byte order of a canvas (red first). @param {Look} look @returns {Uint32Array} */
export function greysOf(look) {
  const { low, high } = windowOf(look);
  const greys = new Uint8ClampedArray(VALUES * 4);
  for (let value = 0; value < VALUES; value += 1) {
    const share = (value / (VALUES - 1) - low) / (high - low);
    greys.fill((look.invert ? 1 - share : share) * 255, value * 4, value * 4 + 3);
    greys[value * 4 + 3] = 255;
  }
  return new Uint32Array(greys.buffer);
}

export class Sheet {
  /** @param {HTMLCanvasElement} canvas @param {number} width of the film @param {number} height */
  constructor(canvas, width, height) {
    Object.assign(canvas, { width, height });
    this.canvas = canvas;
    /** @type {Look} */
    this.look = AS_EXPOSED;
    /** @type {Uint8Array|null} */
    this.values = null;
  }

  /**
   * Take the values of a grey picture; green stands for all three.
   * @param {HTMLImageElement} picture complete; a picture from another origin throws a SecurityError
   */
  load(picture) {
    const { width, height } = this.canvas;
    this.pen = this.canvas.getContext('2d', { alpha: false, willReadFrequently: true });
    this.pen.drawImage(picture, 0, 0, width, height);
    this.image = this.pen.getImageData(0, 0, width, height);
    this.words = new Uint32Array(this.image.data.buffer);
    this.values = new Uint8Array(width * height);
    for (let index = 0; index < this.values.length; index += 1) this.values[index] = this.image.data[index * 4 + 1];
    this.draw(this.look);
  }

  /** @param {Look} look */
  draw(look) {
    this.look = look;
    if (!this.values) return;
    const greys = greysOf(look);
    const { values, words } = this;
    for (let index = 0; index < values.length; index += 1) words[index] = greys[values[index]];
    this.pen.putImageData(this.image, 0, 0);
  }
}
