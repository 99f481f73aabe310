import { choose, saveProof } from '../../store/fileActs.ts';
import { PICTURES, savePlan } from '../../store/files.ts';
import { redoAloud, redoWords, undoAloud, undoWords } from '../../store/names.ts';
import { lesson } from '../../store/lessons.ts';
import { panel } from '../../store/notifications.ts';
import { progress, said, summary } from '../../store/results.ts';
import { light, units } from '../../store/settings.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { NotYetWhole, PrintAct } from '../../ui/PrintAct.tsx';

/** The page's name, and what can be done with the whole. */
export function Header() {
  const { done, of } = progress.value;
  const ready = of > 0 && done >= of;
  return (
    <header class="head">
      <h1>Platewright</h1>
      <nav class="head-acts" aria-label="Plan and proof">
        <button type="button" class="quiet" disabled={undoWords.value === null} title={undoWords.value === null ? 'Nothing to undo' : `Undo ${undoWords.value}`} onClick={undoAloud}>undo</button>
        <button type="button" class="quiet" disabled={redoWords.value === null} title={redoWords.value === null ? 'Nothing to redo' : `Redo ${redoWords.value}`} onClick={redoAloud}>redo</button>
        <button type="button" class="quiet" onClick={() => choose(`.json,application/json,${PICTURES}`)}>open…</button>
        <button type="button" class="quiet" onClick={savePlan}>save plan</button>
        <button type="button" class="quiet" disabled={!ready} title={ready ? 'As a PNG at true size' : 'When every grain is in'}
          onClick={() => { saveProof().catch((error: Error) => { said.value = `The proof could not be saved: ${error.message}`; }); }}>
          save proof
        </button>
        <PrintAct words="print" class="quiet" ready={summary.value !== null} />
        <button type="button" class="quiet" onClick={() => { panel.value = 'sheet'; }}>bench sheet…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'clock'; }}>clock…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'share'; }}>share…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'shelf'; }}>shelf…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'compare'; }}>compare…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'strip'; }}>test strip…</button>
        <button type="button" class="quiet" onClick={() => { lesson.value = null; panel.value = 'lessons'; }}>lessons…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'glossary'; }}>glossary…</button>
      </nav>
      {!(ready && summary.value) && <NotYetWhole what={summary.value ? 'all grains of its proof' : 'its numbers'} />}
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
