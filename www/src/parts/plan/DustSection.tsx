import { stale, summary } from '../../state/results';
import { GrainSizes } from '../plots/GrainSizes';
import { Figures } from './Figures';
import { Entries, Section } from './Section';

export function DustSection() {
  const now = summary.value?.dust;
  return (
    <Section title="Dust"
      why="[[rosin|Rosin]] powder is stirred up in a closed [[dust-box|box]] and falls on the plate. What has fallen decides the [[grain]]: its coarseness, and how much copper it will shield."
      caution={<DustCaution />}>
      <Entries part="dust" />
      <GrainSizes />
      {now && (
        <Figures stale={stale.value} rows={[
          ['On the plate', now.mass_g_per_m2.toFixed(1), 'g/m²'],
          ['Looks covered, before the bake', (100 * now.loose_cover).toFixed(0), '%'],
          ['Grains', Math.round(now.grains_per_mm2).toLocaleString('en'), 'per mm²'],
        ]} />
      )}
    </Section>
  );
}

function DustCaution() {
  const now = summary.value?.dust;
  return (
    <>
      <p>
        Rosin dust in the air can explode, and breathing it can make a person allergic to it for life. No flame, spark or running motor
        near the box, and the hot plate well away from it. Wear a fitted respirator for fine dust, use extraction, and let the dust settle
        before the box is opened.
      </p>
      {now && (
        <p>
          {now.cloud_start_g_per_m3 >= now.explosible_g_per_m3
            ? <strong>The cloud this plan raises is dense enough to explode</strong>
            : 'The cloud this plan raises is thinner than the published limit on average'}
          : about <Cloud grams={now.cloud_start_g_per_m3} />, where clouds of rosin from about <Cloud grams={now.explosible_g_per_m3} /> on
          can explode. <Cloud grams={now.cloud_plate_in_g_per_m3} /> is still floating when the plate goes in
          and <Cloud grams={now.cloud_plate_out_g_per_m3} /> when it comes out. A figure under the limit is no clearance: a cloud is never
          even, and dust that has settled can be raised again.
        </p>
      )}
      <p>The powder’s safety sheet, local rules and the person responsible for your shop come before anything this page says.</p>
    </>
  );
}

function Cloud({ grams }: { grams: number }) {
  return <span class="number">{grams >= 10 ? grams.toFixed(0) : grams.toFixed(1)}&nbsp;g/m³</span>;
}
