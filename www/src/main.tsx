import { render } from 'preact';
import { App } from './parts/App';
import { openPage } from './state/desk';
import { keepPlan } from './state/store';
import './styles/base.css';
import './styles/layout.css';
import './styles/plan.css';
import './styles/entries.css';
import './styles/proof.css';
import './styles/tester.css';
import './styles/scale.css';
import './styles/plots.css';
import './styles/print.css';

const host = document.getElementById('page');
if (host) {
  render(<App />, host);
  keepPlan();
  openPage().catch((error: unknown) => {
    const words = error instanceof Error ? error.message : String(error);
    render(<p class="opening" role="alert">{words}</p>, host);
  });
}
