import { useEffect, useState } from 'preact/hooks';
import type { Hold, Plan } from '../../engine/protocol.ts';
import { askStudies } from '../../engine/studies.ts';
import { drawBands, type Sureness } from './backwards.ts';
import { sharesOf } from '../../store/shares.ts';
import { inForce } from '../../store/calibrations.ts';
import { plan } from '../../store/plan.ts';
import { soundPlan, summary } from '../../store/results.ts';
import { worded } from '../../store/settings.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Plot } from '../../ui/Plot.tsx';
import { FRAME, linear, path, ticks } from '../../ui/ticks.ts';

/** How far each value of the plan in hand may come out otherwise. */
export function HowSure() {
  const known = inForce(plan.value);
  const [chosen, setChosen] = useState<'wobble' | 'ranges' | 'known' | null>(null);
  const word = chosen === 'known' && !known ? null : chosen;
  const how = word ?? (known ? 'known' : 'wobble');
  const [now, setNow] = useState<Sureness | null>(null);
  const [failed, setFailed] = useState('');
  const [asked, setAsked] = useState(false);
  const sound = soundPlan.value;
  const limits = how === 'known' ? known?.limits : undefined;
  useEffect(() => {
    setNow(null);
    setFailed('');
    return asked && sound ? drawBands(sound, limits ? { calibrated: limits } : how === 'ranges' ? 'ranges' : 'wobble', setNow, setFailed) : undefined;
  }, [sound, how, limits, asked]);
  const { bites, calibration = {} } = plan.value;
  const calibrated = Object.keys(calibration).length > 0;
  const alike = (now?.bands ?? []).flatMap((band, i) => (band.alike_share > 0 ? [i] : []));
  return (
    <section class="back-sure" aria-labelledby="back-sure-title">
      <h3 id="back-sure-title">How sure</h3>
      <p class="section-why">
        Nine prints of ten lie within the band. The usual variation: the bath up to 1 °C, each bite up to 10 seconds and the cover up to 5 % off.
        {known ? ` With “${known.name}” its own limits take the place of those constants’ ranges.` : calibrated ? ' Constants of your own stay as you gave them; the others may lie anywhere in their range.' : ' Without a calibration the estimated constants may lie anywhere in their range: the wide band says how little is known of an uncalibrated bath.'}
      </p>
      {!asked && <button type="button" class="act" onClick={() => setAsked(true)}>Show likely variation</button>}
      {asked && (
        <div role="radiogroup" aria-label="What the band is made of">
          <Words name="back-spread" chosen={how}
            options={[['wobble', 'the usual variation'], ...(known ? [['known', `and the limits of “${known.name}”`] as const] : []), ['ranges', 'and the constants’ ranges']]}
            onChoose={(next) => setChosen(next === 'ranges' || next === 'known' ? next : 'wobble')} />
        </div>
      )}
      {failed && <p class="problem" role="alert">{failed}</p>}
      {asked && !failed && <p class="back-progress" role="status">{now ? `From ${now.draws} prints of ${now.of}.` : 'One moment: the first prints are on their way.'}</p>}
      {now && now.bands.length === bites.length + 1 && (
        <>
          <BandCurve now={now} />
          <ol class="back-bands" aria-label="Bands of the values">
            {now.bands.map((band, i) => (i === 0 ? null : (
              <li key={i} data-risk={band.at_risk || now.bands[i - 1]?.at_risk}>
                Value {i}: <span class="number">L* {band.dark_l.toFixed(0)} to {band.light_l.toFixed(0)}</span>
              </li>
            )))}
          </ol>
          <p role="status">
            A practised eye tells 2 L* side by side. {alike.length === 0
              ? `In none of these ${now.draws} prints do two neighbours lie nearer: all that is off moves them together.`
              : `Nearer than that lie ${alike.map((i) => `${i === 0 ? 'the paper' : `value ${i}`} and value ${i + 1} in ${sharePrints(now.bands[i]?.alike_share ?? 0)}`).join('; ')}.`}
          </p>
          <Holds of={sound} />
        </>
      )}
    </section>
  );
}

/** “3 prints of 100”. */
const sharePrints = (share: number): string => (share < 0.01 ? 'hardly one print of 100' : `${Math.round(100 * share)} prints of 100`);

/** What the printmaker's own hand decides, and what a firmer one would gain. */
function Holds({ of }: { of: Plan | null }) {
  const [holds, setHolds] = useState<Hold[] | null>(null);
  useEffect(() => {
    setHolds(null);
    if (!of) return undefined;
    let here = true;
    askStudies('holds', { plan: of, shares: sharesOf(of) }).then((found) => { if (here) setHolds(found); }, () => undefined);
    return () => { here = false; };
  }, [of]);
  if (!holds) return <p class="back-progress" role="status">One moment: what your own hand decides is being tried.</p>;
  return (
    <>
      <h4>What your own hand decides</h4>
      <ul class="back-holds">
        {holds.map(({ sentence, moves_l, usual_l, held_l }, i) => {
          const value = moves_l.indexOf(Math.max(...moves_l));
          const l = (all: number[]): string => `±\u202f${(all[value] ?? 0).toFixed(1)}`;
          return (
            <li key={i}>
              {worded(sentence)}: <span class="number">{l(moves_l)}</span> L* at value {value}. Held twice as close, all together leave it <span class="number">{l(held_l)}</span> instead of <span class="number">{l(usual_l)}</span>.
            </li>
          );
        })}
      </ul>
    </>
  );
}

/** The tone curve through the values with its band. */
function BandCurve({ now }: { now: Sureness }) {
  const tall = { ...FRAME, height: 190 };
  const minutes = [0];
  for (const { bite_min } of plan.value.bites) minutes.push((minutes.at(-1) ?? 0) + bite_min);
  const end = Math.max(1, (minutes.at(-1) ?? 1) * 1.04);
  const x = linear(0, end, tall.left, tall.width - tall.right);
  const y = linear(0, 100, tall.height - tall.bottom, tall.top);
  const edge = [...minutes.map((m, i) => `${x(m)},${y(now.bands[i]?.light_l ?? 0)}`), ...minutes.map((m, i) => `${x(m)},${y(now.bands[i]?.dark_l ?? 0)}`).reverse()];
  return (
    <Plot frame={tall} class="plot-tall" title="Tone curve with its band" x={x} y={y} xTicks={ticks(0, end, 6)} yTicks={[0, 20, 40, 60, 80, 100]}
      xName="minutes in the bath, all bites together" yName="L*"
      description={`Each value with its band: ${now.bands.map((band, i) => `${i === 0 ? 'paper' : `value ${i}`} L* ${band.dark_l.toFixed(0)} to ${band.light_l.toFixed(0)}`).join(', ')}.`}>
      <polygon class="back-band" points={edge.join(' ')} />
      <path class="plot-line" d={path(minutes, now.bands.map((band) => band.middle_l), x, y)} />
      {minutes.map((m, i) => {
        const band = now.bands[i];
        return band && i > 0
          ? <line key={i} class={band.at_risk || now.bands[i - 1]?.at_risk ? 'back-bar back-risk' : 'back-bar'} x1={x(m)} x2={x(m)} y1={y(band.light_l)} y2={y(band.dark_l)} />
          : null;
      })}
      {(summary.value?.values ?? []).slice(1).map((value, i) => <circle key={i} class="plot-bead" cx={x(value.cumulative_min)} cy={y(value.lightness)} r={3} />)}
    </Plot>
  );
}
