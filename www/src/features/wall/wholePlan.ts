import type { Area, LaterGround, LineWork, Plan, State, Work } from '../../engine/protocol.ts';
import { length, size, timeWords, warmth } from '../../steps/benchUnits.ts';
import type { Units } from '../../store/settings.ts';
import { infoOf, levelWords, type Corner } from '../states/states.ts';

/* The plan beyond its first ground, in short lines for the wall. */

/** A heading and what stands under it, in the order of the work. */
export interface Group { name: string; lines: string[] }

export function wholePlan(plan: Plan, units: Units): Group[] {
  const { areas = [], lines, states = [], edition, calibration_name } = plan;
  const groups: Group[] = [];
  if (lines) groups.push({ name: 'Lines etched before', lines: [lineWords(lines)] });
  if (areas.length) groups.push({ name: 'By hand, over the picture', lines: areas.map((area, i) => areaWords(area, i, units)) });
  groups.push(...states.map((state, i) => stateGroup(state, i + 2, plan.bites.length, units)));
  if (edition) {
    const sheet = size(edition.sheet_width_mm, edition.sheet_height_mm, units);
    groups.push({ name: 'Edition', lines: [`${edition.impressions} impressions from full sheets of ${sheet}${edition.steel_faced ? ', the plate steel-faced first' : ''}`] });
  }
  if (calibration_name !== undefined) groups.push({ name: 'Calibration', lines: [`“${calibration_name}”`] });
  return groups;
}

function lineWords({ picture, open_below_l, bite_min }: LineWork): string {
  return `“${picture}”: all darker than L* ${open_below_l}, bitten ${timeWords(60 * bite_min)} before the ground is laid`;
}

function areaWords(area: Area, index: number, units: Units): string {
  const { work, value, to_value, feather_mm, spit_min } = area;
  const edge = feather_mm > 0 ? `, the edge soft over ${length(feather_mm, units)}` : '';
  const called = area.name || `Area ${index + 1}`;
  switch (work) {
    case 'spit': return `${called}: spit-bite ${timeWords(60 * spit_min)} before the first bite${feather_mm > 0 ? `, fading over ${length(feather_mm, units)}` : ''}`;
    case 'split': return `${called}: strips from ${valueWords(value)} to ${valueWords(to_value)}, the stop-out creeping${feather_mm > 0 ? `, borders soft over ${length(feather_mm, units)}` : ''}`;
    case 'picture': return `${called}: as the picture has it${edge}`;
    default: return `${called}: ${value === 0 ? 'kept white' : valueWords(value)}${edge}`;
  }
}

const valueWords = (value: number): string => (value === 0 ? 'white' : `value ${value}`);

function stateGroup({ name, from_state, work }: State, number: number, values: number, units: Units): Group {
  const from = from_state === 1 ? 'the first proof' : `state ${from_state}`;
  return { name: `State ${number}${name ? `, ${name}` : ''}, from ${from}`, lines: work.length ? work.flatMap((one) => workLines(one, values, units)) : ['nothing yet'] };
}

function workLines(work: Work, values: number, units: Units): string[] {
  if ('ground' in work) return groundLines(work.ground, values, units);
  const { tool, passage, width_mm, take_um, points_mm } = work.tool;
  const { name, pass } = infoOf(tool) ?? { name: tool, pass: null };
  const far = pass === null ? levelWords(take_um) : `${take_um}\u00a0µm down`;
  return [`${name}, ${passage ? 'a passage' : `a stroke ${length(width_mm, units)} wide`} about ${middle(points_mm, units)}: ${far}`];
}

function groundLines({ dust, bake, bath, outline_mm, bites }: LaterGround, values: number, units: Units): string[] {
  const where = outline_mm.length ? `in a passage about ${middle(outline_mm, units)}` : 'over the whole plate';
  return [
    `new ground ${where}: powder ${Number(dust.powder_g_per_m2)}\u00a0g/m², wait ${Number(dust.wait_s)}\u00a0s, ${Number(dust.dusting_min)}\u00a0min in the box; `
      + `hot plate ${warmth(Number(bake.hot_plate_c), units)}, ${Number(bake.bake_min)}\u00a0min; bath ${Number(bath.strength_be)}\u00a0°Bé, ${warmth(Number(bath.temperature_c), units)}`,
    ...bites.map(({ bite_min, from_value, to_value }, i) => `bite ${i + 1} of it, ${timeWords(60 * bite_min)}: ${openWords(from_value, to_value, values)}`),
  ];
}

function openWords(from: number, to: number, values: number): string {
  if (from === 0 && to >= values) return 'all open';
  if (from === to) return `${valueWords(from)} open`;
  return from === 0 ? `white to value ${to} open` : `values ${from} to ${to} open`;
}

/** The middle of what is worked, from the print's left and top. */
function middle(points: Corner[], units: Units): string {
  const half = (all: number[]): number => (Math.min(...all) + Math.max(...all)) / 2;
  return `${length(half(points.map(([x]) => x)), units)} from the left, ${length(half(points.map(([, y]) => y)), units)} from the top of the print`;
}
