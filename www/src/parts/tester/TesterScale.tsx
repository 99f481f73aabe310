import { units } from '../../state/settings';

/** The frame's graduation along the lower and left edges, and the line of the cut. Drawn in tenths of a per mille of the field. */
export function TesterScale({ field_um, cut_um }: { field_um: number; cut_um: number }) {
  const us = units.value === 'us';
  // Graduated in tenths of a millimetre, or in 200ths of an inch.
  const step = us ? 127 : 100;
  const each = us ? 2 : 5;
  const count = Math.floor(field_um / step);
  const at = (um: number): number => (um / field_um) * 1000;
  const marks = Array.from({ length: count + 1 }, (_, i) => i);
  const word = (i: number): string => (us ? `.${String(i * 5).padStart(3, '0').replace(/0$/, '')}` : (i / 10).toFixed(1));
  const longest = Math.max(1, Math.round(count / 20));
  const from = 500 - at(cut_um) / 2;
  const to = 500 + at(cut_um) / 2;
  return (
    <svg class="tester-scale" viewBox="0 0 1000 1000" aria-hidden="true">
      <rect class="tester-edge" x={0} y={948} width={1000} height={52} />
      {marks.map((i) => {
        const long = i % each === 0;
        return <line key={i} x1={at(i * step)} x2={at(i * step)} y1={948} y2={long ? 972 : 960} />;
      })}
      {marks.filter((i) => i > 0 && i % (each * longest) === 0 && at(i * step) < 940).map((i) => (
        <text key={i} x={at(i * step)} y={996} text-anchor="middle">{word(i)}</text>
      ))}
      <text x={992} y={994} text-anchor="end">{us ? 'in' : 'mm'}</text>
      <g class="tester-cut">
        <line x1={from} x2={to} y1={500} y2={500} />
        <line x1={from} x2={from} y1={484} y2={516} />
        <line x1={to} x2={to} y1={484} y2={516} />
      </g>
    </svg>
  );
}
