import { pool, pyramid } from '../engine/scheduler.ts';
import { fileName, offer } from './files.ts';
import { keptOf, picture } from './picture.ts';
import { plan, plateId } from './plan.ts';
import { progress, summary } from './results.ts';

/** Saves the sheet with its margin at true size; only once every grain is in. */
export async function saveProof(): Promise<void> {
  const sheet = pyramid;
  if (!sheet || progress.value.done < progress.value.of) return;
  const paper = summary.value?.sheet_srgb ?? 255;
  const margin = Math.round((plan.value.paper.margin_mm * 1000) / sheet.base_um);
  const width = sheet.width + 2 * margin;
  const height = sheet.height + 2 * margin;
  const grey = new Uint8Array(width * height).fill(paper);
  for (let y = 0; y < sheet.height; y++) {
    grey.set(sheet.grey.subarray(y * sheet.width, (y + 1) * sheet.width), (y + margin) * width + margin);
  }
  roundCorners(grey, width, height, margin, (cornerMm() * 1000) / sheet.base_um, paper);
  const rows = new Blob([await pool.ask('png_rows', grey, width, height)]);
  // The browser packs the rows.
  const packed = await new Response(rows.stream().pipeThrough(new CompressionStream('deflate'))).arrayBuffer();
  const png = await pool.ask('png_file', new Uint8Array(packed), width, height, sheet.base_um);
  offer(new Blob([png], { type: 'image/png' }), fileName('-proof.png'));
}

/** Rounded corners, no rounder than the plate has room for. */
function cornerMm(): number {
  const { corner_radius_mm, width_mm, height_mm } = plan.value.plate;
  return Math.min(corner_radius_mm, width_mm / 2, height_mm / 2);
}

/** Bare paper outside the plate's rounded corners. The native program does the same. */
function roundCorners(grey: Uint8Array, width: number, height: number, margin: number, radius: number, paper: number): void {
  for (let y = 0; y < radius; y++) {
    const inset = Math.round(radius - Math.sqrt(Math.max(0, radius ** 2 - (radius - y - 0.5) ** 2)));
    for (const row of [margin + y, height - 1 - margin - y]) {
      grey.fill(paper, row * width + margin, row * width + margin + inset);
      grey.fill(paper, (row + 1) * width - margin - inset, (row + 1) * width - margin);
    }
  }
}

/** The plan and its picture as one file. */
export async function savePlanWithPicture(): Promise<void> {
  const shown = keptOf(picture.value);
  const here = { name: plan.value.title, plan: plan.value, picture: shown?.id ?? null, plate: plateId.value };
  offer(await (await import('./shelfFile.ts')).shelfFile([here]), fileName('-with-picture.json'));
}
