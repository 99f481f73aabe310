import decide from '../../steps/decide.json';
import { summary } from '../../store/results.ts';

/** What each part of the plan warns of, and who decides. */
export function Cautions({ of }: { of: CautionOf }) {
  const Shown = CAUTIONS[of];
  return (
    <>
      <Shown />
      <p>{decide.decide}</p>
    </>
  );
}

const CAUTIONS = { dust: Dust, bake: Bake, bath: Bath, bites: Bites, ink: Ink };

export type CautionOf = keyof typeof CAUTIONS;

function Dust() {
  const now = summary.value?.dust;
  return (
    <>
      <p>
        Rosin dust in the air can explode; static is enough to light it, about 10 mJ (from memory). Breathed in or on the skin it can make a
        person allergic for life. No flame, spark or motor near the box, the hot plate off until the plate is out and the dust has settled.
        Fitted respirator for fine dust, gloves, extraction.
      </p>
      {now && (
        <p>
          {now.cloud_start_g_per_m3 >= now.explosible_g_per_m3 && <strong>This plan’s cloud is dense enough to explode. </strong>}
          It begins with about <Cloud grams={now.cloud_start_g_per_m3} />; <Cloud grams={now.cloud_plate_in_g_per_m3} /> still floats when the
          plate goes in, <Cloud grams={now.cloud_plate_out_g_per_m3} /> when it comes out. Rosin can explode from
          about <Cloud grams={now.explosible_g_per_m3} /> on (from memory). No figure is a clearance: a cloud is never even, and settled dust
          can be raised again.
        </p>
      )}
    </>
  );
}

function Bake() {
  return (
    <>
      <p>
        The plate is hot enough to burn through gloves that are not made for it: use tongs or a handling board, and mark it hot. Overheated
        rosin gives off a fume that is a known cause of asthma, so the hot plate stands under extraction.
      </p>
      <p>
        Switch it on only when the plate is out of the box and the dust has settled; off and cold before any varnish or solvent.
      </p>
    </>
  );
}

function Bath() {
  return (
    <>
      <p>
        Ferric chloride burns skin and eyes, stains for good, and eats sinks and drains. Goggles, nitrile gloves, apron, fresh air, a lid, an
        eyewash within reach. A splash: water at once, 15 minutes for the eyes, then a doctor. Etchant into water, never water into etchant.
        Dissolving the solid gives great heat and an acid mist: always ferric into water, as the supplier’s sheet says. Bubbled and sprayed
        tanks throw a mist: shut, and under extraction.
      </p>
      <p>
        Copper only: zinc and aluminium heat violently in it and give off hydrogen. No bleach, persulfate or ammonia near it, and no acid but
        what the supplier’s sheet allows (citric acid is a usual addition).
      </p>
      <p>
        A spent bath is acid, carries copper and is poison to water life: collect it, labelled, as hazardous waste, never down a drain or
        on soil.
      </p>
    </>
  );
}

function Bites() {
  return (
    <p>
      Stop-out varnish and the solvents that clean it burn: no flame, the hot plate off and cold, extraction, rags in a lidded metal bin. Lift the
      plate out with tongs or gloves, and rinse and dry it before each stop-out.
    </p>
  );
}

function Ink() {
  return (
    <p>
      Solvents burn and their vapour harms, “odourless” ones too: fresh air, gloves, no flame. Rags soaked in drying oil can catch fire by themselves: spread
      them flat to dry or keep them under water in a lidded metal bin. Keep hands clear of the press bed and rollers.
    </p>
  );
}

function Cloud({ grams }: { grams: number }) {
  return <span class="number">{grams >= 10 ? grams.toFixed(0) : grams.toFixed(1)}&nbsp;g/m³</span>;
}
