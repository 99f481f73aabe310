import { choose, savePlan, saveProof } from '../state/files';
import { redo, redoName, undo, undoName } from '../state/plan';
import { progress, said } from '../state/results';
import { light, units } from '../state/settings';
import { Words } from './plan/ChoiceEntry';
import { PICTURES } from './plan/PictureSection';

/** The page's name, and what can be done with the whole. */
export function Header() {
  const { done, of } = progress.value;
  const ready = of > 0 && done >= of;
  return (
    <header class="head">
      <h1>Platewright</h1>
      <nav class="head-acts" aria-label="Plan and proof">
        <button type="button" class="quiet" disabled={!undoName.value} title={undoName.value ? `Undo ${undoName.value}` : 'Nothing to undo'} onClick={undo}>undo</button>
        <button type="button" class="quiet" disabled={!redoName.value} title={redoName.value ? `Redo ${redoName.value}` : 'Nothing to redo'} onClick={redo}>redo</button>
        <button type="button" class="quiet" onClick={() => choose(`.json,application/json,${PICTURES}`)}>open…</button>
        <button type="button" class="quiet" onClick={savePlan}>save plan</button>
        <button type="button" class="quiet" disabled={!ready} title={ready ? 'As a PNG at true size' : 'When every grain is in'}
          onClick={() => { saveProof().catch((error: Error) => { said.value = `The proof could not be saved: ${error.message}`; }); }}>
          save proof
        </button>
        <button type="button" class="quiet" onClick={() => print()}>print</button>
      </nav>
      <div class="head-settings">
        <div role="radiogroup" aria-label="Units">
          <Words name="units" options={[['metric', 'metric'], ['us', 'US']]} chosen={units.value}
            onChoose={(word) => { units.value = word === 'us' ? 'us' : 'metric'; }} />
        </div>
        <div role="radiogroup" aria-label="Light in the room">
          <Words name="light" options={[['paper', 'daylight'], ['dim', 'dim']]} chosen={light.value}
            onChoose={(word) => { light.value = word === 'dim' ? 'dim' : 'paper'; }} />
        </div>
      </div>
    </header>
  );
}
