/** How many letters a text may still have, told once the hand rests, so that nothing is read out at every key. */

const AFTER_MS = 600;

export function tellLettersLeft() {
  for (const field of document.querySelectorAll('textarea[data-letters]')) {
    const line = field.parentElement.querySelector('[aria-live]');
    const tell = () => { line.textContent = field.dataset.letters.replace('{count}', field.maxLength - field.value.length); };
    let soon;
    field.addEventListener('input', () => { clearTimeout(soon); soon = setTimeout(tell, AFTER_MS); });
    if (field.value) tell();
  }
}
