/** Stepping through a canal's moves without a reload: the page of a step gives its drawing and words, the control stays. */

const control = document.getElementById('chart-control');
const slider = control?.querySelector('input[type="range"]');
const numbers = (control?.dataset.numbers ?? '0').split(' ');
const KEYS = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, Home: -Infinity, End: Infinity };
let underWay = null;

if (control) {
  control.querySelector('form').addEventListener('submit', (event) => { event.preventDefault(); show(Number(slider.value)); });
  slider.addEventListener('input', () => show(Number(slider.value)));
  control.addEventListener('click', (event) => {
    const link = event.target.closest('[data-go]');
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    go(Number(link.dataset.go));
  });
  control.addEventListener('keydown', (event) => {
    const by = KEYS[event.key];
    if (by === undefined || event.target === slider || event.altKey || event.ctrlKey || event.metaKey) return; // the range has its own
    event.preventDefault();
    go(by);
  });
  document.addEventListener('click', ({ target }) => {
    const column = target.closest?.('#chart-drawing [data-place]');
    if (column) show(Number(column.dataset.place));
  });
}

/** @param {number} by how many moves on; beyond either end stays there */
function go(by) {
  const to = Math.min(numbers.length - 1, Math.max(0, Number(slider.value) + by));
  if (to !== Number(slider.value)) show(to);
}

/** @param {number} place among this canal's moves, 0 before the first */
async function show(place) {
  slider.value = place;
  slider.setAttribute('aria-valuetext', place ? control.dataset.words.replace('{number}', numbers[place]).replace('{place}', place) : control.dataset.first);
  underWay?.abort(); // who drags on has no use for the step before
  underWay = new AbortController();
  const address = new URL(`?move=${numbers[place]}`, location.href);
  try {
    const response = await fetch(address, { signal: underWay.signal });
    if (!response.ok) throw new Error(response.statusText);
    put(new DOMParser().parseFromString(await response.text(), 'text/html'));
    history.replaceState(null, '', address);
  } catch (trouble) {
    if (trouble.name !== 'AbortError') location.assign(address); // the browser's own way says what is wrong
  }
}

/** The live region and the control keep their nodes, so that words are read out and focus stays. @param {Document} page */
function put(page) {
  for (const id of ['chart-drawing', 'chart-why', 'chart-figures']) {
    const [old, fresh] = [document.getElementById(id), page.getElementById(id)];
    const open = [...old.querySelectorAll('details')].map((one) => one.open);
    fresh.querySelectorAll('details').forEach((one, number) => { one.open = open[number] ?? one.open; });
    old.replaceWith(fresh);
  }
  document.getElementById('chart-said').replaceChildren(...page.getElementById('chart-said').childNodes);
  document.title = page.title;
  for (const link of control.querySelectorAll('[data-go]')) {
    const fresh = page.querySelector(`#chart-control [data-go="${link.dataset.go}"]`);
    const ended = !fresh.hasAttribute('href');
    if (ended && document.activeElement === link) slider.focus(); // a link that leads nowhere cannot keep it
    link.toggleAttribute('href', !ended);
    if (ended) link.setAttribute('aria-disabled', 'true');
    else {
      link.href = fresh.getAttribute('href');
      link.removeAttribute('aria-disabled');
    }
  }
}
