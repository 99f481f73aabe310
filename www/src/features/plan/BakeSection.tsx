import { conversion, worded } from '../../store/settings.ts';
import { stale, summary } from '../../store/results.ts';
import { BakeCourse } from './BakeCourse.tsx';
import { Figures } from './Figures.tsx';
import { FaultsFold } from './FaultsFold.tsx';
import { OwnShop } from './OwnShop.tsx';
import { Entries, Section } from './Section.tsx';

export function BakeSection() {
  const now = summary.value;
  const degrees = conversion('°C', 0);
  return (
    <Section name="bake"
      why="Heat melts each grain into a small [[dome]] that grips the copper; those that touch stand as one [[island]]. [[under-baked|Too cool]] and the dust rubs off or lifts in the bath; [[over-baked|too hot or too long]] and they flow into one sheet that nothing bites."
      caution="bake">
      <Entries part="bake" seldom={['bake.room_c']} />
      <BakeCourse />
      {now && (
        <>
          <p class="finding" data-stale={stale.value}>{worded(now.bake.sentence)}</p>
          <Figures stale={stale.value} rows={[
            ['Copper at the end', degrees.to(now.bake.plate_end_c).toFixed(0), degrees.unit],
            ['Copper covered', (100 * now.ground.cover).toFixed(0), '%'],
            ['Islands', now.ground.islands_per_mm2.toFixed(0), 'per mm²'],
            ['Half of their domes wider than', now.ground.median_footprint_um.toFixed(0), 'µm'],
          ]} />
        </>
      )}
      <OwnShop step="bake" />
      <FaultsFold step="bake" />
    </Section>
  );
}
