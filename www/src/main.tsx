import { render } from 'preact';
import { App } from './parts/App';
import { fetchAll } from './state/ahead';
import { open } from './state/startup';
import './styles/base.css';
import './styles/layout.css';
import './styles/plan.css';
import './styles/entries.css';
import './styles/proof.css';
import './styles/tester.css';
import './styles/scale.css';
import './styles/plots.css';
import './styles/panels.css';
import './styles/print.css';
import './styles/seen.css';

/** Quiet time before the rest of the page is fetched, ms. */
const REST_AFTER_MS = 4000;

const host = document.getElementById('page');
if (host) {
  render(<App />, host);
  open().then(() => setTimeout(() => void fetchAll(), REST_AFTER_MS)).catch((error: unknown) => {
    const words = error instanceof Error ? error.message : String(error);
    render(<p class="opening" role="alert">{words}</p>, host);
  });
}
