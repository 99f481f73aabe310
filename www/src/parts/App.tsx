import { useEffect } from 'preact/hooks';
import { redoAloud, undoAloud } from '../state/names';
import { CLOCK_OPEN, panel } from '../state/notifications';
import { wall } from '../state/startup';
import { readKept } from '../state/persisted';
import { catalogue } from '../state/catalogue';
import { pane, type Pane } from '../state/settings';
import { DropSheet } from './DropSheet';
import { Header } from './Header';
import { later } from './Later';
import { Notices } from './Notices';
import { PlanColumn } from './plan/PlanColumn';
import { Words } from './plan/ChoiceEntry';
import { Proof } from './proof/Proof';
import { ValueScale } from './scale/ValueScale';
import { CutView } from './tester/CutView';
import { Panels } from './share/Panels';
import { LinenTester } from './tester/LinenTester';

const WallSheet = later('The sheet', async () => (await import('./wall/WallSheet')).WallSheet);

/** Fields that keep the browser's own undo. */
const WRITING = '.title-entry, .notes-entry';

function keys(event: KeyboardEvent): void {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  if (panel.value !== null || wall.value || (event.target instanceof Element && event.target.matches(WRITING))) return;
  const key = event.key.toLowerCase();
  if (key === 'z' && !event.shiftKey) undoAloud();
  else if (key === 'y' || (key === 'z' && event.shiftKey)) redoAloud();
  else return;
  event.preventDefault();
}

/** The whole page. */
export function App() {
  useEffect(() => {
    addEventListener('keydown', keys);
    // A clock that was open or running reopens.
    if (readKept(CLOCK_OPEN) !== undefined) panel.value = 'clock';
    return () => removeEventListener('keydown', keys);
  }, []);
  if (!catalogue.value) return <p class="opening" role="status">Laying out the bench</p>;
  if (wall.value) return <WallSheet wall={wall.value} />;
  return (
    <>
      <a class="skip" href="#plan">Go to the plan</a>
      <Header />
      <main class="bench">
        <div class="stage" data-pane={pane.value}>
          <Proof />
          <div class="glass">
            <LinenTester />
            <CutView />
          </div>
          <div class="pane-words" role="radiogroup" aria-label="What stands at the top">
            <Words name="pane" options={[['proof', 'proof'], ['tester', 'linen tester'], ['cut', 'cut']]} chosen={pane.value}
              onChoose={(word) => { pane.value = word as Pane; }} />
          </div>
        </div>
        <ValueScale />
        <PlanColumn />
      </main>
      <Notices />
      <DropSheet />
      <Panels />
    </>
  );
}
