import { useState } from 'preact/hooks';
import cautions from '../../steps/cautions.json';
import type { GroundFit } from '../../engine/protocol.ts';
import { keepCalibration } from '../../store/calibrations.ts';
import { tell } from '../../store/notifications.ts';
import { catalogue, plan } from '../../store/plan.ts';
import { compare, fitting, groundFit, groundFitFailed, pictures, takePowder } from './ownGround.ts';
import { soundPlan, stale } from '../../store/results.ts';
import { HeldUp } from '../../ui/HeldUp.tsx';
import { GroundPicture } from './GroundPicture.tsx';
import { TwoCovers } from './TwoCovers.tsx';
import { use } from './use.ts';
import { today } from '../../store/today.ts';

/** From two pictures of one place, dust and melted ground, to this shop's powder and edges. */
export function OwnGround() {
  const of = soundPlan.value;
  const { dust, melted } = pictures.value;
  return (
    <>
      <p class="section-why">
        How firmly the edges of melted rosin hold (Δ, the contact-angle hysteresis), and how much of the powder lands, nobody has published. Three things tell it, and a shop has them in
        an afternoon. First set the plan to the trial’s dust and bake.
      </p>
      {stale.value && <p class="problem">The plan can’t be used as it stands: <HeldUp /></p>}
      <section aria-labelledby="ground-get">
        <h3 id="ground-get">1 · Three things to get</h3>
        <ol class="step-guide-work">
          <li><b>A picture of the dust.</b> Scratch a cross into a small plate, to find the place again, and dust it as always. Before the bake photograph it from straight above beside
            the cross: through a microscope, or a phone held to a linen tester or loupe, 2 to 6 mm across, lit from one side so that grains shine and copper lies dark.</li>
          <li><b>A picture of the same place, melted.</b> Bake it as always, let it cool, photograph it again in the same way.</li>
          <li><b>A step plate at two covers.</b> One with this ground, one with half or twice the powder, bitten side by side: it tells how much faster a closer ground bites.</li>
        </ol>
        <p>
          For the scale photograph a steel ruler, or the loupe’s own scale, at the same zoom: in the picture itself, or in one of its own. Hold thin white paper before the lamp, so that no drop
          mirrors it. Save the pictures as they were taken: no filter, no sharpening, and not by way of a messenger, which shrinks them.
        </p>
        {(['powder', 'box', 'bake'] as const).map((key) => <p key={key} class="caution">{cautions[key]}</p>)}
      </section>
      <section aria-labelledby="ground-pictures">
        <h3 id="ground-pictures">2 · Read the pictures</h3>
        <div class="ground-pictures">
          <GroundPicture which="dust" title="The dust" />
          <GroundPicture which="melted" title="The same place, melted" />
        </div>
        <p class="acts">
          <button type="button" class="act" disabled={!of || !dust?.seen || !melted?.seen || fitting.value || stale.value} onClick={() => { if (of) void compare(of); }}>Compare the two</button>
          {fitting.value && <span class="finding" role="status">One moment: grounds of every Δ are being laid.</span>}
        </p>
        {groundFitFailed.value && <p class="problem" role="alert">{groundFitFailed.value}</p>}
      </section>
      {groundFit.value && <GroundFound fit={groundFit.value} />}
      <TwoCovers />
    </>
  );
}

const percent = (share: number): string => `${(share * 100).toFixed(0)} %`;

/** What the two pictures tell, and what can be taken of it. */
function GroundFound({ fit }: { fit: GroundFit }) {
  const [name, setName] = useState('');
  const read = pictures.value.melted?.seen;
  const field = catalogue.value?.fields.find(({ key }) => key === 'dust.powder_g_per_m2');
  const [least, most] = [field?.min ?? 1, field?.max ?? 200];
  // To the control's half gram.
  const grams = Math.round(fit.powder_g_per_m2 * 2) / 2;
  const fits = grams >= least && grams <= most;
  const add = (take: boolean): void => {
    const one = keepCalibration({
      name: name.trim() || `Ground of ${today()}`, values: { 'bake.hysteresis_deg': fit.hysteresis_deg }, limits: fit.limits,
      about: `Δ ${fit.hysteresis_deg.toFixed(0)}° (${fit.low_deg.toFixed(0)}° to ${fit.high_deg.toFixed(0)}°), from pictures of dust and ground`,
    });
    if (take) use(one);
    else tell(`“${one.name}” is kept.`);
  };
  return (
    <section class="ground-found" aria-labelledby="ground-found">
      <h3 id="ground-found">What the pictures tell</h3>
      <div class="verdict" role="status">
        <p>Δ {fit.hysteresis_deg.toFixed(0)}°, 95 % limits {fit.low_deg.toFixed(0)}° to {fit.high_deg.toFixed(0)}°. As much lands as if {fit.powder_g_per_m2.toFixed(1)} g/m² were raised in the plan’s box.</p>
        {fit.verdict.map((words) => <p key={words}>{words}</p>)}
      </div>
      <div class="back-scroll">
        <table class="back-table">
          <caption class="unseen">The melted ground in the picture and as the program lays it with so much dust</caption>
          <thead><tr><th scope="col">Melted ground</th><th scope="col">Δ</th><th scope="col">cover</th><th scope="col">islands per mm²</th></tr></thead>
          <tbody>
            <tr><th scope="row">in the picture</th><td /><td>{read ? percent(read.cover) : ''}</td><td>{read?.islands_per_mm2.toFixed(0)}</td></tr>
            <tr><th scope="row">with Δ found</th><td>{fit.hysteresis_deg.toFixed(0)}°</td><td>{percent(fit.cover)}</td><td>{fit.islands_per_mm2.toFixed(0)}</td></tr>
            <tr><th scope="row">with Δ in force</th><td>{fit.in_force_deg.toFixed(0)}°</td><td>{percent(fit.cover_before)}</td><td>{fit.islands_per_mm2_before.toFixed(0)}</td></tr>
          </tbody>
        </table>
      </div>
      <p class="calibrate-line">
        <label>Name <input class="entry-value calibrate-name" value={name} maxLength={80} placeholder="our rosin, spring" onInput={(event) => setName(event.currentTarget.value)} /></label>
        <button type="button" class="act" disabled={fit.told === 'not'} onClick={() => add(true)}>Take as this shop’s Δ</button>
        <button type="button" class="quiet" disabled={fit.told === 'not'} onClick={() => add(false)}>only keep it</button>
      </p>
      <p class="calibrate-line">
        <button type="button" class="act" disabled={!fits || plan.value.dust.powder_g_per_m2 === grams}
          onClick={() => { takePowder(grams); tell(`The plan’s powder is ${grams} g/m².`); }}>Take as the powder that lands: {grams} g/m²</button>
      </p>
      <p class="unit">{fits ? 'It stands for what lands, not for what you weigh: go on weighing as before.' : `A plan has ${least} to ${most} g/m²: look at box, wait and grain size.`}</p>
    </section>
  );
}
