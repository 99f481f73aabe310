import { signal } from '@preact/signals';
import { PlanWorker } from '../../engine/planWorker.ts';
import type { Fault, Image, Plan } from '../../engine/protocol.ts';
import { askStudies } from '../../engine/studies.ts';
import { infoOf, mapCells, withFaults, type Kind } from './faults.ts';

/*
 * The pictures of the book: the example's plate without a fault and with it, on paper and on the copper, by the same chain as
 * everything else. They are worked out as they are scrolled into sight, one after another, and kept.
 */

/** Pixels to the side of a picture, and the pixels its grain is reckoned in, µm at most. */
const SIDE_PX = 240;
const GRAIN_UM = 15;
/** Least and most of the print that a picture shows, and what it shows of the copper, mm. */
const PRINT_MM = [9, 36] as const;
const COPPER_MM = 3;

/** What is shown of one fault at one size. */
export interface Pictures { print_mm: number; copper_mm: number; paper: [Image, Image]; copper: [Image, Image] | null }

/** By kind and size. */
export const pictures = signal<ReadonlyMap<string, Pictures>>(new Map());
/** What could not be drawn. */
export const undrawn = signal<ReadonlySet<string>>(new Set());

export const keyOf = (kind: Kind, size: number): string => `${kind} ${size}`;

/** What is in sight and not yet there, the newest wish last. */
let wished: { kind: Kind; size: number }[] = [];
let busy = false;
let workers: [PlanWorker, PlanWorker] | null = null;
const placed = new Map<Kind, Fault>();

export function wish(kind: Kind, size: number): void {
  const key = keyOf(kind, size);
  if (pictures.value.has(key) || wished.some((one) => keyOf(one.kind, one.size) === key)) return;
  wished.push({ kind, size });
  void work();
}

/** What is out of sight again need not be drawn. */
export function unwish(kind: Kind, size: number): void {
  wished = wished.filter((one) => keyOf(one.kind, one.size) !== keyOf(kind, size));
}

/** The book is closed: what is under way is broken off. */
export function closeBook(): void {
  wished = [];
  for (const worker of workers ?? []) worker.end();
  workers = null;
}

export function again(kind: Kind, size: number): void {
  undrawn.value = new Set([...undrawn.value].filter((one) => one !== keyOf(kind, size)));
  wish(kind, size);
}

async function work(): Promise<void> {
  if (busy) return;
  busy = true;
  for (;;) {
    const next = wished[0];
    if (!next) break;
    const { kind, size } = next;
    try {
      const drawn = await draw(kind, size);
      pictures.value = new Map(pictures.value).set(keyOf(kind, size), drawn);
    } catch {
      // Closed meanwhile, it is nobody's wish any more.
      if (wished.includes(next)) undrawn.value = new Set(undrawn.value).add(keyOf(kind, size));
    }
    unwish(kind, size);
  }
  busy = false;
}

async function draw(kind: Kind, size: number): Promise<Pictures> {
  const plan = await platePlan();
  const info = infoOf(kind);
  if (!info) throw new Error('not yet there');
  workers ??= [new PlanWorker(), new PlanWorker()];
  const [sound, faulty] = workers;
  const fault = { ...(placed.get(kind) ?? await put(kind, plan, sound)), size };
  const [x, y] = await askStudies('fault_middle', fault);
  const look = info.place === 'plate' ? 24 : info.place === 'edges' ? 3 * fault.radius_mm : info.runs_down || kind.endsWith('pinholes') ? fault.radius_mm : 2.4 * fault.radius_mm;
  const print_mm = Math.min(PRINT_MM[1], Math.max(PRINT_MM[0], look));
  const both = async (mm: number, show: 'print' | 'copper'): Promise<[Image, Image]> => {
    const px_um = (mm * 1000) / SIDE_PX;
    const within = (at: number, side: number): number => Math.min(side - mm / 2, Math.max(mm / 2, at));
    const place = {
      left_um: (within(x, plan.plate.width_mm) - mm / 2) * 1000, top_um: (within(y, plan.plate.height_mm) - mm / 2) * 1000,
      width_px: SIDE_PX, height_px: SIDE_PX, px_um, ...(show === 'print' && { fine_um: px_um / Math.ceil(px_um / GRAIN_UM) }),
    };
    return Promise.all([
      sound.ask(plan, null, 'window', [{ place, show }]),
      faulty.ask(withFaultOnce(plan, fault), null, 'window', [{ place, show }]),
    ]);
  };
  const paper = await both(print_mm, 'print');
  return { print_mm, copper_mm: COPPER_MM, paper, copper: info.step === 'ink' ? null : await both(COPPER_MM, 'copper') };
}

async function put(kind: Kind, plan: Plan, worker: PlanWorker): Promise<Fault> {
  const [columns, rows] = mapCells(plan);
  const fault = await askStudies('fault_here', plan, kind, await worker.ask(plan, null, 'values_map', [columns, rows]), columns);
  placed.set(kind, fault);
  return fault;
}

let coming: Promise<Plan> | null = null;

/** The plate of the book: that of the exercises, on which all of them show. */
function platePlan(): Promise<Plan> {
  coming ??= askStudies('exercise_plan').catch((error: unknown) => { coming = null; throw error; });
  return coming;
}

let last: { plan: Plan; fault: string; faulty: Plan } | null = null;

/** The same plan object for the same fault, so that its worker keeps what it has laid. */
function withFaultOnce(plan: Plan, fault: Fault): Plan {
  const key = JSON.stringify(fault);
  if (last?.plan !== plan || last.fault !== key) last = { plan, fault: key, faulty: withFaults(plan, [fault]) };
  return last.faulty;
}
