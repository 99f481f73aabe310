import { render } from 'preact';
import { App } from './App.tsx';
import { fetchAll } from './engine/ahead.ts';
import { keepPage } from './offline/keep.ts';
import { CLOCK_OPEN } from './store/notifications.ts';
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
  render(<App />, host);
  open().then(async () => {
    setTimeout(() => void fetchAll().then(keepPage), REST_AFTER_MS);
    // A job is under way at the bench: the page says so.
    if (readKept(CLOCK_OPEN) === 'goes-on') (await import('./features/clock/clock.ts')).wire();
  }).catch((error: unknown) => {
    const words = error instanceof Error ? error.message : String(error);
    render(<p class="opening" role="alert">{words}</p>, host);
  });
}
