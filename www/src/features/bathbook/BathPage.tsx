import { useEffect, useId, useState } from 'preact/hooks';
import { askStudies } from '../../engine/studies.ts';
import type { BathState } from '../../engine/protocol.ts';
import { wordsOf } from '../../engine/workerClient.ts';
import { copperIn, copperRange, inBath, removeBath, setBath, type Bath } from '../../store/bathBook.ts';
import { rangeOf } from '../../store/catalogue.ts';
import { tell } from '../../store/notifications.ts';
import { numberProblem, readNumber } from '../../ui/numbers.ts';
import { change, plan, usePlan } from '../../store/plan.ts';
import { stale, summary } from '../../store/results.ts';
import { useTyped } from '../../ui/typed.ts';
import { today } from '../../store/today.ts';

const TIRED = { fresh: 'It bites at full speed.', tired: 'It is tired: allow for longer bites.', spent: 'It is spent: replace it.' };

/** One bath of the book. */
export function BathPage({ bath }: { bath: Bath }) {
  const [state, setState] = useState<BathState | null>(null);
  const [failed, setFailed] = useState('');
  const calibration = usePlan(({ calibration }) => calibration);
  const copper_g_per_l = copperIn(bath) / bath.volume_l;
  useEffect(() => {
    let here = true;
    askStudies('bath_state', bath.strength_be, copper_g_per_l, calibration ?? {})
      .then((found) => { if (here) { setState(found); setFailed(''); } }, (error: unknown) => { if (here) setFailed(wordsOf(error)); });
    return () => { here = false; };
  }, [bath.strength_be, copper_g_per_l, calibration]);
  const given = summary.value?.bath.dissolved_g ?? 0;
  const bite = (): void => {
    const title = plan.value.title || 'Untitled plate';
    setBath(bath.id, { plates: [...bath.plates, { at: today(), title, copper_g: Number(given.toFixed(3)) }] });
    tell(`“${title}” is written down with ${given.toFixed(2)} g of copper.`);
  };
  const left = state ? Math.floor(Math.max(0, (state.replace_g_per_l - copper_g_per_l) * bath.volume_l) / Math.max(given, 1e-3)) : 0;
  return (
    <section class="bath-card" aria-label={bath.name}>
      <input class="bath-name" aria-label="Name of the bath" value={bath.name} maxLength={80} onChange={(event) => setBath(bath.id, { name: event.currentTarget.value })} />
      <div class="bath-lines">
        <Entry label="Mixed at" unit="°Bé" value={bath.strength_be} limits={rangeOf('bath.strength_be')} onChange={(strength_be) => setBath(bath.id, { strength_be })} />
        <Entry label="Volume" unit="L" value={bath.volume_l} limits={rangeOf('bath.volume_l')} onChange={(volume_l) => setBath(bath.id, { volume_l })} />
        <Entry label="Copper at first" unit="g" value={bath.copper_at_first_g} limits={copperRange()} onChange={(copper_at_first_g) => setBath(bath.id, { copper_at_first_g })} />
      </div>
      {failed && <p class="problem" role="alert">{failed}</p>}
      {state && (
        <p role="status" class={state.tiredness === 'fresh' ? '' : 'problem'}>
          {copper_g_per_l.toFixed(1)} g/L of copper: {(state.speed_share * 100).toFixed(0)} % of its fresh speed. {TIRED[state.tiredness]}
          {' '}Tired from {state.tired_g_per_l.toFixed(0)} g/L, to be replaced at {state.replace_g_per_l.toFixed(0)} g/L
          {state.tiredness !== 'spent' && given > 0 && `: ${left === 0 ? 'before another plate like this one' : `after about ${left} more ${left === 1 ? 'plate' : 'plates'} like this one`}`}.
          {' '}The hydrometer reads {state.hydrometer_be.toFixed(1)} °Bé, the copper counted in.
        </p>
      )}
      <Reading bath={bath} copper_g_per_l={copper_g_per_l} />
      {bath.plates.length > 0 && (
        <details class="bath-plates">
          <summary>{bath.plates.length} {bath.plates.length === 1 ? 'plate' : 'plates'} bitten, {copperIn(bath).toFixed(1)} g of copper in all</summary>
          <ol>{bath.plates.map((plate, i) => (
            <li key={i}>{plate.at} · {plate.title} · {plate.copper_g.toFixed(2)} g{' '}
              <button type="button" class="quiet" aria-label={`strike out ${plate.title}`} onClick={() => setBath(bath.id, { plates: bath.plates.filter((_, k) => k !== i) })}>strike out</button>
            </li>
          ))}</ol>
        </details>
      )}
      <p class="acts">
        <button type="button" class="act" onClick={() => { change(`bath: ${bath.name}`, inBath(plan.value, bath)); tell(`The plan is bitten in “${bath.name}” as it is now.`); }}>Bite this plan in it</button>
        <button type="button" class="act" disabled={stale.value || given === 0} onClick={bite}>This plate has been bitten</button>
        <button type="button" class="quiet" aria-label={`${bath.name}: remove`} onClick={() => removeBath(bath.id)}>remove</button>
      </p>
    </section>
  );
}

/** What a hydrometer and a thermometer may read. */
const READING_BE = [10, 55] as const;
const READING_C = [0, 40] as const;

/** What a hydrometer says of the bath, with the copper and the warmth taken off again. */
function Reading({ bath, copper_g_per_l }: { bath: Bath; copper_g_per_l: number }) {
  const [be, setBe] = useState('');
  const [warm, setWarm] = useState('20');
  const [mixed, setMixed] = useState<number | null>(null);
  const id = useId();
  const reading_be = readNumber(be);
  const temp_c = readNumber(warm);
  const wrongBe = be.trim() === '' ? '' : numberProblem(be, READING_BE, '°Bé');
  const wrongWarm = numberProblem(warm, READING_C, '°C');
  const sound = be.trim() !== '' && !wrongBe && !wrongWarm;
  useEffect(() => {
    let here = true;
    setMixed(null);
    if (sound) {
      askStudies('mixed_be', reading_be, temp_c, copper_g_per_l, plan.value.calibration ?? {})
        .then((strength_be) => { if (here) setMixed(strength_be); }, () => undefined);
    }
    return () => { here = false; };
  }, [reading_be, temp_c, copper_g_per_l, sound]);
  const [least, most] = rangeOf('bath.strength_be');
  return (
    <>
      <p class="back-grain-line">
        <label>Hydrometer <input class="entry-value back-entry" inputMode="decimal" aria-invalid={wrongBe !== ''} aria-describedby={id} value={be} onInput={(event) => setBe(event.currentTarget.value)} /> <span class="unit">°Bé</span></label>
        <label>at <input class="entry-value back-entry" inputMode="decimal" aria-invalid={wrongWarm !== ''} aria-describedby={id} value={warm} onInput={(event) => setWarm(event.currentTarget.value)} /> <span class="unit">°C</span></label>
        {mixed !== null && (
          <span role="status">
            without its copper and at 60 °F: {mixed.toFixed(1)} °Bé{' '}
            {mixed >= least && mixed <= most
              ? <button type="button" class="act" onClick={() => setBath(bath.id, { strength_be: Number(mixed.toFixed(1)) })}>write that down</button>
              : `(outside ${least} to ${most} °Bé, where the model holds)`}
          </span>
        )}
      </p>
      <div id={id} role="status">{(wrongBe || (be.trim() !== '' && wrongWarm)) && <p class="problem">{wrongBe || wrongWarm}</p>}</div>
    </>
  );
}

interface EntryProps { label: string; unit: string; value: number; limits: readonly [number, number]; onChange: (value: number) => void }

function Entry({ label, unit, value, limits, onChange }: EntryProps) {
  const { entry, said, saidId, putBack } = useTyped({
    shown: String(value), wrong: (text) => numberProblem(text, limits, unit), take: (text) => onChange(readNumber(text)),
  });
  return (
    <div>
      <label>
        {label}{' '}
        <span>
          <input class="entry-value back-entry" title={`${limits[0]} to ${limits[1]}`} {...entry} />{' '}
          <span class="unit">{unit}</span>
        </span>
      </label>
      {said && <p class="problem" id={saidId}><span role="alert">{said}</span> <button type="button" class="act" onClick={putBack}>put back {value}</button></p>}
    </div>
  );
}
