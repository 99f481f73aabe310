import { useState } from 'preact/hooks';
import type { Tool } from '../../engine/protocol.ts';
import type { Corner } from './states.ts';
import { catalogue, limitsOf, toQuarter, toStep } from '../../store/catalogue.ts';
import { plan } from '../../store/plan.ts';
import { addGround, asPassage, held, infoOf, levelWords, setTake, takeOf, takeUp, width_mm, work } from './states.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Entry } from '../../ui/Entry.tsx';

/** How far one pass goes down, µm; null where a tool's work is not counted in passes. */
function passUm(tool: Tool): number | null {
  const key = infoOf(tool)?.pass;
  if (!key) return null;
  return plan.value.calibration?.[key] ?? catalogue.value?.constants.find((one) => one.key === key)?.default ?? 1;
}

/** Passes in words, from how far one pass goes. */
export function passWords(tool: Tool, take: number): string {
  const each = passUm(tool);
  if (each === null) return levelWords(take);
  const passes = Math.max(1, Math.round(take / each));
  return passes === 1 ? 'one even pass' : `about ${passes} even passes`;
}

/** How far down, in the hand's own measure; `onSet` is told µm. */
export function Passes({ tool, take, onSet }: { tool: Tool; take: number; onSet: (um: number) => void }) {
  const limits = limitsOf('tool.take_um');
  const each = passUm(tool);
  if (each === null) {
    return (
      <>
        <Entry label="Up by at most" unit="µm" value={take} {...limits} onSet={onSet} />
        <p class="why">It stops where the face round about is level.</p>
      </>
    );
  }
  return (
    <>
      <Entry label="Even passes" unit="" value={Math.round((10 * take) / each) / 10} min={1} max={Math.max(1, Math.floor(limits.max / each))} step={1} onSet={(passes) => onSet(toStep(limits, passes * each))} />
      <p class="why">{take} µm of copper in all, about {each} µm at each pass.</p>
    </>
  );
}

/** The tools, how they are held, and the same by numbers for whoever does not draw. */
export function Tools() {
  const tool = held.value;
  const inHand = tool && tool !== 'outline' ? tool : null;
  return (
    <div class="states-part">
      <h3>Tools</h3>
      <p class="acts" role="group" aria-label="Tool">
        {catalogue.value?.tools.map((one) => (
          <button key={one.tool} type="button" class="quiet" aria-pressed={tool === one.tool} onClick={() => takeUp(one.tool)}>{one.name}</button>
        ))}
      </p>
      {inHand && (
        <>
          <p class="why">{infoOf(inHand)?.does} {asPassage.value ? 'Outline a passage on the proof.' : 'Draw on the proof; a pen’s pressure counts.'}</p>
          <span role="radiogroup" aria-label="How the tool is used">
            <Words name="tool-how" options={[['stroke', 'strokes'], ['passage', 'a passage']]} chosen={asPassage.value ? 'passage' : 'stroke'}
              onChoose={(word) => { asPassage.value = word === 'passage'; }} />
          </span>
          <Entry label={asPassage.value ? 'Soft edge' : 'Width'} unit="mm" value={width_mm.value} {...limitsOf('tool.width_mm')} {...(!asPassage.value && { min: limitsOf('tool.width_mm').step })} onSet={(mm) => { width_mm.value = mm; }} />
          <Passes tool={inHand} take={takeOf(inHand)} onSet={(um) => setTake(inHand, um)} />
          <ByNumbers tool={inHand} />
        </>
      )}
      <NewGround />
    </div>
  );
}

/** A passage given by its corners instead of drawn. */
function ByNumbers({ tool }: { tool: Tool }) {
  const { width_mm: across, height_mm: down } = plan.value.plate;
  const [box, setBox] = useState({ left: 10, top: 10, width: 40, height: 30 });
  const set = (key: keyof typeof box) => (value: number): void => setBox({ ...box, [key]: value });
  const corners: Corner[] = [
    [box.left, box.top], [box.left + box.width, box.top], [box.left + box.width, box.top + box.height], [box.left, box.top + box.height],
  ];
  return (
    <details>
      <summary>A passage by numbers</summary>
      <Entry label="From the left" unit="mm" value={box.left} min={0} max={across} step={1} onSet={set('left')} />
      <Entry label="From the top" unit="mm" value={box.top} min={0} max={down} step={1} onSet={set('top')} />
      <Entry label="Width" unit="mm" value={box.width} min={1} max={across} step={1} onSet={set('width')} />
      <Entry label="Height" unit="mm" value={box.height} min={1} max={down} step={1} onSet={set('height')} />
      <button type="button" class="act" onClick={() => work(tool, true, takeOf(tool), Math.min(width_mm.value, 4), corners)}>
        work this passage: {passWords(tool, takeOf(tool))}
      </button>
    </details>
  );
}

function NewGround() {
  const last = plan.value.bites.length;
  const [minutes, setMinutes] = useState(4);
  const [from, setFrom] = useState(1);
  return (
    <details>
      <summary>A new ground</summary>
      <p class="why">Dust, bake and bath as in the plan, over the copper as it is; values lighter than the first are stopped out. Grain falls into old pits too, and the bath gets at what is left of the lands.</p>
      <Entry label="Open from value" unit="" value={Math.min(from, last)} min={0} max={last} step={1} onSet={(value) => setFrom(Math.round(value))} />
      <Entry label="Bite" unit="min" value={minutes} {...limitsOf('bites.bite_min')} onSet={(value) => setMinutes(toQuarter(value))} />
      <button type="button" class="act" onClick={() => addGround(minutes, Math.min(from, last), [])}>
        lay a new ground and bite
      </button>
    </details>
  );
}
