import { ahead } from '../engine/ahead.ts';
import { panel } from './notifications.ts';
import { droppedProof, readPhotograph } from './recorded.ts';
import { refused } from './results.ts';

const taking = ahead(() => import('./taking.ts'));
const saving = ahead(() => import('./saving.ts'));
const photographs = ahead(() => import('./photographs.ts'));

/** Takes the first of what was dropped, pasted or chosen. Nothing is lost if it can't be used. */
export async function take(files: Iterable<File>): Promise<void> {
  // What was dropped can be listed only while it drops.
  const all = [...files];
  await orSaid(async () => {
    if (panel.value === 'pulled' && all[0]?.type.startsWith('image/')) {
      [readPhotograph.value, droppedProof.value] = [null, all[0]];
      return;
    }
    if (panel.value === 'record') {
      const { plateShown, takePhotographs, takesPhotographs } = await photographs();
      if (takesPhotographs(all)) { await takePhotographs(all, plateShown()); return; }
    }
    await (await taking()).take(all);
  });
}

export async function takeHarbour(): Promise<void> {
  await orSaid(async () => (await taking()).takeHarbour());
}

/** Takes a picture that the page before was reading as it was closed. */
export async function takeUp(came: { file: File; tries: number }): Promise<void> {
  await orSaid(async () => (await taking()).takeUp(came));
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
  await orSaid(async () => (await saving()).saveProof());
}

/** The plan and its picture as one file. */
export async function savePlanWithPicture(): Promise<void> {
  await orSaid(async () => (await saving()).savePlanWithPicture());
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
