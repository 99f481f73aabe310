import { useState } from 'preact/hooks';
import type { Fit, FittedConstant } from '../../engine/protocol.ts';
import { keepCalibration, type KeptCalibration } from '../../store/calibrations.ts';
import { aboutWords } from './stepPlate.ts';
import { Plot } from '../../ui/Plot.tsx';
import { FRAME, linear, path, ratio, ratioTicks, ticks } from '../../ui/ticks.ts';
import { use } from './use.ts';
import { today } from '../../store/today.ts';

const NAMES: Record<string, string> = {
  'bite.rate_um_per_min': 'Rate of the bite', 'ink.absorption_per_um': 'Strength of the ink', 'ink.surface_reflectance': 'Darkest black',
  'bite.open_share_power': 'Power of the open share',
};

const digits = (value: number): string => value.toPrecision(3);

/** What the step plate tells: verdict, constants with their limits, and how far each step is off. */
export function Found({ fit }: { fit: Fit }) {
  return (
    <section class="calibrate-found" aria-labelledby="calibrate-found">
      <h3 id="calibrate-found">3 · What it tells</h3>
      <div class="verdict" role="status">{fit.verdict.map((words) => <p key={words}>{words}</p>)}</div>
      <div class="calibrate-plots">
        <Curve fit={fit} />
        <Misses fit={fit} />
      </div>
      <ConstantsTable constants={fit.constants} />
      <p class="unit">
        All other constants stay as they are. Each of the four is held loosely near its usual value, as if it were known to half of its plausible range.
      </p>
      <NameIt fresh={`Step plate of ${today()}`} found={{ about: aboutWords(), values: fit.calibration, limits: fit.limits, good_to_l: fit.good_to_l }} />
    </section>
  );
}

/** The constants found, with their limits. */
export function ConstantsTable({ constants }: { constants: Omit<FittedConstant, 'at_end'>[] }) {
  return (
    <div class="back-scroll" tabIndex={0} role="group" aria-label="The constants found">
      <table class="back-table">
        <caption class="unseen">The constants found, with their 95 % limits</caption>
        <thead><tr><th scope="col">Constant</th><th scope="col">found</th><th scope="col">95 % limits</th><th scope="col">built in</th><th scope="col">unit</th></tr></thead>
        <tbody>
          {constants.map((one) => (
            <tr key={one.key} data-told={one.told}>
              <th scope="row" title={one.meaning}>{NAMES[one.key] ?? 'Depth of the wipe (breaking down)'}</th>
              <td class="back-minutes">{digits(one.value)}</td>
              <td>{digits(one.low)} – {digits(one.high)}</td>
              <td>{digits(one.in_force)}</td>
              <td class="unit">{one.unit}{one.told ? '' : ' · uncertain'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** A name for what was found: it is kept, and used in the plan in hand. */
export function NameIt({ fresh, found }: { fresh: string; found: Omit<KeptCalibration, 'id' | 'at' | 'name'> }) {
  const [name, setName] = useState('');
  const [kept, setKept] = useState('');
  const add = (take: boolean): void => {
    const one = keepCalibration({ ...found, name: name.trim() || fresh });
    if (take) use(one);
    setKept(one.name);
  };
  return (
    <p class="calibrate-line">
      <label>Name <input class="entry-value calibrate-name" value={name} maxLength={80} placeholder="brown tray, spring" onInput={(event) => setName(event.currentTarget.value)} /></label>
      <button type="button" class="act" onClick={() => add(true)}>Keep it and use it in this plan</button>
      <button type="button" class="quiet" onClick={() => add(false)}>only keep it</button>
      {kept && <span role="status" class="finding">“{kept}” is kept.</span>}
    </p>
  );
}

/** Readings and the curve found, with its band, over the minutes. */
function Curve({ fit }: { fit: Fit }) {
  const tall = { ...FRAME, height: 204 };
  const minutes = fit.curve.map((point) => point.minutes);
  const [from, to] = [(minutes[0] ?? 1) * 0.8, (minutes.at(-1) ?? 60) * 1.15];
  const x = ratio(from, to, tall.left, tall.width - tall.right);
  const y = linear(0, 100, tall.height - tall.bottom, tall.top);
  const at = (l: number): number => y(Math.min(100, Math.max(0, l)));
  const edge = [...fit.curve.map((point) => `${x(point.minutes)},${at(point.printed_l + point.good_to_l)}`),
    ...fit.curve.map((point) => `${x(point.minutes)},${at(point.printed_l - point.good_to_l)}`).reverse()];
  return (
    <Plot frame={tall} class="plot-tall" title="Readings and the curve found" x={x} y={y} xTicks={ratioTicks(from, to)} yTicks={[0, 20, 40, 60, 80, 100]}
      xName="minutes in the bath" yName="L*"
      description={`Each step read and printed by the curve: ${fit.steps.map((step) => `${step.minutes} minutes read ${step.read_l?.toFixed(0) ?? 'not'}, curve ${step.printed_l.toFixed(0)}`).join('; ')}.`}>
      <polygon class="back-band" points={edge.join(' ')} />
      <path class="plot-line calibrate-before" d={path(minutes, fit.curve.map((point) => point.before_l), x, y)} />
      <path class="plot-line" d={path(minutes, fit.curve.map((point) => point.printed_l), x, y)} />
      {fit.steps.map((step, i) => (step.read_l === null ? null : <circle key={i} class="plot-bead" cx={x(step.minutes)} cy={y(step.read_l)} r={3.5} />))}
      <text class="plot-note" x={tall.width - tall.right - 2} y={tall.top + 8} text-anchor="end">dots: read · line: found · dashed: built in</text>
    </Plot>
  );
}

/** How far each reading lies from the curve. */
function Misses({ fit }: { fit: Fit }) {
  const tall = { ...FRAME, height: 204 };
  const off = fit.steps.map((step) => (step.read_l === null ? null : step.read_l - step.printed_l));
  const most = Math.max(2, ...off.map((one) => Math.abs(one ?? 0))) * 1.15;
  const x = linear(0.4, fit.steps.length + 0.6, tall.left, tall.width - tall.right);
  const y = linear(-most, most, tall.height - tall.bottom, tall.top);
  return (
    <Plot frame={tall} class="plot-tall" title="How far each reading lies from the curve" x={x} y={y} xTicks={fit.steps.map((_, i) => i + 1)} yTicks={ticks(-most, most, 4)}
      xName="step" yName="L* read less found"
      description={off.map((one, i) => (one === null ? '' : `step ${i + 1}: ${one.toFixed(1)}`)).filter(Boolean).join(', ')}>
      <rect class="back-band" x={tall.left} width={tall.width - tall.left - tall.right} y={y(Math.min(most, 2 * fit.noise_l))} height={Math.abs(y(-Math.min(most, 2 * fit.noise_l)) - y(Math.min(most, 2 * fit.noise_l)))} />
      {off.map((one, i) => (one === null ? null : <line key={i} class="back-bar" x1={x(i + 1)} x2={x(i + 1)} y1={y(0)} y2={y(one)} />))}
      {off.map((one, i) => (one === null ? null : <circle key={`d${i}`} class="plot-bead" cx={x(i + 1)} cy={y(one)} r={3} />))}
    </Plot>
  );
}
