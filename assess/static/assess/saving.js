/** Each answer saves itself as soon as it is one; the line under it says so. */

import { freshKey, Outbox } from './outbox.js';
import { refresh } from './swapping.js';

const CLOCK = new Intl.DateTimeFormat(document.documentElement.lang || 'en', { hour: '2-digit', minute: '2-digit', hour12: false });
const attempt = location.pathname.split('/').slice(0, 3).join('/');

export const outbox = new Outbox(`unsent:${attempt}`, () => document.querySelector('[name="csrfmiddlewaretoken"]')?.value ?? '');

export function saveAsYouGo() {
  document.addEventListener('change', ({ target }) => {
    const form = target.closest?.('form[data-autosave]');
    if (form && isAnswer(form)) save(form);
  });
  document.addEventListener('submit', (event) => {
    const form = event.target.closest('form[data-autosave]');
    if (!form) return;
    event.preventDefault();
    save(form);
    const factor = form.closest('details.factor');
    if (factor) goOn(factor);
  });
  // A page that lists what is open must not overtake an answer.
  document.addEventListener('click', async (event) => {
    const link = event.target.closest('a[href]');
    if (!link || !outbox.letters.length || link.origin !== location.origin || event.ctrlKey || event.metaKey || event.button) return;
    if (link.pathname === location.pathname && link.hash) return;
    event.preventDefault();
    await outbox.send();
    location.assign(link.href);
  });
  outbox.addEventListener('told', ({ detail }) => tell(detail));
  if (outbox.letters.length) outbox.send();
}

/** Whether all that makes an answer is there; how sure the student is may follow. @param {HTMLFormElement} form */
function isAnswer(form) {
  const boxes = [...form.querySelectorAll('input[type="checkbox"][name="values"]')];
  if (boxes.length && !boxes.some(({ checked }) => checked)) return false;
  if (!form.elements.cannot_tell?.checked && !isRead(form)) return false;
  return [...form.elements].every((one) => one.name === 'confidence' || !one.willValidate || one.validity.valid);
}

/** Whether everything a reading needs is filled in; films that cannot tell need none of it, so no field is required. */
function isRead(form) {
  const sent = new FormData(form);
  return [...form.querySelectorAll('[data-needed]')].every(({ name }) => sent.get(name));
}

/** @param {HTMLFormElement} form */
function save(form) {
  const sent = new FormData(form);
  sent.delete('csrfmiddlewaretoken');
  sent.set('key', freshKey());
  say(form, 'saving', form.querySelector('.saved').dataset.saving);
  outbox.put({ url: form.action, body: new URLSearchParams(sent).toString(), task: form.dataset.autosave });
}

function tell({ task, state, sentence }) {
  const form = [...document.forms].find(({ dataset }) => dataset.autosave === task);
  if (!form) return;
  const line = form.querySelector('.saved');
  form.querySelector('.err[role="alert"]')?.remove();
  if (state === 'saved') {
    say(form, state, line.dataset.saved.replace('{time}', CLOCK.format(new Date())));
    if (form.dataset.kind === 'level') refresh(['profile', 'levels-given'], form.closest('details.factor')?.id);
  } else if (state === 'refused') say(form, state, sentence);
  else if (state === 'waiting') say(form, state, line.dataset.waiting);
  else location.reload();
}

function say(form, state, words) {
  const line = form.querySelector('.saved');
  line.dataset.state = state;
  line.textContent = words;
}

/** Close a factor and open the next; without a next, to the whole. */
function goOn(factor) {
  const factors = [...document.querySelectorAll('details.factor')];
  const next = factors[factors.indexOf(factor) + 1];
  factor.open = false;
  if (next) {
    next.open = true;
    next.querySelector('summary').focus();
    next.scrollIntoView({ block: 'start' });
  } else document.getElementById('whole')?.scrollIntoView({ block: 'start' });
}
