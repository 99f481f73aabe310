import type { Field } from '../engine/protocol.ts';
import { toStep } from '../store/catalogue.ts';
import { shown } from '../store/settings.ts';

const FINE = 1000;

/** How a field spreads along its rule: in equal ratios where it spans decades, else evenly. */
function spread(field: Field): { along: (value: number) => number; back: (place: number) => number } {
  const { min, max } = field;
  if (min > 0 && max / min >= 20) {
    return {
      along: (value) => Math.log(value / min) / Math.log(max / min),
      back: (place) => min * (max / min) ** place,
    };
  }
  if (min === 0 && max / field.step >= 150) {
    return { along: (value) => Math.sqrt(value / max), back: (place) => max * place * place };
  }
  return { along: (value) => (value - min) / (max - min), back: (place) => min + place * (max - min) };
}

/** The thin rule under a number, with a tick at the default. The number above it has the keyboard. */
export function Rule({ field, value, onMove }: { field: Field; value: number; onMove: (value: number) => void }) {
  const { along, back } = spread(field);
  const place = Math.min(1, Math.max(0, along(Math.min(field.max, Math.max(field.min, value)))));
  const { unit, to, decimals } = shown(field);
  return (
    <span class="rule" style={{ '--at': place, '--default': along(field.default) }}>
      <input type="range" tabIndex={-1} min={0} max={FINE} step={1} value={Math.round(place * FINE)}
        aria-label={field.label} aria-valuetext={`${to(value).toFixed(decimals)} ${unit}`}
        onInput={(event) => onMove(toStep(field, back(Number(event.currentTarget.value) / FINE)))} />
    </span>
  );
}
