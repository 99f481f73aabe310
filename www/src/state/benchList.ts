import { bathSteps } from './benchBath';
import { groundSteps } from './benchGround';
import { printSteps } from './benchPrint';
import { stateSteps } from './benchStates';
import { or, type BenchPart, type BenchStep, type Known } from './benchTypes';
import { measure, size, thickness, volume, weight } from './benchUnits';

/*
 * The whole job as a list of steps, with one plan's own numbers: what the bench sheet prints and the
 * clock runs. The numbers come from the plan and from Rust; here they only get their words.
 */

export const PARTS: Record<BenchPart, string> = { ground: 'The ground', bath: 'The bath', print: 'The print', states: 'States and edition' };

/** Every step, in order. Numbers that are not reckoned yet stand as “…”. */
export function benchList(known: Known): BenchStep[] {
  const { dust, bake } = known.plan;
  const ground = groundSteps(known, { id: '', title: '', part: 'ground', dust, bake, later: false });
  const print = printSteps(known);
  const later = stateSteps(known);
  const clean = later.length ? print.pop() : undefined;
  return [...ground, ...bathSteps(known), ...print, ...later, ...(clean ? [{ ...clean, part: 'states' as const }] : [])];
}

/** What to have ready, and what to wear. */
export function benchNeeds({ plan, summary, amounts, shop, units }: Known): { name: string; things: string[] }[] {
  const { plate, bath, ink } = plan;
  const ml = amounts ? amounts.black_ml + amounts.base_ml + amounts.reducer_ml : null;
  const parts = ['black ink', ...(Number(ink['base_parts']) > 0 ? ['transparent base'] : []), ...(Number(ink['reducer_parts']) > 0 ? ['reducer'] : [])];
  return [
    {
      name: 'Plate and ground',
      things: [
        `copper ${size(plate.width_mm, plate.height_mm, units)}, ${thickness(plate.thickness_mm, units)}, polished`,
        'file, burnisher', 'white vinegar, salt, whiting, clean paper', `rosin powder ${or(amounts, (a) => weight(a.powder_g, units))}`, 'dust box, hot plate, linen tester', 'film or varnish for the back',
      ],
    },
    {
      name: 'Bath',
      things: [
        `ferric chloride ${volume(Number(bath['volume_l']), units)}, ${Number(bath['strength_be'])} °Bé`, 'tray, water tray, hydrometer, thermometer, clock',
        'stop-out varnish, brushes, mirrored guides',
        ...(summary && summary.order.spits.length > 0 ? ['two soft brushes for spit-bite, blotting paper'] : []), 'odourless solvent, denatured alcohol', 'water for splashes, labelled container for waste',
      ],
    },
    {
      name: 'Print',
      things: [`${parts.join(', ')}: ${or(ml, (x) => measure(x, units))} in all`, 'card, dauber, tarlatan, newsprint, soft brush', `damp paper for ${shop.impressions}, felts, press`],
    },
    {
      name: 'To wear',
      things: [
        'dust: fitted respirator for fine dust, goggles, gloves', 'hot plate: heatproof gloves or tongs', 'bath: goggles, nitrile gloves, apron; eyewash within reach',
        'varnish, solvents, ink: gloves that withstand them', 'all along: fresh air or extraction, lidded metal bin for rags',
      ],
    },
  ];
}

/** When each step begins and ends, s after the start of the work. */
export function benchTimes(list: BenchStep[]): { from_s: number; to_s: number }[] {
  let at = 0;
  return list.map((step) => {
    const from_s = at;
    at += step.seconds ?? step.allow_min * 60;
    return { from_s, to_s: at };
  });
}

/** A time of day, 24 hours: 14:05. */
export function ofDay(begin_min: number, after_s: number): string {
  const minutes = Math.round(begin_min + after_s / 60) % 1440;
  return `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
}
