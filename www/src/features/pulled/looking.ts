import { signal } from '@preact/signals';
import { greyed } from '../../engine/levels.ts';
import type { Image } from '../../engine/protocol.ts';
import { askStudies } from '../../engine/studies.ts';
import { FIELD_PX } from '../../store/viewState.ts';
import { ofProof, plateWorker, type Pulled } from './asking.ts';

/* The two prints to be looked at: what the plan prints, and the photograph squared up onto it. */

/** Longest side of a print shown whole, pixels. */
const WHOLE_PX = 1100;
/** Paper shown round the plate, as a share of its shorter side. */
const MARGIN = 0.07;
/** Width of the linen tester's field, mm: a photograph of a whole plate shows no single grain. */
export const FIELD_MM = 8;
/** Pixels to the side of the photograph's field: no camera sees finer. */
const FIELD_SEEN_PX = 240;

export type Which = 'planned' | 'real';

/** Both whole, with the same paper round them, mm. */
export interface Whole { planned: CanvasImageSource; real: CanvasImageSource; wide: number; high: number; width_mm: number; height_mm: number; margin_mm: number }

export const whole = signal<{ of: Pulled['reading']; seen: Whole } | null>(null);
/** Where the one linen tester stands, in parts of the plate's width and height. */
export const loupe = signal({ u: 0.3, v: 0.64 });
/** What is seen through it. */
export const glass = signal<Record<Which, Image | OffscreenCanvas | null>>({ planned: null, real: null });

/** Draws both prints whole. */
export async function layOut(of: Pulled): Promise<void> {
  const { plan, picture, state } = of.subject;
  const { width_mm, height_mm } = plan.plate;
  const margin_mm = Math.min(plan.paper.margin_mm, MARGIN * Math.min(width_mm, height_mm));
  const px_mm = (Math.max(width_mm, height_mm) + 2 * margin_mm) / WHOLE_PX;
  const [wide, high] = [width_mm, height_mm].map((side) => Math.round((side + 2 * margin_mm) / px_mm)) as [number, number];
  const [inWide, inHigh] = [width_mm, height_mm].map((side) => Math.round(side / px_mm)) as [number, number];
  const [first, seen] = await Promise.all([
    plateWorker().ask(plan, picture, 'first_pass', [inWide, inHigh], state),
    ofProof(of, () => askStudies('squared_up', { left_mm: -margin_mm, top_mm: -margin_mm, width_px: wide, height_px: high, px_mm })),
  ]);
  const planned = new OffscreenCanvas(wide, high);
  const context = planned.getContext('2d');
  if (context) {
    const edge = margin_mm / px_mm;
    const tone = of.squares?.sheet_srgb ?? 0;
    context.fillStyle = `rgb(${tone} ${tone} ${tone})`;
    context.fillRect(0, 0, wide, high);
    context.beginPath();
    context.roundRect(edge, edge, inWide, inHigh, Math.min(plan.plate.corner_radius_mm, width_mm / 2, height_mm / 2) / px_mm);
    context.save();
    context.clip();
    context.drawImage(greyed(first, inWide, inHigh), edge, edge);
    context.restore();
    // The edge that the plate presses into the paper.
    context.strokeStyle = 'rgb(0 0 0 / 22%)';
    context.stroke();
  }
  whole.value = { of: of.reading, seen: { planned, real: greyed(seen, wide, high), wide, high, width_mm, height_mm, margin_mm } };
  moveLoupe(of, loupe.value.u, loupe.value.v);
}

let looking = false;
let wanted: Pulled | null = null;

/** The linen tester stands elsewhere, on both prints. */
export function moveLoupe(of: Pulled, u: number, v: number): void {
  const within = (part: number): number => Math.min(1, Math.max(0, part));
  loupe.value = { u: within(u), v: within(v) };
  wanted = of;
  if (!looking) void look();
}

/** Looks until what is shown is what is wanted; a fast hand waits for its newest place alone. */
async function look(): Promise<void> {
  looking = true;
  try {
    for (let of = wanted; of; of = wanted) {
      wanted = null;
      const { plan, picture, state } = of.subject;
      const [x, y] = [loupe.value.u * plan.plate.width_mm, loupe.value.v * plan.plate.height_mm];
      const [left, top] = [x - FIELD_MM / 2, y - FIELD_MM / 2];
      const asked = of;
      const [planned, real] = await Promise.all([
        plateWorker().ask(plan, picture, 'window', [{
          place: { left_um: left * 1000, top_um: top * 1000, width_px: FIELD_PX, height_px: FIELD_PX, px_um: (FIELD_MM * 1000) / FIELD_PX }, show: 'print',
        }], state),
        ofProof(asked, () => askStudies('squared_up', { left_mm: left, top_mm: top, width_px: FIELD_SEEN_PX, height_px: FIELD_SEEN_PX, px_mm: FIELD_MM / FIELD_SEEN_PX })),
      ]);
      glass.value = { planned, real: greyed(real, FIELD_SEEN_PX, FIELD_SEEN_PX) };
    }
  } catch {
    // The panel was closed or the reading stopped: there is nothing to look at.
  } finally {
    looking = false;
  }
}
