import { useEffect } from 'preact/hooks';
import { redoAloud, undoAloud } from './store/names.ts';
import { panel } from './store/notifications.ts';
import { wall } from './store/startup.ts';
import { guest } from './store/links.ts';
import { firstProof } from './store/firstTime.ts';
import { narrow, upright } from './store/narrow.ts';
import { usePlan } from './store/plan.ts';
import { pane, type Pane } from './store/settings.ts';
import { DropSheet } from './ui/DropSheet.tsx';
import { NextSteps } from './features/first/later.ts';
import { Welcome } from './features/first/Welcome.tsx';
import { Header } from './features/header/Header.tsx';
import { later } from './ui/Later.tsx';
import { Notices } from './ui/Notices.tsx';
import { PlanColumn } from './features/plan/PlanColumn.tsx';
import { Words } from './ui/ChoiceEntry.tsx';
import { Proof } from './features/proof/Proof.tsx';
import { ValueScale } from './features/scale/ValueScale.tsx';
import { CutView } from './features/tester/CutView.tsx';
import { Panels } from './Panels.tsx';
import { LinenTester } from './features/tester/LinenTester.tsx';

const Guest = later('The plan from the link', async () => (await import('./features/share/Guest.tsx')).Guest);
const WallSheet = later('The sheet', async () => (await import('./features/wall/WallSheet.tsx')).WallSheet);

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

/** A plan from a link, beside the one in hand. */
function Offered() {
  return guest.value && <Guest />;
}

/** The whole page. */
export function App() {
  useEffect(() => {
    addEventListener('keydown', keys);
    return () => removeEventListener('keydown', keys);
  }, []);
  const tall = usePlan(({ plate }) => plate.height_mm / (plate.width_mm || 1));
  if (wall.value) return <WallSheet wall={wall.value} />;
  return (
    <>
      <a class="skip" href="#plan">Go to the plan</a>
      <Header />
      <main class="bench">
        {(narrow.value || upright.value) && <Welcome />}
        <div class="stage" data-pane={pane.value} style={{ '--tall': tall }}>
          <Proof />
          <div class="glass">
            <LinenTester />
            <CutView />
          </div>
          <div class="pane-words" role="radiogroup" aria-label="What stands at the top">
            <Words name="pane" options={[['proof', 'proof'], ['tester', 'linen tester'], ['cut', 'section']]} chosen={pane.value}
              onChoose={(word) => { pane.value = word as Pane; }} />
          </div>
        </div>
        {narrow.value && firstProof.value === 'next' && <NextSteps />}
        <ValueScale />
        <PlanColumn />
        <Notices><Offered /></Notices>
      </main>
      <DropSheet />
      <Panels />
    </>
  );
}
