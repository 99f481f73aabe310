import { FaultsFold } from './FaultsFold.tsx';
import { Entries, Section } from './Section.tsx';

export function InkSection() {
  return (
    <Section name="ink"
      why="Ink fills the [[pit|pits]], the [[tarlatan|cloth]] takes it off the [[land]], and damp paper pressed into the pits lifts it out. Deep pits carry a thick film, which prints dark."
      caution="ink">
      <Entries part="ink" seldom={['paper.reflectance', 'paper.margin_mm']} />
      <FaultsFold step="ink" />
    </Section>
  );
}
