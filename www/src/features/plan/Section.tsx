import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import type { Part } from '../../engine/protocol.ts';
import { catalogue } from '../../store/catalogue.ts';
import { Marked } from '../glossary/Term.tsx';
import { Cautions, type CautionOf } from './Cautions.tsx';
import { ChoiceEntry } from '../../ui/ChoiceEntry.tsx';
import { NumberEntry } from '../../ui/NumberEntry.tsx';

interface Props { title: string; why: string; caution?: CautionOf; children: ComponentChildren }

/** One step of the work: why it is done (`[[term]]` leads to the glossary), its entries, and the caution that belongs there. */
export function Section({ title, why, caution, children }: Props) {
  const id = useId();
  return (
    <section class="section" aria-labelledby={id}>
      <h2 id={id}>{title}</h2>
      <p class="section-why"><Marked words={why} /></p>
      {children}
      {caution !== undefined && <div class="caution"><h3>Caution</h3><Cautions of={caution} /></div>}
    </section>
  );
}

/** Every number and named choice of one part, in the catalogue's order; `but` leaves some out. */
export function Entries({ part, only, but = [] }: { part: Part; only?: string[]; but?: string[] }) {
  const known = catalogue.value;
  if (!known) return null;
  const wanted = (entry: { key: string; part: Part }): boolean =>
    entry.part === part && (only ? only.includes(entry.key) : true) && !but.includes(entry.key);
  return (
    <div class="entries">
      {known.fields.filter(wanted).map((field) => <NumberEntry key={field.key} field={field} />)}
      {known.choices.filter(wanted).map((choice) => <ChoiceEntry key={choice.key} choice={choice} />)}
    </div>
  );
}
