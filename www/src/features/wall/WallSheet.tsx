import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { length, size } from '../../steps/benchUnits.ts';
import { address, fromDisk } from '../../store/links.ts';
import type { Wall } from '../../store/startup.ts';
import { plan } from '../../store/plan.ts';
import { proofIn, said, summary } from '../../store/results.ts';
import { explained, units } from '../../store/settings.ts';
import { stateWords } from '../../store/versions.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';
import { QrCode } from '../../ui/QrCode.tsx';
import { NotYetWhole, PrintAct } from '../../ui/PrintAct.tsx';
import { fitOnOneSide } from './fit.ts';
import { Settings } from './Settings.tsx';
import { WallProof } from './WallProof.tsx';
import { wholePlan } from './wholePlan.ts';

/** What must be remembered at the wall; each step's full caution stands in the plan. */
const CAUTIONS = [
  'Rosin dust explodes when it hangs thick in the air and can make asthmatic: fitted respirator, closed box, no spark or flame, hot plate off.',
  'Hot plate on when the dust has settled, off and cold before varnish: extraction for the rosin’s fume, tongs, nothing that burns near it.',
  'Ferric chloride burns skin and eyes: goggles, gloves, apron, fresh air. Etchant into water, never water into etchant. Copper only; no bleach, persulfate or ammonia near it.',
  'Varnish and solvents burn, “odourless” ones too: no flame or heat near; rags into a lidded metal bin, oily ones spread flat or under water.',
  'Safety sheets, local rules and the shop’s responsible person decide.',
];

/** One plan on one side of paper: proof, schedule, what was done since, cautions, and the way back to it. */
export function WallSheet({ wall }: { wall: Wall }) {
  if (wall.sentence !== null) {
    return (
      <main class="wall">
        <h1>Platewright</h1>
        <p role="alert">{wall.sentence}</p>
        <p class="acts"><a class="act" href={address()}>Go to the bench</a></p>
      </main>
    );
  }
  return <Sheet link={wall.link} />;
}

function Sheet({ link }: { link: string }) {
  const sheet = useRef<HTMLElement>(null);
  const [coded, setCoded] = useState(false);
  const { title, notes, plate, picture } = plan.value;
  const [lettered, setLettered] = useState(false);
  useEffect(() => { void document.fonts.ready.then(() => setLettered(true)); }, []);
  const ready = coded && summary.value !== null && proofIn.value;
  // After whatever changes its length.
  useLayoutEffect(() => { if (sheet.current) fitOnOneSide(sheet.current); }, [plan.value, summary.value, said.value, units.value, coded, lettered, ready]);
  const warnings = summary.value?.warnings ?? [];
  return (
    <main class="wall" ref={sheet}>
      <header class="wall-head">
        <h1>{title || 'Untitled plate'}</h1>
        <p class="unit">
          {size(plate.width_mm, plate.height_mm, units.value)}, copper {length(plate.thickness_mm, units.value)}
          {picture.source !== 'harbour' && <>, after “{picture.source.file}”</>}
        </p>
        <p class="acts">
          <PrintAct words="Print this sheet" ready={ready} />
          <a class="act" href={`#${link}`}>Open it on the bench</a>
        </p>
      </header>
      {!ready && <NotYetWhole what="its numbers, its code and every grain of its proof" />}
      {notes && <p class="wall-notes">{notes}</p>}
      {said.value !== null && <p class="warning">{said.value}</p>}
      <div class="wall-columns">
        <WallProof />
        <Schedule />
        {wholePlan(plan.value, units.value).map(({ name, lines }) => (
          <section key={name} class="wall-work">
            <h2 data-line>{name}</h2>
            <ol>{lines.map((line, i) => <li key={i} data-line>{line}</li>)}</ol>
          </section>
        ))}
        <p class="wall-left" />
        <section class="wall-cautions" aria-labelledby="wall-cautions">
          <h2 id="wall-cautions">Cautions</h2>
          <ul>
            {warnings.map((one) => <li key={one.field + explained(one)}>{explained(one)}</li>)}
            {CAUTIONS.map((words) => <li key={words}>{words}</li>)}
          </ul>
        </section>
        <div class="wall-foot">
          <QrCode text={fromDisk ? link : `${address()}#${link}`} label="This plan as a QR code" onShown={() => setCoded(true)} />
          <p class="unit">
            {fromDisk ? 'The code holds the plan’s link: paste it into Platewright.' : 'The code opens this plan in Platewright.'} A simulated proof: your own step plate is the better judge.
          </p>
        </div>
      </div>
    </main>
  );
}

function Schedule() {
  const { bites, picture } = plan.value;
  const values = summary.value?.values ?? [];
  let total = 0;
  return (
    <section class="wall-schedule" aria-labelledby="wall-schedule">
      <h2 id="wall-schedule">Schedule</h2>
      <Settings parts={['dust', 'bake', 'bath']} />
      <table class="wall-bites">
        <caption class="unseen">Bites, lightest value first</caption>
        <thead>
          <tr>
            <th scope="col">Bite</th><th scope="col">min</th><th scope="col">in all</th><th scope="col">then stop out</th>
            <th scope="col">picture below L*</th><th scope="col">prints L*</th>
          </tr>
        </thead>
        <tbody>
          {bites.map((bite, i) => {
            total += bite.bite_min;
            return (
              <tr key={i}>
                <th scope="row">{i + 1}</th>
                <td>{minutesWords(bite.bite_min)}</td>
                <td>{minutesWords(total)}</td>
                <td>{i + 1 < bites.length ? `value ${i + 1}` : 'done: clean'}</td>
                <td>{picture.thresholds_l[i] ?? ''}</td>
                <td>{values[i + 1]?.lightness.toFixed(0) ?? ''}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
      <p class="unit">The whites are varnished before the first bite.</p>
      {summary.value?.values_scope && <p class="unit">{summary.value.values_scope}</p>}
      {stateWords(plan.value) && <p class="unit">The proof is of {stateWords(plan.value)}.</p>}
      <Settings parts={['ink']} />
    </section>
  );
}
