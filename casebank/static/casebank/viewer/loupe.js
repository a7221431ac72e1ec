/** A magnifier in a corner of the stage while a finger hides the point it drags. */

const SIZE_PX = 116;
const TIMES = 2.5;

export class Loupe {
  /** @param {HTMLElement} stage @param {import('./view.js').View} view @param {HTMLCanvasElement} film */
  constructor(stage, view, film) {
    Object.assign(this, { view, film });
    this.glass = document.createElement('canvas');
    this.glass.className = 'v-loupe';
    this.glass.setAttribute('aria-hidden', 'true');
    this.glass.hidden = true;
    stage.append(this.glass);
  }

  /** @param {import('./measure.js').Point} point film pixels */
  show(point) {
    if (this.film.hidden) return;
    const sharp = devicePixelRatio || 1;
    const size = SIZE_PX * sharp;
    if (this.glass.width !== size) Object.assign(this.glass, { width: size, height: size });
    this.glass.hidden = false;
    const [x, y] = this.view.toStage(point);
    this.glass.classList.toggle('v-loupe-right', x < SIZE_PX * 1.4 && y < SIZE_PX * 1.4);
    const pen = this.glass.getContext('2d');
    const part = SIZE_PX / (this.view.scale * TIMES);
    pen.fillStyle = '#000';
    pen.fillRect(0, 0, size, size);
    pen.drawImage(this.film, point[0] - part / 2, point[1] - part / 2, part, part, 0, 0, size, size);
    this.#cross(pen, size / 2, sharp);
  }

  hide() { this.glass.hidden = true; }

  /** A gap in the middle, so that the point itself stays in sight. */
  #cross(pen, middle, sharp) {
    for (const [colour, width] of [['#000', 4], ['#fff', 1.5]]) {
      pen.strokeStyle = colour;
      pen.lineWidth = width * sharp;
      pen.beginPath();
      for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) {
        pen.moveTo(middle + dx * 5 * sharp, middle + dy * 5 * sharp);
        pen.lineTo(middle + dx * 22 * sharp, middle + dy * 22 * sharp);
      }
      pen.stroke();
    }
  }
}
