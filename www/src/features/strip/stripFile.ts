import type { SampleNumbers } from '../../engine/protocol.ts';
import { fileName, offer } from '../../store/files.ts';
import type { StripWork } from './strip.ts';

/** Columns of the table after what was varied; the native program prints the same. */
const COLUMNS: (keyof SampleNumbers)[] = [
  'minutes', 'cover', 'domes_per_mm2', 'median_footprint_um', 'loose_cover', 'low_angle_cover', 'mass_g_per_m2', 'plate_end_c', 'doneness', 'rate_um_per_min',
  'depth_um', 'mean_depth_um', 'land', 'held_um', 'printed_um', 'reflectance', 'lightness', 'density',
];

/** The strip as comma-separated values, patch by patch. */
export function stripTable(work: StripWork): string {
  const { columns, rows, patches } = work;
  const head = [columns[0]?.key, ...(rows[0] ? [rows[0].key] : []), ...COLUMNS, 'problem'].join(',');
  const lines = patches.map(({ column, row, numbers, wrong }) => {
    const places = [columns[column]?.at, ...(rows[row] ? [rows[row].at] : [])];
    const figures = numbers && wrong === null
      ? COLUMNS.map((key) => (key === 'doneness' ? numbers.doneness : key === 'minutes' ? String(numbers.minutes) : numbers[key].toFixed(4)))
      : COLUMNS.map(() => '');
    const words = wrong === null ? '' : `"${wrong.replaceAll('"', '""')}"`;
    return [...places, ...figures, words].join(',');
  });
  return `${[head, ...lines].join('\n')}\n`;
}

export function saveStripTable(work: StripWork): void {
  offer(new Blob([stripTable(work)], { type: 'text/csv' }), fileName(`-${slug(work)}.csv`));
}

/** What was varied, for a file's name. */
export function slug(work: StripWork): string {
  return `strip-${(work.variable(work.columns[0]?.key)?.label ?? '').toLowerCase().replace(/[^a-z]+/g, '-')}`;
}
