import type { WhoAsks } from '../../shared/api/access.ts';
import { Refused, call } from '../api.ts';

/**
 * The page for a device that is not paired yet: takes the code, and goes on to the first screen once it is
 * let in.
 */
const form = document.getElementById('enter');
const wrong = document.getElementById('wrong');

/** A name that tells devices apart in the list; the person may write another. */
const guess = (agent: string): string =>
  /iPad|Tablet/.test(agent) ? 'Tablet' : /Mobi|iPhone|Android/.test(agent) ? 'Phone' : 'Computer';

function show(sentence: string): void {
  if (wrong) wrong.textContent = sentence;
}

const goOn = (): void => location.replace('./');

async function enter(fields: FormData): Promise<void> {
  show('');
  try {
    await call('POST', '/api/access/enter', { code: fields.get('code'), name: fields.get('name') });
    goOn();
  } catch (error) {
    show(error instanceof Refused ? error.message : 'That did not work: try again.');
  }
}

/** Asking makes the terminal show a code. */
async function requestCode(): Promise<void> {
  try {
    const who = await call<WhoAsks>('GET', '/api/access');
    if (who.right !== null) goOn();
  } catch (error) {
    show(error instanceof Refused ? error.message : 'The server does not answer.');
  }
}

if (form instanceof HTMLFormElement) {
  const name = form.elements.namedItem('name');
  if (name instanceof HTMLInputElement) name.value = guess(navigator.userAgent);
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    void enter(new FormData(form));
  });
  // Until here the browser itself would have sent the form: the code in the address, and nobody let in.
  form.querySelector('button')?.removeAttribute('disabled');
}
void requestCode();
