import type { LaterGround, State, ToolWork, Work } from '../reckon/protocol';
import { asPlanned, biteCaution, MOVEMENT, orderOf, STOP, stripStep } from './benchBath';
import { groundSteps } from './benchGround';
import type { BenchStep, Known } from './benchTypes';
import { length, size, volume, warmth } from './benchUnits';
import { CAUTIONS } from './cautions';
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
    steps.push(...groundAgain(number, i, name, work.ground, known));
  });
  putDown();
  return [...steps, {
    id: `proof-${number}`, part: 'states', name: `Print state ${number}`, seconds: null, allow_min: 45,
    todo: ['Clean the plate, then ink, wipe and print as before; same ink, same paper, so that only the copper differs. Hot plate off afterwards.'],
    look: 'Beside the proof of this state in the plan, under one linen tester.',
    ifNot: 'Not far enough: go on a little. Too far: only a new ground brings tone back.',
    caution: `${CAUTIONS.wipe} ${CAUTIONS.press}`,
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
    todo: tools.map((work) => `${TOOLS[work.tool]}, ${work.passage ? 'a passage' : `a stroke ${length(work.width_mm, units)} wide`} about ${where(work, units)}: in light passes, proofing between them, until it prints as in the plan’s proof. Calculated as ${work.take_um} µm of copper, which no hand can measure.`),
    look: 'Breathe on it: what was worked is brighter. Wipe a little ink over it and see how much the pits still hold.',
    ifNot: 'Furrows that hold ink: close them with burnisher and oil. A hollow that can be felt holds ink at its rim: ease it wider, or knock it up from the back (common practice, no source).',
    mind: 'The copper is the print’s mirror image: what is on the left of the print lies on the right of the plate.',
    caution: CAUTIONS.scrape,
  };
}

/** A later ground from the clean copper to the clean copper, every timed step on its own. */
function groundAgain(state: number, work: number, name: string, ground: LaterGround, known: Known): BenchStep[] {
  const { shop, units } = known;
  const { dust, bake, bath } = ground;
  const id = `ground-${state}-${work}`;
  const order = orderOf(known).later.find((one) => one.state === state && one.work === work);
  const movement = MOVEMENT[String(bath['agitation'])] ?? '';
  // Until the order of work is known every bite stands as it was planned.
  const bites = order?.bites ?? asPlanned(ground.bites);
  const passage = ground.outline_mm.length > 0 ? 'everything outside the passage of the plan' : '';
  return [
    ...groundSteps(known, { id: `${id}-`, title: `${name}: `, part: 'states', dust, bake, later: true }),
    {
      id: `${id}-bath`, part: 'states', name: `${name}: make the bath ready`, seconds: null, allow_min: 15,
      todo: [`${volume(Number(bath['volume_l']), units)} of ferric chloride at ${Number(bath['strength_be'])} °Bé and ${warmth(Number(bath['temperature_c']), units)}. Beside it a tray of water for the first rinse.`],
      caution: CAUTIONS.bath,
    },
    ...bites.flatMap(({ bite, ...words }, i): BenchStep[] => {
      const ends = i + 1 === bites.length;
      const cover = [...(i === 0 && passage ? [passage] : []), ...(words.cover ? [words.cover] : [])].join(', and ');
      return [
        ...(cover || words.uncover ? [{
          id: `${id}-stop-${bite.first}`, part: 'states' as const, name: `${name}: ${i === 0 ? 'stop out' : 'rinse, dry, stop out'} before ${words.name.toLowerCase()}`, seconds: null, allow_min: shop.between_min,
          todo: [
            ...(cover ? [`Varnish ${cover}${i === 0 ? ', and the bevels' : ''}; let it dry.`] : []),
            ...(words.uncover ? [`Take the varnish off ${words.uncover} with its own solvent, and let that evaporate.`] : []),
          ],
          caution: STOP,
        }] : []),
        {
          id: `${id}-bite-${bite.last}`, part: 'states' as const, name: `${name}: ${words.name.toLowerCase()} under the new ground`, seconds: bite.bite_min * 60, allow_min: 0,
          todo: [`Open: ${words.open}${passage ? ', within the passage' : ''}. Plate in; start as the bath closes over it. ${movement}`, ...(words.joined ? [words.joined] : [])],
          look: 'Lifted and drained, the grain sits firm; nothing floats off.',
          ...(ends && order?.dropped ? { mind: order.dropped } : {}),
          caution: biteCaution(bath),
        },
      ];
    }),
    stripStep(`${id}-strip`, 'states', `${name}: rinse, and clean off varnish and grain`),
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
        `Check bevels and corners, that nothing cuts paper and blankets; burnish them, so that they wipe clean. Polish out scratches; clean with whiting.${edition.steel_faced ? ' Have it steel-faced now.' : ''}`,
        `Tear ${edition.impressions} sheets of ${sheet}, and one in ten over; damp them the evening before, under plastic and a weight.`,
      ],
      look: 'No ink stays on bevels and whites after wiping.',
      ...(edition.steel_faced ? { mind: 'A steel face rusts (from memory): dry and oil it whenever it rests.', caution: CAUTIONS.steel } : {}),
    },
    {
      id: 'edition', part: 'states', name: `Print the edition: ${edition.impressions}`, seconds: null, allow_min: edition.impressions * edition.minutes_each,
      todo: ['Keep the first print that is right, the bon à tirer, as the one that all others are held against. Dry them between boards, then number and sign them; cancel the plate when the edition is done.'],
      look: 'Every tenth beside the first: the lightest values and the darkest go first as the copper wears.',
      ifNot: 'A value has changed by more than the eye lets pass: stop there, or have the plate steel-faced.',
      mind: 'With a blanket left out or added, set the pressure anew.',
      caution: `${CAUTIONS.wipe} ${CAUTIONS.press}`,
    },
  ];
}
