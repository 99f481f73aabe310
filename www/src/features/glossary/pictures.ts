import { WorkerClient } from '../../engine/workerClient.ts';
import type { Sample, SampleRequest } from '../../engine/protocol.ts';
import { exampleWith, SHARES } from '../strip/vary.ts';
import type { Entry } from './entries.ts';

/** Where on the plate the pictures of terms are taken, and how much they show. */
const FIELD = { left_um: 6000, top_um: 6000, width_px: 240, height_px: 160, px_um: 5 };
export const CUT_WIDTH_UM = 300;
/** A worker with nothing more to draw goes after this, ms. */
const REST_MS = 20_000;

const kept = new Map<string, Promise<Sample>>();
let link: WorkerClient | null = null;
let rest = 0;

/** The simulation's picture for a term, reckoned once. */
export function pictureOf({ id, picture }: Entry): Promise<Sample> {
  const known = kept.get(id);
  if (known) return known;
  link ??= new WorkerClient();
  const worker = link;
  const made = request(picture).then((asked) => worker.ask('sample', asked));
  kept.set(id, made);
  made.catch(() => kept.delete(id)).finally(() => {
    clearTimeout(rest);
    rest = window.setTimeout(() => {
      if (!worker.idle) return;
      worker.end();
      if (link === worker) link = null;
    }, REST_MS);
  });
  return made;
}

async function request(picture: Entry['picture']): Promise<SampleRequest> {
  if (!picture) throw new Error('nothing to be drawn');
  const { show, minutes, set } = picture;
  const plan = await exampleWith({ minutes, ...set });
  const white = SHARES[0] ?? 0;
  return {
    of: { plan, value: 1, shares: [white, ...plan.bites.map((_, i) => (i === 0 ? 1 - white : 0))] },
    ...(show === 'print' && { print: FIELD }),
    ...(show === 'copper' && { copper: { place: FIELD, after_bites: 1 } }),
    ...(show === 'cut' && { cut: { left_um: FIELD.left_um, y_um: FIELD.top_um + 400, width_um: CUT_WIDTH_UM, after_bites: 1, inked: false } }),
    // Ink is seen after the last bite only.
    ...(show === 'inked' && { cut: { left_um: FIELD.left_um, y_um: FIELD.top_um + 400, width_um: CUT_WIDTH_UM, after_bites: plan.bites.length, inked: true } }),
  };
}
