import cautions from '../../bench/cautions.json';
import decide from '../../bench/decide.json';
import { summary } from '../../state/results';

/** What each part of the plan warns of: the cautions of its steps on the bench sheet. */
const OF = {
  dust: ['powder', 'stir', 'box'],
  bake: ['heat', 'bake', 'cool'],
  bath: ['bath', 'mist', 'waste'],
  bites: ['bite', 'drips', 'varnish'],
  ink: ['ink', 'strip', 'wipe', 'press'],
} as const;

export type CautionOf = keyof typeof OF;

/** What a part of the plan warns of, and who decides. */
export function Cautions({ of }: { of: CautionOf }) {
  return (
    <>
      {/* The cloud’s own numbers stand below. */}
      {OF[of].map((key) => <p key={key}>{cautions[key].replace('{cloud}', '')}</p>)}
      {of === 'dust' && <Clouds />}
      <p>{decide.decide}</p>
    </>
  );
}

function Clouds() {
  const now = summary.value?.dust;
  return now ? (
    <p>
      {now.cloud_start_g_per_m3 >= now.explosible_g_per_m3 && <strong>This plan’s cloud is dense enough to explode. </strong>}
      It begins with about <Cloud grams={now.cloud_start_g_per_m3} />; <Cloud grams={now.cloud_plate_in_g_per_m3} /> still floats when the
      plate goes in, <Cloud grams={now.cloud_plate_out_g_per_m3} /> when it comes out. Rosin can explode from
      about <Cloud grams={now.explosible_g_per_m3} /> on (from memory). No figure is a clearance: a cloud is never even, and settled dust
      can be raised again.
    </p>
  ) : null;
}

function Cloud({ grams }: { grams: number }) {
  return <span class="number">{grams >= 10 ? grams.toFixed(0) : grams.toFixed(1)}&nbsp;g/m³</span>;
}
