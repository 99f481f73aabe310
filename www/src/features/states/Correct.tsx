import { useEffect, useState } from 'preact/hooks';
import type { Passage } from '../../engine/protocol.ts';
import type { Corner } from './states.ts';
import { askStudies } from '../../engine/studies.ts';
import type { Way, Wipe } from '../../engine/protocol.ts';
import { limitsOf, toQuarter, toStep } from '../../store/catalogue.ts';
import { pool } from '../../engine/scheduler.ts';
import { fieldMm, lens } from '../../store/viewState.ts';
import { change, plan } from '../../store/plan.ts';
import { soundPlan } from '../../store/results.ts';
import { plateNow } from '../../steps/shop.ts';
import { addGround, asPassage, held, outline, shown, takeUp, work } from './states.ts';
import { Entry } from '../../ui/Entry.tsx';

const NAMES: Record<Way['way'], string> = {
  scrape: 'Scrape', burnish: 'Burnish', polish: 'Charcoal and polish', bite: 'Bite under a new ground', thin_ink: 'Thinner ink',
  stiff_ink: 'Stiffer ink', loose_ink: 'Looser ink', tarlatan: 'Tarlatan only', hand: 'Wipe with the hand', hard: 'Wipe harder', dab: 'Dab up',
};

/** Correction in words of tone: outline a passage, say how it should print, and see every way there. */
export function Correct() {
  const asking = held.value === 'outline';
  const corners = outline.value;
  const [passage, setPassage] = useState<Passage | null>(null);
  const [wished, setWished] = useState<number | null>(null);
  const [ways, setWays] = useState<Way[] | null>(null);
  const at = shown();

  useEffect(() => {
    setPassage(null);
    setWays(null);
    setWished(null);
    if (corners.length < 3) return undefined;
    let here = true;
    pool.askNumbers('passage', corners)
      .then((answer) => { if (here) setPassage(answer); }, () => undefined);
    return () => { here = false; };
  }, [corners, soundPlan.value, at]);

  const ask = (l: number): void => {
    const to = Math.round(Math.min(100, Math.max(0, l)) * 10) / 10;
    setWished(to);
    setWays(null);
    const of = plateNow.value;
    if (!of || !passage) return;
    askStudies('ways', of, at, passage.value, Float32Array.from(passage.amounts), to)
      .then((answer) => setWays(answer), () => setWished(null));
  };
  /** As what lies under the linen tester prints in this state. */
  const askAsUnderTester = (): void => {
    const [x, y] = [lens.value.x / 1000, lens.value.y / 1000];
    const half = fieldMm.value / 2;
    const place: Corner[] = [[x - half, y - half], [x + half, y - half], [x + half, y + half], [x - half, y + half]];
    pool.askNumbers('passage', place).then((there) => { if (there) ask(there.lightness); }, () => undefined);
  };
  const nextValue = (lighter: boolean): number | undefined => {
    const l = passage?.lightness ?? 0;
    const all = [...(passage?.values_l ?? [])].sort((a, b) => a - b);
    return lighter ? all.find((one) => one > l + 1) : all.reverse().find((one) => one < l - 1);
  };

  return (
    <div class="states-part">
      <h3>Correct a passage</h3>
      <p class="acts">
        <button type="button" class="act" aria-pressed={asking} onClick={() => { takeUp('outline'); asPassage.value = false; }}>
          {asking ? 'outline it on the proof' : 'outline a passage'}
        </button>
        {corners.length > 2 && <button type="button" class="quiet" onClick={() => { outline.value = []; }}>forget it</button>}
      </p>
      {passage && (
        <>
          <p class="why" aria-live="polite">
            It prints at L* {passage.lightness.toFixed(0)}; mostly {passage.value === 0 ? 'paper' : `value ${passage.value}`}. The pits lie up to {passage.pit_um.toFixed(1)} µm deep.
          </p>
          <p class="acts" role="group" aria-label="How it should print">
            {([['a value lighter', true], ['a value darker', false]] as const).map(([words, lighter]) => {
              const to = nextValue(lighter);
              return <button key={words} type="button" class="act" disabled={to === undefined} onClick={() => { if (to !== undefined) ask(to); }}>{words}</button>;
            })}
            <button type="button" class="act" onClick={askAsUnderTester}>as under the linen tester</button>
          </p>
          <Entry label="Or to L*" unit="" value={wished ?? Math.round(passage.lightness)} min={0} max={100} step={1} onSet={ask} />
          {wished !== null && ways === null && <p class="why" role="status">Trying every way…</p>}
          {ways && wished !== null && (
            <ul class="ways" aria-label={`Ways to L* ${wished}`}>
              {ways.map((way) => <WayRow key={way.way} way={way} value={passage.value} />)}
            </ul>
          )}
        </>
      )}
    </div>
  );
}

function WayRow({ way, value }: { way: Way; value: number }) {
  const tool = ({ scrape: 'scraper', burnish: 'burnisher', polish: 'polish' } as const)[way.way as 'scrape'];
  const um = (n: number): string => n.toFixed(1);
  const take = (): void => {
    const corners = outline.value;
    const { ink } = plan.value;
    if (tool) work(tool, true, toStep(limitsOf('tool.take_um'), way.amount), 2, corners);
    else if (way.way === 'bite') addGround(toQuarter(way.amount), value, corners);
    else if (way.way === 'thin_ink') change('transparent base', { ...plan.value, ink: { ...ink, base_parts: way.amount } });
    else if (way.way === 'stiff_ink' || way.way === 'loose_ink') change('ink', { ...plan.value, ink: { ...ink, stiffness: way.way === 'stiff_ink' ? 'stiff' : 'loose' } });
    else if (way.way === 'dab') change('dabbed up', { ...plan.value, ink: { ...ink, dabbed_up: true } });
    else change('wiping', { ...plan.value, ink: { ...ink, wipe: way.way as Wipe } });
  };
  return (
    <li>
      <p>
        <strong>{NAMES[way.way]}</strong>
        {tool && <>: down {um(way.amount)} µm, {Math.max(1, Math.round(way.passes))} even {Math.round(way.passes) > 1 ? 'passes' : 'pass'}; with other plausible constants {um(way.low)} to {um(way.high)} µm. The pits are gone after {um(way.most)} µm, at L* {way.reaches_most.toFixed(0)}.</>}
        {way.way === 'bite' && <>: {way.amount.toFixed(1)} min, the rest stopped out. Darkest after {way.most.toFixed(0)} min, L* {way.reaches_most.toFixed(0)}.</>}
        {way.way === 'thin_ink' && <>: {way.amount} parts of transparent base.</>}
        {' '}It reaches L* {way.reaches.toFixed(0)}{way.enough ? '' : ', not all the way'}.
        {way.elsewhere > 0.5 && <> The whole plate changes: {way.elsewhere_value === 0 ? 'the paper' : `value ${way.elsewhere_value}`} by {way.elsewhere.toFixed(0)} L*.</>}
      </p>
      <button type="button" class="act" onClick={take}>do this</button>
    </li>
  );
}
