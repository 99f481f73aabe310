import type { LineWork } from '../../engine/protocol.ts';
import { cropOfLines } from '../../store/crop.ts';
import { decode } from '../../store/decode.ts';
import { edit } from '../../store/edits.ts';
import { keepLines, type LinePicture } from '../../store/linePictures.ts';
import { keptOf, picture } from '../../store/picture.ts';
import { change, plan } from '../../store/plan.ts';
import { pool } from '../../engine/scheduler.ts';

/** Takes a picture file as the plan's lines. */
export async function takeLines(file: File): Promise<void> {
  const { picture: decoded } = await decode(file, file.name || 'lines');
  const read = keptOf(decoded);
  if (!read) return;
  const kept = await keepLines(file.name || 'lines', read);
  await edit(`etched lines “${kept.name}”`, async (of) => pool.ask('lay_lines', of, kept.name, await cropOfLines(of, picture.value, kept)));
}

/** Lays the lines on the plate in their own shape. */
export async function layAnew(lines: LinePicture): Promise<void> {
  setLines('lines laid anew', { crop: await cropOfLines(plan.value, picture.value, lines) });
}

export function setLines(what: string, next: Partial<LineWork>): void {
  const { lines } = plan.value;
  if (lines) change(what, { ...plan.value, lines: { ...lines, ...next } });
}

export function takeLinesOut(): void {
  void edit('etched lines removed', (of) => pool.ask('remove_lines', of));
}
