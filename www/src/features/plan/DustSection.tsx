import { stale, summary } from '../../store/results.ts';
import { GrainSizes } from './GrainSizes.tsx';
import { Figures } from './Figures.tsx';
import { FaultsFold } from './FaultsFold.tsx';
import { OwnShop } from './OwnShop.tsx';
import { Entries, Section } from './Section.tsx';

export function DustSection() {
  const now = summary.value?.dust;
  return (
    <Section name="dust"
      why="[[rosin|Rosin]] powder is stirred up in a closed [[dust-box|box]] and falls on the plate. What has fallen decides the [[grain]]: its coarseness, and how much copper it will shield."
      caution="dust">
      <Entries part="dust" seldom={['dust.spread_gsd']} />
      <GrainSizes />
      {now && (
        <Figures stale={stale.value} rows={[
          ['On the plate', now.mass_g_per_m2.toFixed(1), 'g/m²'],
          ['Covered, from above', (100 * now.loose_cover).toFixed(0), '%'],
          ['Covered, at a low angle', (100 * now.low_angle_cover).toFixed(0), '%'],
          ['Grains', Math.round(now.grains_per_mm2).toLocaleString('en'), 'per mm²'],
        ]} />
      )}
      <OwnShop step="dust" />
      <FaultsFold step="dust" />
    </Section>
  );
}
