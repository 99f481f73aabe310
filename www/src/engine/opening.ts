import { wayWords, type WayOn } from './partFault.ts';

/* What stands on the page before the page is there: `www/index.html` holds it, and nothing of Preact is needed for it. */

/** Says how far the opening is; `share` of what must arrive, null where that is not known. */
export function sayOpening(words: string, share: number | null = null): void {
  const said = document.getElementById('opening-said');
  const bar = document.getElementById('opening-bar');
  if (said) said.textContent = words;
  if (bar instanceof HTMLProgressElement) {
    if (share === null) bar.removeAttribute('value');
    else bar.value = share;
  }
}

/** Says what went wrong in opening, with the way on. */
export function sayFault(words: string, way: WayOn | null, go: () => void): void {
  const place = document.getElementById('fault');
  if (!place) return;
  sayOpening('');
  document.getElementById('opening-bar')?.setAttribute('hidden', '');
  const sentence = document.createElement('p');
  sentence.textContent = words;
  place.replaceChildren(sentence);
  if (way === null) return;
  const button = document.createElement('button');
  button.type = 'button';
  button.className = 'act';
  button.textContent = wayWords(way);
  button.addEventListener('click', () => {
    clearFault();
    go();
  });
  place.append(button);
}

/** Nothing has gone wrong, yet or any more: the page is being loaded. */
export function clearFault(): void {
  document.getElementById('fault')?.replaceChildren();
  document.getElementById('opening-bar')?.removeAttribute('hidden');
  sayOpening('Loading');
}
