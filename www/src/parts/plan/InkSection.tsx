import { Entries, Section } from './Section';

export function InkSection() {
  return (
    <Section title="Ink and paper"
      why="Ink fills the [[pit|pits]], the [[tarlatan|cloth]] takes it off the [[land]], and damp paper pressed into the pits lifts it out. Deep pits carry a thick film, which prints dark."
      caution={(
        <p>
          Solvents burn and their vapour harms: fresh air, gloves, no flame. Rags soaked in drying oil can catch fire by themselves: spread
          them flat to dry or keep them under water in a lidded metal bin. Keep hands clear of the press bed and rollers. Safety sheets, local
          rules and the shop’s responsible person decide.
        </p>
      )}>
      <Entries part="ink" />
    </Section>
  );
}
