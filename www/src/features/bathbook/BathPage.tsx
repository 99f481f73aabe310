import { useEffect, useId, useState } from 'preact/hooks';
import { askStudies } from '../../engine/studies.ts';
import type { BathState } from '../../engine/protocol.ts';
import { wordsOf } from '../../engine/workerClient.ts';
import { copperIn, copperRange, inBath, removeBath, setBath, writePlate, type Bath } from '../../store/bathBook.ts';
import { rangeOf } from '../../store/catalogue.ts';
import { note, putAway, tell } from '../../store/notifications.ts';
import { numberProblem, readNumber } from '../../ui/numbers.ts';
import { change, plan, usePlan } from '../../store/plan.ts';
import { stale, summary } from '../../store/results.ts';
import { conversion, measured } from '../../store/settings.ts';
import { useTyped } from '../../ui/typed.ts';

const TIRED = { fresh: 'It bites at full speed.', tired: 'It is tired: allow for longer bites.', spent: 'It is spent: replace it.' };

/** Takes a bath out, and offers to put it back. */
function remove(bath: Bath): void {
  const putBack = removeBath(bath.id);
  const count = bath.plates.length;
  const plates = count === 0 ? '' : ` with its ${count === 1 ? 'plate' : `${count} plates`}`;
  note({ key: `bath-${bath.id}`, words: `“${bath.name}”${plates} is removed from the bath book.`, acts: [{ name: 'put it back', run: () => { putAway(`bath-${bath.id}`); putBack(); } }] });
}

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
    writePlate(bath, title, given);
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
        <button type="button" class="quiet" aria-label={`${bath.name}: remove`} onClick={() => remove(bath)}>remove</button>
      </p>
    </section>
  );
}

/** What a hydrometer and a thermometer may read; hydrometers are made for 60 °F. */
const READING_BE = [10, 55] as const;
const READING_C = [0, 40] as const;

/** What a hydrometer says of the bath, with the copper and the warmth taken off again. */
function Reading({ bath, copper_g_per_l }: { bath: Bath; copper_g_per_l: number }) {
  const [be, setBe] = useState('');
  const { to, from, unit } = conversion('°C', 0);
  const [warm, setWarm] = useState(() => to(20).toFixed(0));
  const [mixed, setMixed] = useState<number | null>(null);
  const id = useId();
  const reading_be = readNumber(be);
  const temp_c = from(readNumber(warm));
  const wrongBe = be.trim() === '' ? '' : numberProblem(be, READING_BE, '°Bé');
  const wrongWarm = numberProblem(warm, [to(READING_C[0]), to(READING_C[1])], unit);
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
        <label>at <input class="entry-value back-entry" inputMode="decimal" aria-invalid={wrongWarm !== ''} aria-describedby={id} value={warm} onInput={(event) => setWarm(event.currentTarget.value)} /> <span class="unit">{unit}</span></label>
        {mixed !== null && (
          <span role="status">
            without its copper and at {measured(15.56, '°C', 1)}: {mixed.toFixed(1)} °Bé{' '}
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
  const reader = conversion(unit, 1);
  const shown = reader.unit === unit ? String(value) : reader.to(value).toFixed(reader.decimals);
  const [least, most] = limits.map((limit) => Number(reader.to(limit).toFixed(2))) as [number, number];
  const { entry, said, saidId, putBack } = useTyped({
    shown, wrong: (text) => numberProblem(text, [least, most], reader.unit), take: (text) => onChange(Number(reader.from(readNumber(text)).toFixed(3))),
  });
  return (
    <div>
      <label>
        {label}{' '}
        <span>
          <input class="entry-value back-entry" title={`${least} to ${most}`} {...entry} />{' '}
          <span class="unit">{reader.unit}</span>
        </span>
      </label>
      {said && <p class="problem" id={saidId}><span role="alert">{said}</span> <button type="button" class="act" onClick={putBack}>put back {value}</button></p>}
    </div>
  );
}
