/** What the buttons and keys of a film do: each is asked for as "verb" or "verb:detail", in data-do or by a key. */

import { stepsOf } from './keys.js';

const SIDES = { left: [-1, 0], right: [1, 0], up: [0, -1], down: [0, 1] };
const PAN_SHARE = 0.2;
const ZOOM_STEP = 1.5;
/** Where the points of a mark made by numbers stand first, as shares of the film's width; all at half its height. */
const FIRST_PLACES = { point: [0.5], length: [0.4, 0.6], angle: [0.4, 0.5, 0.6] };
/** Left out where marks are only shown. */
const EDITING = ['arm', 'place', 'remove', 'undo', 'redo', 'scale', 'write', 'nudge', 'choose', 'next', 'previous', 'back'];

/** @param {HTMLElement} film the <film-viewer> @param {string} asked @param {Event} [event] the click or key it came from */
export function act(film, asked, event) {
  const [verb, detail] = asked.split(':');
  if (film.fixed && EDITING.includes(verb)) return;
  ACTS[verb]?.(film, detail, event);
}

const ACTS = {
  /** A tool the page does not offer is not taken by key either. */
  arm(film, tool) {
    if (!film.querySelector(`[data-do="arm:${tool}"]`)) return;
    if (tool === 'scale') film.hand.knownMm = film.part('known')?.valueAsNumber ?? NaN;
    film.hand.arm(tool);
    if (!film.hand.tool) return;
    if (film.drawing.hidden) ACTS.hide(film);
    film.hand.aim([...film.view.centre]);
  },
  place({ hand, view }) {
    if (hand.tool) hand.place(hand.cursor ?? [...view.centre]);
    else if (!hand.chosen) hand.chooseNext(1);
  },
  back: ({ hand }) => hand.back(),
  next: (film) => step(film, 1),
  previous: (film) => step(film, -1),
  choose: ({ hand }, pin) => hand.choose(Number(pin), 0),
  nudge: (film, side) => arrow(film, side, 1),
  arrow: (film, side, event) => arrow(film, side, stepsOf(event)),
  remove(film, pin) {
    const inUse = document.activeElement;
    const lost = film.part('list')?.contains(inUse) || film.stage.contains(inUse) || inUse === document.body;
    film.hand.remove(pin ? Number(pin) : undefined);
    if (lost) film.stage.focus({ preventScroll: true });
  },
  undo: ({ hand }) => hand.history('undo'),
  redo: ({ hand }) => hand.history('redo'),
  scale(film) {
    film.marks.scaleBack();
    film.speech.say(`scale.${film.marks.now.scale.from}`);
  },
  /** A mark made without pointing: its points in a row across the middle, to be put right as numbers. */
  write(film, kind) {
    const { width, height } = film.about;
    if (film.hand.add(kind, FIRST_PLACES[kind].map((share) => [width * share, height / 2]))) film.rows.focus(film.hand.chosen.pin);
  },
  zoom(film, way) {
    const at = film.pointInUse();
    const held = at && film.view.shows(at) ? film.view.toStage(at) : undefined;
    film.view.zoomTo(film.view.zoom * (way === 'in' ? ZOOM_STEP : 1 / ZOOM_STEP), held);
    sayZoom(film);
  },
  fit(film) {
    film.view.fit();
    sayZoom(film);
  },
  pan: (film, side) => pan(film, side, PAN_SHARE),
  hide(film) {
    film.drawing.hidden = !film.drawing.hidden;
    film.press('hide', film.drawing.hidden);
    film.speech.say(film.drawing.hidden ? 'hidden' : 'shown');
    film.drawing.refresh();
  },
  invert: (film) => film.setLook({ invert: !film.sheet.look.invert }),
  preset(film, detail) {
    const [brightness, contrast] = detail.split(',').map(Number);
    film.setLook({ brightness, contrast });
  },
  retry: (film) => film.arrive(true),
};

function arrow(film, side, steps) {
  const [right, down] = SIDES[side];
  const by = steps * film.marks.unit.step;
  if (!film.fixed && film.hand.nudge(right * by, down * by)) film.keepInSight();
  else pan(film, side, PAN_SHARE / 2);
}

function pan({ view }, side, share) {
  const [right, down] = SIDES[side];
  view.panBy(-right * view.stage.width * share, -down * view.stage.height * share);
}

function step(film, way) {
  film.hand.chooseNext(way);
  film.keepInSight();
  film.toFilm();
}

function sayZoom(film) { film.speech.say('zoom', { value: film.words.figure(film.view.zoom * 100, 0) }); }
