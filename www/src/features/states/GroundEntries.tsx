import type { Choice, Field, LaterGround } from '../../engine/protocol.ts';
import { catalogue, limitsOf, toQuarter } from '../../store/catalogue.ts';
import { plan } from '../../store/plan.ts';
import { changeWork } from './states.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Entry } from '../../ui/Entry.tsx';

type Section = 'dust' | 'bake' | 'bath';

const SECTIONS: [Section, string][] = [['dust', 'Its dust'], ['bake', 'Its bake'], ['bath', 'Its bath']];

/** A later ground: its bites with what is open to each, then its own dust, bake and bath. */
export function GroundEntries({ ground, index }: { ground: LaterGround; index: number }) {
  const last = plan.value.bites.length;
  const put = (what: string, next: Partial<LaterGround>): void => changeWork(what, index, { ground: { ...ground, ...next } });
  const bites = (what: string, next: LaterGround['bites']): void => put(what, { bites: next });
  return (
    <div class="ground-entries">
      {ground.bites.map((bite, j) => {
        const set = (part: Partial<typeof bite>): void => bites(`bite ${j + 1} under the new ground`, ground.bites.map((old, k) => (k === j ? { ...old, ...part } : old)));
        const to_value = Math.min(bite.to_value, last);
        return (
          <fieldset key={j} class="later-bite">
            <legend>Bite {j + 1}</legend>
            <Entry label="Minutes" unit="min" value={bite.bite_min} {...limitsOf('bites.bite_min')} onSet={(minutes) => set({ bite_min: toQuarter(minutes) })} />
            <Entry label="Open from value" unit="" value={Math.min(bite.from_value, to_value)} min={0} max={to_value} step={1} onSet={(value) => set({ from_value: Math.round(value) })} />
            <Entry label="to value" unit="" value={to_value} min={bite.from_value} max={last} step={1} onSet={(value) => set({ to_value: Math.round(value) })} />
            {ground.bites.length > 1 && (
              <button type="button" class="quiet" aria-label={`Remove bite ${j + 1} under the new ground`} onClick={() => bites('a bite removed', ground.bites.filter((_, k) => k !== j))}>remove</button>
            )}
          </fieldset>
        );
      })}
      {ground.bites.length < 12 && (
        <button type="button" class="act" onClick={() => {
          const before = ground.bites.at(-1);
          bites('another bite under the new ground', [...ground.bites, { bite_min: 2, from_value: Math.min(last, (before?.from_value ?? 0) + 1), to_value: last }]);
        }}>stop out, and bite again</button>
      )}
      {SECTIONS.map(([section, words]) => (
        <details key={section}>
          <summary>{words}</summary>
          {(catalogue.value?.fields ?? []).filter(({ key }) => key.startsWith(`${section}.`)).map((field) => <OneField key={field.key} {...{ ground, section, field, put }} />)}
          {(catalogue.value?.choices ?? []).filter(({ key }) => key.startsWith(`${section}.`)).map((choice) => <OneChoice key={choice.key} {...{ ground, section, choice, put, index }} />)}
        </details>
      ))}
      <Entry label="Seed" unit="" value={ground.seed} {...limitsOf('seed')} onSet={(seed) => put('where its grains fall', { seed: Math.round(seed) })} />
    </div>
  );
}

/** A section by the keys of the catalogue's fields and choices. */
function numbered(section: LaterGround[Section]): Record<string, unknown> {
  return section as unknown as Record<string, unknown>;
}

interface Part { ground: LaterGround; section: Section; put: (what: string, next: Partial<LaterGround>) => void }

function OneField({ ground, section, field, put }: Part & { field: Field }) {
  const key = field.key.slice(section.length + 1);
  return (
    <Entry label={field.label} unit={field.unit} value={Number(numbered(ground[section])[key])} min={field.min} max={field.max} step={field.step}
      onSet={(value) => put(`${field.label.toLowerCase()} of the new ground`, { [section]: { ...ground[section], [key]: value } })} />
  );
}

function OneChoice({ ground, section, choice, put, index }: Part & { choice: Choice; index: number }) {
  const key = choice.key.slice(section.length + 1);
  const now = numbered(ground[section])[key];
  return (
    <div class="entry entry-choice" role="radiogroup" aria-label={choice.label}>
      <span class="entry-label">{choice.label}</span>
      <Words name={`later-${index}-${choice.key}`} options={choice.options} chosen={String(now)}
        onChoose={(word) => put(`${choice.label.toLowerCase()} of the new ground`, { [section]: { ...ground[section], [key]: typeof now === 'boolean' ? word === 'true' : word } })} />
    </div>
  );
}
