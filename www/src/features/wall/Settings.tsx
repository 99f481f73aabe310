import type { Part } from '../../engine/protocol.ts';
import { catalogue } from '../../store/catalogue.ts';
import { numberAt, plan, wordAt } from '../../store/plan.ts';
import { shown } from '../../store/settings.ts';

/** Numbers and choices of some parts, to be read. */
export function Settings({ parts }: { parts: Part[] }) {
  const known = catalogue.value;
  if (!known) return null;
  const now = plan.value;
  return (
    <dl class="wall-settings">
      {known.fields.filter((field) => parts.includes(field.part)).map((field) => {
        const { to, unit, decimals } = shown(field);
        return (
          <div key={field.key}>
            <dt>{field.label}</dt>
            <dd><span class="number">{to(numberAt(now, field.key)).toFixed(decimals)}</span> <span class="unit">{unit}</span></dd>
          </div>
        );
      })}
      {known.choices.filter((choice) => parts.includes(choice.part)).map((choice) => (
        <div key={choice.key}>
          <dt>{choice.label}</dt>
          <dd>{choice.options.find(([word]) => word === wordAt(now, choice.key))?.[1]}</dd>
        </div>
      ))}
    </dl>
  );
}
