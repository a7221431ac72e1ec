/** From marks on the film to answers: the mark last set can be taken over; marks that answer nothing stay on this device. */

const TAKES = { point: 1, angle: 3 };

/** Before the viewer mounts: marks of this visit come back. */
export function keepScratchMarks() {
  for (const viewer of document.querySelectorAll('film-viewer:not([data-fixed])')) {
    const kept = read(nameOf(viewer.dataset.film));
    const field = viewer.querySelector('[data-part="document"]');
    if (kept && field) field.value = kept;
  }
  document.addEventListener('marks-changed', ({ detail }) => {
    try { sessionStorage.setItem(nameOf(detail.film), JSON.stringify(detail.document)); } catch { /* full or forbidden: marks live as long as the page */ }
  });
}

export function offerMarks() {
  const offer = () => {
    for (const button of document.querySelectorAll('[data-take]')) button.hidden = !lastMark(button.dataset.take);
  };
  document.addEventListener('marks-changed', offer);
  document.addEventListener('click', ({ target }) => {
    const button = target.closest?.('[data-take]');
    if (button) take(button.form, button.dataset.take);
  });
  customElements.whenDefined('film-viewer').then(offer);
}

function take(form, kind) {
  const { viewer, mark } = lastMark(kind);
  const pitch = Number(viewer.dataset.mmPerPx);
  const set = (name, value) => { form.elements.namedItem(name).value = value; };
  const film = viewer.dataset.film.replace('film-', '');
  for (const radio of form.querySelectorAll('[name="film"][type="radio"]')) radio.checked = radio.value === film;
  const open = form.elements.namedItem('cannot_tell');
  if (open) open.checked = false;
  if (kind === 'point') {
    set('x1', (mark.points[0][0] * pitch).toFixed(2));
    set('y1', (mark.points[0][1] * pitch).toFixed(2));
  } else {
    set('value', viewer.marks.reading(mark).toFixed(1));
    set('points_px', mark.points.map((point) => point.join(',')).join(';'));
  }
  form.dispatchEvent(new Event('change', { bubbles: true }));
}

function lastMark(kind) {
  const viewer = document.querySelector('film-viewer:not([data-fixed])');
  const marks = viewer?.marks?.list.filter((mark) => mark.kind === kind && mark.points.length === TAKES[kind]) ?? [];
  return marks.length ? { viewer, mark: marks.at(-1) } : null;
}

function nameOf(film) { return `marks:${location.pathname}:${film}`; }

function read(name) {
  try { return sessionStorage.getItem(name); } catch { return null; }
}
