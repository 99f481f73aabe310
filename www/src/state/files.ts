import { ahead } from './ahead';
import { plan } from './plan';
import { refused } from './results';

const taking = ahead(() => import('./taking'));
const saving = ahead(() => import('./saving'));

export function offer(blob: Blob, name: string): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** A file name from the plan's title. */
export function fileName(ending: string, title = plan.value.title): string {
  const words = title.toLowerCase().normalize('NFKD').replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-+|-+$/g, '');
  return `${words || 'plan'}${ending}`;
}

export function savePlan(): void {
  const json = `${JSON.stringify(plan.value, null, 2)}\n`;
  offer(new Blob([json], { type: 'application/json' }), fileName('.platewright.json'));
}

/** What a picture file may be: what browsers read. */
export const PICTURES = 'image/png,image/jpeg,image/webp,image/gif,image/avif,image/bmp';

/** Takes the first of what was dropped, pasted or chosen. Nothing is lost if it can't be used. */
export async function take(files: Iterable<File>): Promise<void> {
  // What was dropped can be listed only while it drops.
  const all = [...files];
  await orSaid(async () => (await taking()).take(all));
}

export async function takeHarbour(): Promise<void> {
  await orSaid(async () => (await taking()).takeHarbour());
}

async function orSaid(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    refused.value = { what: error instanceof Error ? error.message : String(error), sentences: [] };
  }
}

/** Saves the sheet with its margin at true size; only once every grain is in. */
export async function saveProof(): Promise<void> {
  await (await saving()).saveProof();
}

/** The plan and its picture as one file. */
export async function savePlanWithPicture(): Promise<void> {
  await (await saving()).savePlanWithPicture();
}

/** Lets the user choose a file. */
export function choose(accept: string): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = accept;
  input.addEventListener('change', () => {
    void take(input.files ?? []);
  });
  input.click();
}
