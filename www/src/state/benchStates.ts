import type { LaterGround, State, ToolWork, Work } from '../reckon/protocol';
import type { BenchStep, Known } from './benchList';
import { length, size, warmth } from './benchUnits';
import type { Units } from './settings';

/* The steps after the first proof: state by state to the last, then the edition. */

const TOOLS: Record<ToolWork['tool'], string> = {
  scraper: 'Scraper', point: 'The scraper’s point', burnisher: 'Burnisher, with a drop of oil', polish: 'Charcoal and water, then polish',
};

/** Numbers of the states that the last one goes on from, itself included, in the order of the work. */
function lineOf(states: State[]): number[] {
  const line: number[] = [];
  for (let at = states.length + 1; at > 1; at = states[at - 2]?.from_state ?? 1) line.unshift(at);
  return line;
}

/** Every step after the first proof; none for a plan that ends with it. */
export function stateSteps(known: Known): BenchStep[] {
  const { plan } = known;
  const states = plan.states ?? [];
  const steps = lineOf(states).flatMap((number) => {
    const state = states[number - 2];
    return state ? oneState(state, number, known) : [];
  });
  return plan.edition ? [...steps, ...editionSteps(known)] : steps;
}

function oneState(state: State, number: number, known: Known): BenchStep[] {
  const name = `State ${number}${state.name ? `, ${state.name}` : ''}`;
  const steps: BenchStep[] = [];
  let tools: ToolWork[] = [];
  const putDown = (): void => {
    if (!tools.length) return;
    steps.push(toolStep(`tools-${number}-${steps.length}`, name, tools, known.units));
    tools = [];
  };
  state.work.forEach((work: Work, i) => {
    if ('tool' in work) { tools.push(work.tool); return; }
    putDown();
    steps.push(...groundAgain(`ground-${number}-${i}`, name, work.ground, known));
  });
  putDown();
  return [...steps, {
    id: `proof-${number}`, part: 'states', name: `Print state ${number}`, seconds: null, allow_min: 45,
    todo: ['Clean the plate, then ink, wipe and print as before; same ink, same paper, so that only the copper differs.'],
    look: 'Beside the proof of this state in the plan, under one linen tester.',
    ifNot: 'Not far enough: go on a little. Too far: only a new ground brings tone back.',
  }];
}

/** Where a piece of work lies on the print. */
function where({ points_mm }: ToolWork, units: Units): string {
  const xs = points_mm.map(([x]) => x);
  const ys = points_mm.map(([, y]) => y);
  const middle = (all: number[]): number => (Math.min(...all) + Math.max(...all)) / 2;
  return `${length(middle(xs), units)} from the left and ${length(middle(ys), units)} from the top of the print`;
}

function toolStep(id: string, name: string, tools: ToolWork[], units: Units): BenchStep {
  return {
    id, part: 'states', name: `${name}: work the copper`, seconds: null, allow_min: 10 * tools.length,
    todo: tools.map((work) => `${TOOLS[work.tool]}, ${work.passage ? 'a passage' : `a stroke ${length(work.width_mm, units)} wide`} about ${where(work, units)}: down by about ${work.take_um} µm.`),
    look: 'Breathe on it: what was worked is brighter. Wipe a little ink over it and see how much the pits still hold.',
    ifNot: 'Furrows that hold ink: close them with burnisher and oil. A hollow that can be felt holds ink at its rim: ease it wider.',
    mind: 'The copper is the print’s mirror image: what is on the left of the print lies on the right of the plate.',
    caution: 'Scrapers cut: away from the hand that holds the plate, the plate held against a stop.',
  };
}

function groundAgain(id: string, name: string, ground: LaterGround, { shop, units, plan }: Known): BenchStep[] {
  const { dust, bake, bath, bites } = ground;
  const last = plan.bites.length;
  return [
    {
      id, part: 'states', name: `${name}: lay a new ground`, seconds: null, allow_min: 60,
      todo: [
        `Degrease as for the first ground. ${Number(dust['powder_g_per_m2'])} g/m² of powder, ${Number(dust['wait_s'])} s wait, ${Number(dust['dusting_min'])} min in the box.`,
        `Hot plate at ${warmth(Number(bake['hot_plate_c']), units)}, ${Number(bake['bake_min'])} min. Bath ${Number(bath['strength_be'])} °Bé at ${warmth(Number(bath['temperature_c']), units)}.`,
        ground.outline_mm.length ? 'Stop out everything outside the passage of the plan.' : 'Stop out what stays as it is.',
      ],
      look: 'Grain lies on the lands and in the old pits alike.',
      ifNot: 'Grease or old resin in the pits: clean with alcohol and a soft brush, and begin the ground anew.',
      caution: 'Dust, hot plate, varnish and bath: the cautions of the first ground hold again.',
    },
    ...bites.map((bite, j): BenchStep => ({
      id: `${id}-bite-${j + 1}`, part: 'states', name: `${name}: bite ${j + 1} under the new ground`, seconds: bite.bite_min * 60, allow_min: j > 0 ? shop.between_min : 0,
      todo: [`${bite.from_value > 0 ? `Values lighter than ${bite.from_value} stopped out` : 'All open'}${bite.to_value < last ? `, and those darker than ${bite.to_value}` : ''}. Plate in; start as the bath closes over it.`],
    })),
  ];
}

function editionSteps({ plan, units }: Known): BenchStep[] {
  const edition = plan.edition;
  if (!edition) return [];
  const margin = plan.paper.margin_mm;
  const sheet = size(plan.plate.width_mm + 2 * margin, plan.plate.height_mm + 2 * margin, units);
  return [
    {
      id: 'before-edition', part: 'states', name: 'Make the plate ready for the edition', seconds: null, allow_min: 60,
      todo: [
        `Bevel the edges at 45° and round the corners, so that they don’t cut paper and blankets; burnish the bevels, so that they wipe clean. Polish out scratches; clean with whiting.${edition.steel_faced ? ' Have it steel-faced now.' : ''}`,
        `Tear ${edition.impressions} sheets of ${sheet}, and one in ten over; damp them the evening before, under plastic and a weight.`,
      ],
      look: 'No ink stays on bevels and whites after wiping.',
      ...(edition.steel_faced ? { caution: 'Steel-facing is a licensed plater’s work: its baths and currents are not for a print shop.' } : {}),
    },
    {
      id: 'edition', part: 'states', name: `Print the edition: ${edition.impressions}`, seconds: null, allow_min: edition.impressions * edition.minutes_each,
      todo: ['Keep the first good print as the one that all others are held against. Number them as they dry between boards.'],
      look: 'Every tenth beside the first: the lightest values and the darkest go first as the copper wears.',
      ifNot: 'A value has changed by more than the eye lets pass: stop there, or have the plate steel-faced.',
      mind: 'With a blanket left out or added, set the pressure anew.',
      caution: 'Hands, hair and sleeves clear of bed and rollers.',
    },
  ];
}
