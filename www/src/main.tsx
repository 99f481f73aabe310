import { render } from 'preact';
import { App } from './parts/App';
import { open } from './state/opening';
import './styles/base.css';
import './styles/layout.css';
import './styles/plan.css';
import './styles/entries.css';
import './styles/proof.css';
import './styles/tester.css';
import './styles/scale.css';
import './styles/plots.css';
import './styles/panels.css';
import './styles/compare.css';
import './styles/wall.css';
import './styles/print.css';

const host = document.getElementById('page');
if (host) {
  render(<App />, host);
  open().catch((error: unknown) => {
    const words = error instanceof Error ? error.message : String(error);
    render(<p class="opening" role="alert">{words}</p>, host);
  });
}
