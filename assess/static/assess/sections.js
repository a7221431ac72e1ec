/** Moving through a volume without a reload: a slider changes its own picture and its line on the other two. */

const form = document.getElementById('sections');
const QUIET_MS = 80;
const waiting = new Map();

if (form) {
  form.querySelector('[data-part="show"]').hidden = true;
  form.addEventListener('submit', (event) => event.preventDefault());
  form.addEventListener('input', ({ target }) => {
    if (target.type === 'range') moved(target);
    else figures().forEach(ask);
  });
  form.addEventListener('click', ({ target }) => {
    const button = target.closest('[data-by]');
    if (!button) return;
    const slider = button.parentElement.querySelector('input');
    if (button.dataset.by > 0) slider.stepUp(); else slider.stepDown();
    moved(slider);
  });
}

function figures() {
  return [...form.querySelectorAll('[data-plane]')];
}

/** @param {HTMLInputElement} slider */
function moved(slider) {
  const figure = slider.closest('[data-plane]');
  const at = Number(slider.value);
  const { zero, up, down } = figure.dataset;
  const words = at === 0 ? zero : `${Math.abs(at).toFixed(1)} mm ${at > 0 ? up : down}`;
  figure.querySelector('[data-part="words"]').value = words;
  slider.setAttribute('aria-valuetext', words);
  for (const line of form.querySelectorAll(`line[data-of="${slider.name}"]`)) {
    const place = 50 + Number(line.dataset.perMm) * (at - Number(line.dataset.offset));
    const upright = line.getAttribute('y2') === '100' && line.getAttribute('y1') === '0';
    for (const end of upright ? ['x1', 'x2'] : ['y1', 'y2']) line.setAttribute(end, place.toFixed(2));
  }
  clearTimeout(waiting.get(figure));
  waiting.set(figure, setTimeout(() => ask(figure), QUIET_MS)); // a slider passes many places; only where it rests counts
}

/** @param {HTMLElement} figure */
function ask(figure) {
  const slider = figure.querySelector('input');
  const image = figure.querySelector('img');
  const thick = form.querySelector('[name="thick"]:checked').value;
  const query = new URLSearchParams({ at: slider.value, thick });
  const done = () => { figure.removeAttribute('data-busy'); };
  figure.setAttribute('data-busy', '');
  image.onload = done;
  image.onerror = done;
  image.alt = `${figure.querySelector('b').textContent}, ${figure.querySelector('[data-part="words"]').value}`;
  image.src = `${figure.dataset.picture}?${query}`;
  history.replaceState(null, '', `?${new URLSearchParams(new FormData(form))}`);
}
