import { address, fromDisk } from '../../state/links';
import type { Wall } from '../../state/opening';
import { plan } from '../../state/plan';
import { said, summary } from '../../state/results';
import { stateWords } from '../../state/versions';
import { minutesWords } from '../plan/MinutesEntry';
import { QrCode } from '../share/QrCode';
import { Settings } from './Settings';
import { WallProof } from './WallProof';
import '../../styles/wall.css?sheet';

/** What must be remembered at the wall; each step's full caution stands in the plan. */
const CAUTIONS = [
  'Rosin dust explodes when it hangs thick in the air and can make asthmatic: fitted respirator, closed box, no spark or flame, hot plate off.',
  'Hot plate on when the dust has settled, off and cold before varnish: extraction for the rosin’s fume, tongs, nothing that burns near it.',
  'Ferric chloride burns skin and eyes: goggles, gloves, apron, fresh air. Etchant into water, never water into etchant. Copper only; no bleach, persulfate or ammonia near it.',
  'Varnish and solvents burn, “odourless” ones too: no flame or heat near; rags into a lidded metal bin, oily ones spread flat or under water.',
  'Safety sheets, local rules and the shop’s responsible person decide.',
];

/** One plan on one sheet: proof, schedule, cautions, and the way back to it. */
export function WallSheet({ wall }: { wall: Wall }) {
  if (wall.sentence !== null) {
    return (
      <main class="wall">
        <h1>Platewright</h1>
        <p role="alert">{wall.sentence}</p>
        <p class="acts"><a class="act" href="#">Go to the bench</a></p>
      </main>
    );
  }
  const { title, notes, bites, plate } = plan.value;
  const values = summary.value?.values ?? [];
  const warnings = summary.value?.warnings ?? [];
  let total = 0;
  return (
    <main class="wall">
      <header class="wall-head">
        <h1>{title || 'Untitled plate'}</h1>
        <p class="unit">{plate.width_mm} × {plate.height_mm} mm, copper {plate.thickness_mm} mm</p>
        <p class="acts">
          <button type="button" class="act" onClick={() => print()}>Print this sheet</button>
          <a class="act" href={`#${wall.link}`}>Open it on the bench</a>
        </p>
      </header>
      {notes && <p class="wall-notes">{notes}</p>}
      {said.value !== null && <p class="warning">{said.value}</p>}
      <WallProof />
      <section class="wall-schedule" aria-labelledby="wall-schedule">
        <h2 id="wall-schedule">Schedule</h2>
        <Settings parts={['dust', 'bake', 'bath']} />
        <table class="wall-bites">
          <caption class="unseen">Bites, lightest value first</caption>
          <thead><tr><th scope="col">Bite</th><th scope="col">min</th><th scope="col">in all</th><th scope="col">then stop out</th><th scope="col">L*</th></tr></thead>
          <tbody>
            {bites.map((bite, i) => {
              total += bite.bite_min;
              return (
                <tr key={i}>
                  <th scope="row">{i + 1}</th>
                  <td>{minutesWords(bite.bite_min)}</td>
                  <td>{minutesWords(total)}</td>
                  <td>{i + 1 < bites.length ? `value ${i + 1}` : 'done: clean the plate'}</td>
                  <td>{values[i + 1]?.lightness.toFixed(0) ?? ''}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
        <p class="unit">The whites are varnished before the first bite.</p>
        {summary.value?.values_scope && <p class="unit">{summary.value.values_scope}</p>}
        {stateWords(plan.value) && <p class="unit">The proof is of {stateWords(plan.value)}. The work after the first proof is not on this sheet: the bench sheet has it.</p>}
        <Settings parts={['ink']} />
        <div class="wall-foot">
          <QrCode text={fromDisk ? wall.link : `${address()}#${wall.link}`} label="This plan as a QR code" />
          <p class="unit">
            {fromDisk ? 'The code holds the plan’s link: paste it into Platewright.' : 'The code opens this plan in Platewright.'} A simulated proof: your own step plate is the better judge.
          </p>
        </div>
      </section>
      <section class="wall-cautions" aria-labelledby="wall-cautions">
        <h2 id="wall-cautions">Cautions</h2>
        <ul>
          {warnings.map((one) => <li key={one.field + one.message}>{one.message}</li>)}
          {CAUTIONS.map((words) => <li key={words}>{words}</li>)}
        </ul>
      </section>
    </main>
  );
}
