import { signal } from '@preact/signals';
import type { Fault, FaultCost, Plan } from '../../engine/protocol.ts';
import { askStudies } from '../../engine/studies.ts';
import { narrow } from '../../store/narrow.ts';
import type { KeptPicture } from '../../store/pictureStore.ts';
import { addSide, closeCompare, moveLoupe, replaceSide, sides, spot, type Side } from '../compare/compare.ts';
import { infoOf, mapCells, withFaults } from './faults.ts';

/* A plan's print without a fault and with it, side by side under one linen tester, and what the fault costs in figures. */

/** What it costs; null while that is being found out. */
export const cost = signal<FaultCost | null>(null);
/** Why that could not be found out. */
export const costWrong = signal('');

/** Width of a frame of a print that the place is to fill, css pixels: beside another one, on a phone and elsewhere, up to a projector. */
const framePx = (): number => (narrow.value ? 170 : Math.min(0.27 * innerWidth, 0.43 * innerHeight));
/** Least and most of a print that is looked at, mm. */
const LOOK_MM = [10, 70] as const;

interface Pair { plan: Plan; picture: KeptPicture | null; state?: number; fault: Fault; named: [sound: string, faulty: string] }

let turn = 0;

/** Another fault is to be weighed: what was found of the one before is no longer shown, nor awaited. */
export function weighAnother(): number {
  cost.value = null;
  costWrong.value = '';
  return ++turn;
}

/** Lays both side by side; where the one without is there already it stays. */
export async function layBeside({ plan, picture, state = 0, fault, named }: Pair): Promise<void> {
  const mine = weighAnother();
  const faulty = withFaults(plan, [...(plan.faults ?? []), fault]);
  const version = { name: named[1], plan: faulty, picture, state };
  laySound({ plan, picture, state, named });
  const second = sides.value[1];
  if (second) replaceSide(second.key, version);
  else addSide(version);
  try {
    const found = await costOfSides(plan, fault);
    if (mine === turn) cost.value = found;
  } catch (error) {
    if (mine === turn) costWrong.value = error instanceof Error ? error.message : String(error);
  }
}

/** Lays the plan alone, where it is not there already. */
function laySound({ plan, picture, state = 0, named }: Omit<Pair, 'fault'>): void {
  if (sides.value[0]?.plan === plan) return;
  closeCompare();
  addSide({ name: named[0], plan, picture, state });
}

/** The coarse map of values of a plan's plate, asked of the worker that shows it, and its cells in a row. */
export async function mapBeside(of: Omit<Pair, 'fault'>): Promise<[Uint8Array, number]> {
  laySound(of);
  const [columns, rows] = mapCells(of.plan);
  const map = await sides.value[0]?.aside.ask(of.plan, of.picture, 'values_map', [columns, rows], of.state);
  if (!map) throw new Error('Nothing lies here to be weighed.');
  return [map, columns];
}

export function letGoSides(): void {
  weighAnother();
  closeCompare();
}

/** Looks at a place of both, mm on the print, so much of it. */
export function lookAt({ plate: { width_mm, height_mm } }: Plan, [x, y]: readonly [number, number], look_mm: number): void {
  const within = Math.min(LOOK_MM[1], Math.max(LOOK_MM[0], look_mm));
  spot.value = { u: x / width_mm, v: y / height_mm, scale: framePx() / within / 1000 };
  moveLoupe(x / width_mm, y / height_mm);
}

/** Puts the linen tester where both differ most, once that is known. */
export function lookAtMost({ plate: { width_mm, height_mm } }: Plan): void {
  const found = cost.peek();
  if (found && found.largest_l !== 0) moveLoupe(found.at_x_mm / width_mm, found.at_y_mm / height_mm);
}

/** How much is looked at to see a fault with what lies round it, mm. */
export function lookOf({ kind, radius_mm }: Fault): number {
  const info = infoOf(kind);
  if (info?.place === 'plate') return 40;
  return info?.place === 'edges' ? 4 * radius_mm : info?.runs_down ? 1.3 * radius_mm : 2.5 * radius_mm;
}

async function costOfSides(plan: Plan, fault: Fault): Promise<FaultCost> {
  const [without, faulty] = sides.value;
  if (!without || !faulty) throw new Error('Nothing lies here to be weighed.');
  const { squares, side_um, parts, px_um } = await askStudies('fault_squares', plan, fault);
  const lightness = (side: Side): Promise<Float32Array> =>
    side.aside.ask(side.plan, side.picture, 'lightness_of_squares', [Uint32Array.from(squares), side_um, parts, px_um], side.state);
  const [[map, columns], before, after] = await Promise.all([mapBeside({ ...without, named: ['', ''] }), lightness(without), lightness(faulty)]);
  return askStudies('fault_cost', plan, fault, map, columns, before, after);
}
