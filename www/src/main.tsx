import { render } from 'preact';
import { effect } from '@preact/signals';
import { App } from './App.tsx';
import { fetchAll } from './engine/ahead.ts';
import { sayFault } from './engine/opening.ts';
import { PartFault, partFault, wayWords } from './engine/partFault.ts';
import { keepPage } from './offline/keep.ts';
import { loadAnew } from './store/autosave.ts';
import { catalogue } from './store/catalogue.ts';
import { CLOCK_OPEN, note } from './store/notifications.ts';
import { readKept } from './store/persisted.ts';
import { open } from './store/startup.ts';
import './ui/base.css';
import './features/header/header.css';
import './features/first/welcome.css';
import './layout.css';
import './features/plan/plan.css';
import './ui/entries.css';
import './features/proof/proof.css';
import './features/tester/tester.css';
import './features/scale/scale.css';
import './ui/plots.css';
import './ui/panels.css';
import './ui/print.css';
import './ui/seen.css';

/** Quiet time before the rest of the page is fetched, ms. */
const REST_AFTER_MS = 4000;

const host = document.getElementById('page');
if (host) {
  host.dataset.begun = '';
  // What stands there meanwhile goes once there is more to see.
  const stop = effect(() => {
    if (!catalogue.value) return;
    host.replaceChildren();
    render(<App />, host);
    queueMicrotask(() => stop());
  });
  begin();
}

function begin(): void {
  open().then(async () => {
    setTimeout(() => void fetchAll().then(keepPage), REST_AFTER_MS);
    // A job is under way at the bench: the page says so.
    if (readKept(CLOCK_OPEN) === 'goes-on') (await import('./features/clock/clock.ts')).wire();
  }).catch((error: unknown) => {
    const fault = error instanceof PartFault ? error : null;
    const words = fault?.message ?? `Platewright could not start: ${error instanceof Error ? error.message : String(error)}.`;
    // Once the page stands there, only the page loaded anew begins from the beginning.
    sayFault(words, fault?.way ?? 'again', fault?.way === 'load' || catalogue.peek() ? loadAnew : begin);
  });
}

// Parts that are fetched in the midst of something, where nobody waits to tell of it.
addEventListener('unhandledrejection', (event) => {
  const { reason } = event as { reason: unknown };
  if (!(reason instanceof PartFault) && !(reason instanceof TypeError && /module/i.test(reason.message))) return;
  event.preventDefault();
  void (reason instanceof PartFault ? Promise.resolve(reason) : partFault('A part of the page')).then(({ message, way }) => note({
    key: 'part', words: message, acts: way === 'load' ? [{ name: wayWords(way).toLowerCase(), run: loadAnew }] : [],
  }));
});
