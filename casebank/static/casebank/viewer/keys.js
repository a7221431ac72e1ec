/** Keys on the film. Single characters count only while the film has focus, and a box on the page turns them off. */

const ARROWS = { ArrowLeft: 'left', ArrowRight: 'right', ArrowUp: 'up', ArrowDown: 'down' };
const NAMED = {
  Enter: 'place', ' ': 'place', Escape: 'back', Delete: 'remove', Backspace: 'remove',
  PageUp: 'zoom:in', PageDown: 'zoom:out', Home: 'fit',
};
const CHARACTERS = {
  m: 'arm:point', l: 'arm:length', a: 'arm:angle', v: 'arm:move',
  n: 'next', p: 'previous', h: 'hide', i: 'invert',
  '+': 'zoom:in', '=': 'zoom:in', '-': 'zoom:out', 0: 'fit',
};

/** How many usual steps one arrow press goes: 1, with Shift 10, with Ctrl a tenth. @param {KeyboardEvent} event */
export function stepsOf(event) {
  if (event.shiftKey) return 10;
  return event.ctrlKey ? 0.1 : 1;
}

/**
 * What a key asks for, in the words of data-do.
 * @param {KeyboardEvent} event
 * @param {boolean} characters whether single characters count
 * @returns {string|null} null leaves the key to the browser
 */
export function askedBy(event, characters) {
  if (event.altKey || event.isComposing) return null;
  if (ARROWS[event.key]) return `arrow:${ARROWS[event.key]}`;
  const character = event.key.toLowerCase();
  if (event.ctrlKey || event.metaKey) {
    if (character === 'z') return event.shiftKey ? 'redo' : 'undo';
    return character === 'y' ? 'redo' : null;
  }
  return NAMED[event.key] ?? (characters ? CHARACTERS[character] ?? null : null);
}
