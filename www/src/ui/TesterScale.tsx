import { units } from '../store/settings.ts';

/** Graduations of the frame: step in µm, how many to a long one, and the words at long ones. */
function graduation(field_um: number): { step: number; each: number; words: (i: number) => string; unit: string } {
  const wide = field_um > 6000;
  if (units.value === 'us') {
    if (wide) return { step: 1270, each: 2, unit: 'in', words: (i) => `.${String(5 * i).padStart(2, '0')}` };
    return { step: 254, each: 2, unit: 'in', words: (i) => `.${String(i).padStart(2, '0')}` };
  }
  if (wide) return { step: 500, each: 2, unit: 'mm', words: (i) => String(i / 2) };
  const each = field_um > 2500 ? 10 : 5;
  return { step: 100, each, unit: 'mm', words: (i) => (i / 10).toFixed(each === 10 ? 0 : 1) };
}

/** The graduated lower edge of the linen tester's frame. */
export function TesterScale({ field_um }: { field_um: number }) {
  const { step, each, words, unit } = graduation(field_um);
  const marks = Array.from({ length: Math.floor(field_um / step) + 1 }, (_, i) => i);
  const at = (i: number): number => (100 * i * step) / field_um;
  return (
    <div class="tester-rule" aria-hidden="true">
      <svg viewBox="0 0 100 9" preserveAspectRatio="none" aria-hidden="true">
        {marks.map((i) => <line key={i} x1={at(i)} x2={at(i)} y1={0} y2={i % each === 0 ? 9 : 5} />)}
      </svg>
      {marks.filter((i) => i > 0 && i % each === 0 && at(i) < 87).map((i) => (
        <span key={i} style={{ left: `${at(i)}%` }}>{words(i)}</span>
      ))}
      <span class="tester-unit">{unit}</span>
    </div>
  );
}
