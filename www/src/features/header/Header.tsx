import { chooseGrain, grainEverywhere } from '../../engine/memory.ts';
import { choose, saveProof } from '../../store/fileActs.ts';
import { PICTURES, savePlan } from '../../store/files.ts';
import { exercise } from '../../store/faults.ts';
import { redoAloud, redoWords, undoAloud, undoWords } from '../../store/names.ts';
import { lesson, ownLesson, term } from '../../store/lessons.ts';
import { panel, type PanelName } from '../../store/notifications.ts';
import { readPhotograph, recordPlate } from '../../store/recorded.ts';
import { proofIn, said, summary } from '../../store/results.ts';
import { light, units } from '../../store/settings.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Act, Menu } from '../../ui/Menu.tsx';
import { NotYetWhole, PrintAct } from '../../ui/PrintAct.tsx';
import { watchHere } from '../watch/later.ts';

const show = (name: PanelName) => () => {
  lesson.value = null;
  ownLesson.value = null;
  term.value = null;
  exercise.value = null;
  recordPlate.value = readPhotograph.value = null;
  panel.value = name;
};

/** The page's name, and what can be done with the whole: with the plan, to try it, at the bench, and to learn. */
export function Header() {
  const ready = proofIn.value;
  return (
    <header class="head">
      <h1>Platewright</h1>
      <nav class="head-groups" aria-label="Plan and proof">
        <Menu name="plan">
          <Act what="open…" about="a plan, a picture, or a shelf" onClick={() => choose(`.json,application/json,${PICTURES}`)} />
          <Act what="save plan" about="as a file" onClick={savePlan} />
          <Act what="shelf…" about="all your plans" onClick={show('shelf')} />
          <Act what="share…" about="as a link or a code" onClick={show('share')} />
          <Act what="save proof" about={ready ? 'as a PNG at true size' : grainEverywhere.value ? 'when the proof is complete' : 'with every grain: choose it under “view”'} disabled={!ready}
            onClick={() => { saveProof().catch((error: Error) => { said.value = `The proof could not be saved: ${error.message}`; }); }} />
          <PrintAct words="print" class="menu-act" ready={summary.value !== null} />
        </Menu>
        <Menu name="try">
          <Act what="test strip…" about="one or two choices, step by step" onClick={show('strip')} />
          <Act what="compare…" about="with a plan, or with its past" onClick={show('compare')} />
          <Act what="plan backwards…" about="minutes for wanted values" onClick={show('backwards')} />
          <Act what="watch it happen…" about="dust, bake, bites and ink" onClick={() => void watchHere()} />
        </Menu>
        <Menu name="bench">
          <Act what="bench sheet…" about="the whole job on paper" onClick={show('sheet')} />
          <Act what="clock…" about="step by step beside the tray" onClick={show('clock')} />
          <Act what="plate record…" about="what really happened to the copper" onClick={show('record')} />
          <Act what="read a real proof…" about="from a photograph of it" onClick={show('pulled')} />
          <Act what="book of faults…" about="what goes wrong, and what to do" onClick={show('faults')} />
          <Act what="guides…" about="where to stop out" onClick={show('guides')} />
          <Act what="risk form…" about="for the shop’s own assessment" onClick={show('risks')} />
          <Act what="bath book…" about="your baths, day by day" onClick={show('baths')} />
          <Act what="calibrate…" about="with your own step plate" onClick={show('calibrate')} />
        </Menu>
        <Menu name="learn">
          <Act what="lessons…" about="each with something to try" onClick={show('lessons')} />
          <Act what="what went wrong?…" about="find the fault on a print" onClick={show('what-went-wrong')} />
          <Act what="your own lessons…" about="words, a strip and a question, as a link" onClick={show('teach')} />
          <Act what="glossary…" about="the words of the trade" onClick={show('glossary')} />
          <Act what="how sure the numbers are…" onClick={show('numbers')} />
        </Menu>
        <Menu name="view" class="menu-end">
          <div class="menu-choice" role="radiogroup" aria-label="Units">
            <Words name="units" options={[['metric', 'metric'], ['us', 'US']]} chosen={units.value}
              onChoose={(word) => { units.value = word === 'us' ? 'us' : 'metric'; }} />
          </div>
          <div class="menu-choice" role="radiogroup" aria-label="Light in the room">
            <Words name="light" options={[['paper', 'daylight'], ['dim', 'dim']]} chosen={light.value}
              onChoose={(word) => { light.value = word === 'dim' ? 'dim' : 'paper'; }} />
          </div>
          <div class="menu-choice" role="radiogroup" aria-label="Grain of the proof">
            <Words name="grain" options={[['every', 'every grain'], ['looked-at', 'where I look']]} chosen={grainEverywhere.value ? 'every' : 'looked-at'}
              onChoose={(word) => chooseGrain(word === 'every')} />
          </div>
        </Menu>
      </nav>
      <div class="head-undo">
        <button type="button" class="quiet" disabled={undoWords.value === null} title={undoWords.value === null ? 'Nothing to undo' : `Undo ${undoWords.value}`} onClick={undoAloud}>undo</button>
        <button type="button" class="quiet" disabled={redoWords.value === null} title={redoWords.value === null ? 'Nothing to redo' : `Redo ${redoWords.value}`} onClick={redoAloud}>redo</button>
      </div>
      {!(ready && summary.value) && <NotYetWhole what={summary.value ? 'all grains of its proof' : 'its numbers'} />}
    </header>
  );
}
