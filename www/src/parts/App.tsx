import { useEffect } from 'preact/hooks';
import { catalogue, redo, undo } from '../state/plan';
import { pane, type Pane } from '../state/settings';
import { DropSheet } from './DropSheet';
import { Header } from './Header';
import { Notices } from './Notices';
import { PlanColumn } from './plan/PlanColumn';
import { Words } from './plan/ChoiceEntry';
import { Proof } from './proof/Proof';
import { ValueScale } from './scale/ValueScale';
import { CutView } from './tester/CutView';
import { LinenTester } from './tester/LinenTester';

/** Fields in which the browser's own undo is wanted. */
const WRITING = '.title-entry, .notes-entry';

function keys(event: KeyboardEvent): void {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  if (event.target instanceof Element && event.target.matches(WRITING)) return;
  const key = event.key.toLowerCase();
  if (key === 'z' && !event.shiftKey) undo();
  else if (key === 'y' || (key === 'z' && event.shiftKey)) redo();
  else return;
  event.preventDefault();
}

/** The whole page. */
export function App() {
  useEffect(() => {
    addEventListener('keydown', keys);
    return () => removeEventListener('keydown', keys);
  }, []);
  if (!catalogue.value) return <p class="opening" role="status">Laying out the bench</p>;
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
    </>
  );
}
