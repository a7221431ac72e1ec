/**
 * Where a mark's pin and its reading stand: beside the mark, on the stage, off other pins and off every line, so that
 * nothing that was measured is covered. Stage pixels throughout.
 *
 * @typedef {import('./measure.js').Point} Point
 * @typedef {[left: number, top: number, right: number, bottom: number]} Box
 * @typedef {{foot: Point, spot: Point, left: boolean}} Spot foot of the leader, middle of the pin, reading left of it
 */

const HALF_PIN = 12;
const LETTER = 8.5;
/** The millimetre rule keeps this much of the left and lower edge to itself. */
const RULE_STRIP = 34;
/** Turn from the way away from the mark, degrees, and distance, in the order they are tried. */
const TRIED = [32, 24, 60, 90].flatMap((far) => [0, 180, 35, -35, 145, -145].map((turn) => ({ turn: turn * Math.PI / 180, far })));

export class PinPlaces {
  /** @param {{width: number, height: number}} stage @param {Point[][]} lines all lines drawn */
  constructor(stage, lines) {
    this.stage = stage;
    this.ink = lines.flatMap(dots);
    /** @type {Box[]} */
    this.taken = [];
  }

  /** The best of a few places. @param {import('./marks.js').Kind} kind @param {Point[]} at @param {string} reading @returns {Spot} */
  take(kind, at, reading) {
    const { foot, away } = footOf(kind, at);
    const long = reading ? 20 + reading.length * LETTER : HALF_PIN;
    let best = null;
    for (const { turn, far } of TRIED) {
      const [dx, dy] = [away[0] * Math.cos(turn) - away[1] * Math.sin(turn), away[0] * Math.sin(turn) + away[1] * Math.cos(turn)];
      const spot = /** @type {Point} */ ([foot[0] + dx * far, foot[1] + dy * far]);
      const left = dx < -0.3 || spot[0] + long > this.stage.width;
      /** @type {Box} */
      const box = [spot[0] - (left ? long : HALF_PIN), spot[1] - HALF_PIN, spot[0] + (left ? HALF_PIN : long), spot[1] + HALF_PIN];
      const rank = (this.#onStage(box) ? 2 : 0) + (this.#free(box) ? 1 : 0);
      if (!best || rank > best.rank) best = { foot, spot, left, box, rank };
      if (rank === 3) break;
    }
    this.taken.push(best.box);
    return best;
  }

  #onStage([left, top, right, bottom]) {
    return left > RULE_STRIP && top > 0 && right < this.stage.width && bottom < this.stage.height - RULE_STRIP;
  }

  #free([left, top, right, bottom]) {
    return !this.taken.some((other) => right >= other[0] && left <= other[2] && bottom >= other[1] && top <= other[3])
      && !this.ink.some(([x, y]) => x > left && x < right && y > top && y < bottom);
  }
}

/** Where a leader starts and which way it goes: off the lines, covering no end. */
function footOf(kind, at) {
  if (kind === 'point') return { foot: at[0], away: [0.8, -0.6] };
  if (kind === 'length') return { foot: between(at[0], at[1], 0.5), away: across(at[0], at[1]) };
  const [before, after] = [unit(at[1], at[0]), unit(at[1], at[2])];
  const open = /** @type {Point} */ ([-(before[0] + after[0]), -(before[1] + after[1])]);
  const bent = Math.hypot(...open) > 0.6;
  return { foot: at[1], away: bent ? unit([0, 0], open) : across(at[0], at[2]) };
}

/** A line as points 8 px apart. @param {Point[]} at @returns {Point[]} */
function dots(at) {
  return at.flatMap((to, index) => {
    if (!index) return [to];
    const from = at[index - 1];
    const count = Math.min(400, Math.max(1, Math.ceil(Math.hypot(to[0] - from[0], to[1] - from[1]) / 8)));
    return Array.from({ length: count }, (_, n) => between(from, to, (n + 1) / count));
  });
}

/** @param {Point} from @param {Point} to @param {number} share @returns {Point} */
function between(from, to, share) {
  return [from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share];
}

/** @param {Point} from @param {Point} to @returns {Point} */
function unit(from, to) {
  const long = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
  return [(to[0] - from[0]) / long, (to[1] - from[1]) / long];
}

/** At right angles to a line, towards the right of the stage. @param {Point} from @param {Point} to @returns {Point} */
function across(from, to) {
  const [x, y] = unit(from, to);
  return y < 0 || (y === 0 && x > 0) ? [-y, x] : [y, -x];
}
