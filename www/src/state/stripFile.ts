import type { Plan, SampleNumbers } from '../reckon/protocol';
import { fileName, offer } from './files';
import { PATCH, type StripWork } from './strip';
import { stepWords, variable } from './vary';

/** Columns of the table after what was varied; the native program prints the same. */
const COLUMNS: (keyof SampleNumbers)[] = [
  'minutes', 'cover', 'domes_per_mm2', 'median_footprint_um', 'loose_cover', 'mass_g_per_m2', 'plate_end_c', 'doneness', 'rate_um_per_min',
  'depth_um', 'mean_depth_um', 'land', 'held_um', 'printed_um', 'reflectance', 'lightness', 'density',
];

/** The strip as comma-separated values, patch by patch. */
export function stripTable(work: StripWork): string {
  const { columns, rows, patches } = work;
  const head = [columns[0]?.key, ...(rows[0] ? [rows[0].key] : []), ...COLUMNS].join(',');
  const lines = patches.map(({ column, row, numbers, wrong }) => {
    const places = [columns[column]?.at, ...(rows[row] ? [rows[row].at] : [])];
    const figures = numbers
      ? COLUMNS.map((key) => (key === 'doneness' ? numbers.doneness : key === 'minutes' ? String(numbers.minutes) : numbers[key].toFixed(4)))
      : [`"${(wrong ?? '').replaceAll('"', '""')}"`];
    return [...places, ...figures].join(',');
  });
  return `${[head, ...lines].join('\n')}\n`;
}

export function saveStripTable(work: StripWork, base: Plan): void {
  offer(new Blob([stripTable(work)], { type: 'text/csv' }), fileName(`-${slug(work, base)}.csv`));
}

/** The strip as one PNG: patches at their own pixels, with what was varied written beside them. */
export async function saveStripPicture(work: StripWork, base: Plan): Promise<void> {
  const { columns, rows, patches } = work;
  const [gap, head, side, foot] = [12, 96, rows[0] ? 150 : 24, 44];
  const step = { x: PATCH.width_px + gap, y: PATCH.height_px + foot };
  const canvas = document.createElement('canvas');
  canvas.width = side + columns.length * step.x + 24;
  canvas.height = head + rows.length * step.y + 24;
  const on = canvas.getContext('2d');
  if (!on) throw new Error('This browser gives the page no canvas to draw on.');
  on.fillStyle = '#fff';
  on.fillRect(0, 0, canvas.width, canvas.height);
  on.fillStyle = '#1e1a16';
  on.textBaseline = 'alphabetic';
  const write = (size: number, serif = false): void => { on.font = `${size}px ${serif ? "Alegreya, Georgia, serif" : "'Alegreya Sans', sans-serif"}`; };
  write(26, true);
  on.fillText(`${base.title || 'Untitled plate'}: ${variable(base, columns[0]?.key ?? '')?.label ?? ''}${rows[0] ? `, ${variable(base, rows[0].key)?.label ?? ''}` : ''}`, 24, 40);
  write(18);
  columns.forEach((one, c) => on.fillText(stepWords(base, one), side + c * step.x, head - 12));
  for (const patch of patches) {
    const x = side + patch.column * step.x;
    const y = head + patch.row * step.y;
    const row = rows[patch.row];
    if (row && patch.column === 0) on.fillText(stepWords(base, row), 24, y + 24);
    if (patch.print) on.putImageData(new ImageData(new Uint8ClampedArray(patch.print.rgba), patch.print.width, patch.print.height), x, y);
    on.fillText(patch.numbers ? `L* ${patch.numbers.lightness.toFixed(0)}  D ${patch.numbers.density.toFixed(2)}` : 'not to be had', x, y + PATCH.height_px + 22);
  }
  const blob = await new Promise<Blob | null>((resolve) => { canvas.toBlob(resolve, 'image/png'); });
  if (blob) offer(blob, fileName(`-${slug(work, base)}.png`));
}

function slug(work: StripWork, base: Plan): string {
  return `strip-${(variable(base, work.columns[0]?.key ?? '')?.label ?? '').toLowerCase().replace(/[^a-z]+/g, '-')}`;
}
