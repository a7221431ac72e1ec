/** Forms whose answer changes a part of the page: the page that comes back gives the parts, the rest stays as it is. */

import { freshKey } from './outbox.js';
import { outbox } from './saving.js';

export function swapParts() {
  document.addEventListener('submit', async (event) => {
    const form = event.target.closest('form[data-swap]');
    if (!form) return;
    event.preventDefault();
    const button = event.submitter;
    if (button?.getAttribute('aria-busy') === 'true') return;
    button?.setAttribute('aria-busy', 'true');
    try {
      await outbox.send();
      await send(form);
    } catch {
      form.submit(); // the network failed: the browser's own way says so
    } finally {
      button?.removeAttribute('aria-busy');
    }
  });
}

/** @param {HTMLFormElement} form */
async function send(form) {
  const response = await fetch(form.action, { method: 'POST', body: new URLSearchParams(new FormData(form)) });
  const page = new DOMParser().parseFromString(await response.text(), 'text/html');
  const parts = form.dataset.swap.split(' ');
  if (!response.ok || !page.getElementById(parts[0])) {
    document.querySelector('main').replaceWith(page.querySelector('main'));
    (document.querySelector('main .err') ?? document.querySelector('main h1')).scrollIntoView({ block: 'center' });
    return;
  }
  form.querySelector('.err[role="alert"]')?.remove();
  const key = form.elements.namedItem('key');
  if (key) key.value = freshKey();
  history.replaceState(null, '', response.url);
  for (const id of parts) swap(id, page);
  if (form.dataset.focus) focusOn(form.dataset.focus);
}

const stale = { parts: new Set(), summaries: new Set() };
let looking = null;

/** Show parts of this page as they are now. @param {string[]} ids @param {string} [summaryOf] a disclosure whose summary too */
export function refresh(ids, summaryOf) {
  ids.forEach((id) => stale.parts.add(id));
  if (summaryOf) stale.summaries.add(summaryOf);
  looking ??= look().finally(() => { looking = null; });
}

/** One look after the other: of two at once, the older could come back last and show what is no longer so. */
async function look() {
  while (stale.parts.size) {
    const [parts, summaries] = [[...stale.parts], [...stale.summaries]];
    stale.parts.clear();
    stale.summaries.clear();
    const response = await fetch(location.href).catch(() => null);
    if (!response?.ok) return;
    const page = new DOMParser().parseFromString(await response.text(), 'text/html');
    for (const id of parts) swap(id, page);
    for (const id of summaries) {
      const fresh = page.getElementById(id)?.querySelector('summary');
      if (fresh) document.getElementById(id).querySelector('summary').replaceChildren(...fresh.childNodes);
    }
  }
}

/** A live region keeps its node and gets its words a moment later, so that they are read out. */
function swap(id, page) {
  const [old, fresh] = [document.getElementById(id), page.getElementById(id)];
  if (!old || !fresh) return;
  const [said, toSay] = [old.querySelector('[role="status"].answer'), fresh.querySelector('[role="status"].answer')];
  if (said && toSay) toSay.replaceWith(said);
  old.replaceWith(fresh);
  if (said && toSay) setTimeout(() => said.replaceChildren(...toSay.childNodes), 50);
}

function focusOn(id) {
  const place = document.getElementById(id);
  if (!place) return;
  place.tabIndex = -1;
  place.focus();
}
