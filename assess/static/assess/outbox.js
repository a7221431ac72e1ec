/**
 * Answers on their way to the server, in order. What the network does not take is kept on this device and sent again; a
 * key of its own makes a repeat harmless.
 *
 * @typedef {{url: string, body: string, task: string}} Letter
 */

const FIRST_WAIT_MS = 2000;
const LONGEST_WAIT_MS = 30000;

export class Outbox extends EventTarget {
  #sending = null;
  #wait = FIRST_WAIT_MS;

  /** @param {string} name under which unsent letters are kept @param {() => string} token the form token of this page */
  constructor(name, token) {
    super();
    this.name = name;
    this.token = token;
    addEventListener('online', () => this.send());
  }

  /** @returns {Letter[]} */
  get letters() {
    try { return JSON.parse(localStorage.getItem(this.name)) ?? []; } catch { return []; }
  }

  set letters(letters) {
    try {
      if (letters.length) localStorage.setItem(this.name, JSON.stringify(letters));
      else localStorage.removeItem(this.name);
    } catch { this.unkept = letters; }
  }

  /** An answer takes the place of one to the same task that has not left yet. @param {Letter} letter */
  put(letter) {
    const [first, ...rest] = this.letters;
    const waiting = this.#sending ? [first, ...rest.filter(({ task }) => task !== letter.task)] : this.letters.filter(({ task }) => task !== letter.task);
    this.letters = [...waiting.filter(Boolean), letter];
    this.send();
  }

  /** Resolves once nothing is under way: all sent, or the network is down. */
  send() {
    this.#sending ??= this.#sendAll().finally(() => { this.#sending = null; });
    return this.#sending;
  }

  async #sendAll() {
    for (let [letter] = this.letters; letter; [letter] = this.letters) {
      const outcome = await this.#post(letter);
      this.#tell(letter, outcome);
      if (outcome.state === 'waiting') {
        setTimeout(() => this.send(), this.#wait);
        this.#wait = Math.min(LONGEST_WAIT_MS, this.#wait * 2);
        return;
      }
      this.#wait = FIRST_WAIT_MS;
      this.letters = this.letters.filter(({ body }) => body !== letter.body);
    }
  }

  /** @param {Letter} letter */
  async #post({ url, body }) {
    const headers = { Accept: 'application/json', 'Content-Type': 'application/x-www-form-urlencoded', 'X-CSRFToken': this.token() };
    try {
      const response = await fetch(url, { method: 'POST', body, headers, redirect: 'manual', keepalive: true });
      if (response.status === 204) return { state: 'saved' };
      if (response.status === 400 && response.headers.get('Content-Type')?.startsWith('application/json')) {
        return { state: 'refused', sentence: (await response.json()).refused };
      }
      // Signed out, or the site is being restarted: kept. Anything else will not become better by sending it again.
      return { state: response.type === 'opaqueredirect' || response.status >= 500 ? 'waiting' : 'closed' };
    } catch {
      return { state: 'waiting' };
    }
  }

  #tell({ task }, outcome) { this.dispatchEvent(new CustomEvent('told', { detail: { task, ...outcome } })); }
}

/** A key that no other submission has. */
export function freshKey() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
