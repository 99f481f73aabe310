import type { LaterGround, State, ToolWork, Work } from '../engine/protocol.ts';
import { length, weight } from './benchUnits.ts';
import { nth } from './bath.ts';
import { laterGround } from './ground.ts';
import { asPlanned, orderOf } from './order.ts';
import { planWords } from './planWords.ts';
import { step } from './steps.ts';
import type { BenchStep, Known } from './types.ts';
import { and, yesNo, type Given } from './words.ts';

/* The steps after the first proof: state by state to the last, then the edition. */

/** Every step after the first proof. */
export function stateSteps(known: Known, given: Given): BenchStep[] {
  const states = known.plan.states ?? [];
  const steps = orderOf(known).line.flatMap((number) => {
    const state = states[number - 2];
    return state ? oneState(state, number, known, given) : [];
  });
  return [...steps, ...editionSteps(known, given)];
}

function oneState({ name, work }: State, number: number, known: Known, given: Given): BenchStep[] {
  const named = and(given, { state_number: String(number), state_name: name }, { named: yesNo(name !== ''), ground: 'later' });
  const steps: BenchStep[] = [];
  let tools: ToolWork[] = [];
  // Tools used one after another are one step.
  const putDown = (): void => {
    if (tools.length > 0) steps.push(toolStep(`tools-${number}-${steps.length}`, tools, known, named));
    tools = [];
  };
  work.forEach((one: Work, i) => {
    if ('tool' in one) {
      tools.push(one.tool);
      return;
    }
    putDown();
    steps.push(...groundAgain(one.ground, number, i, known, named));
  });
  putDown();
  return [...steps, step('proof', named, { id: `proof-${number}` })];
}

function toolStep(id: string, tools: ToolWork[], { units }: Known, given: Given): BenchStep {
  const hammer = yesNo(tools.some(({ tool }) => tool === 'hammer'));
  return step('tools', and(given, {}, { hammer }), {
    id,
    each: tools.map(({ tool, passage, points_mm, width_mm, take_um }) => and(given, {
      work_left: length(middle(points_mm.map(([x]) => x)), units), work_top: length(middle(points_mm.map(([, y]) => y)), units),
      work_width: length(width_mm, units), work_um: String(take_um),
    }, { tool, passage: yesNo(passage) })),
  });
}

const middle = (all: number[]): number => (Math.min(...all) + Math.max(...all)) / 2;

/** A later ground from the clean copper to the clean copper, every timed step on its own. */
function groundAgain(ground: LaterGround, state: number, work: number, known: Known, given: Given): BenchStep[] {
  const { dust, bake, bath, outline_mm } = ground;
  const id = `ground-${state}-${work}`;
  const order = orderOf(known).later.find((one) => one.state === state && one.work === work);
  // Until the order of work is known every bite stands as it was planned.
  const bites = order?.bites ?? asPlanned(ground.bites);
  // Summary and amounts are those of the first ground.
  const own = planWords({ ...known, plan: { ...known.plan, dust, bake, bath }, summary: null, amounts: null });
  const { amounts, units } = known;
  if (amounts) {
    // The box is the same: its powder goes with the grams on a square metre.
    const each_g = amounts.powder_each_g * dust.powder_g_per_m2 / known.plan.dust.powder_g_per_m2;
    Object.assign(own.places, { powder: weight(each_g * dust.dustings, units), powder_each: weight(each_g, units) });
  }
  const passage = outline_mm.length > 0;
  const words = and(and(given, own.places, own.choices), {}, { passage: yesNo(passage) });
  return [
    ...laterGround(ground, words, id),
    step('later_bath', words, { id: `${id}-bath` }),
    ...bites.flatMap(({ bite, name, joined, cover, uncover, open }, i): BenchStep[] => {
      const around = passage && i === 0;
      const biting = and(words, {
        bite_name: name.toLowerCase(), bite_joined: joined, bite_open: open, values_to_cover: cover, to_uncover: uncover,
        bites_dropped: i + 1 === bites.length ? order?.dropped ?? '' : '',
      }, {
        bite: nth(i), cover: yesNo(around || cover !== ''), cover_passage: yesNo(around), cover_values: yesNo(cover !== ''), uncover: yesNo(uncover !== ''),
      });
      return [
        ...(around || cover || uncover ? [step('later_stop', biting, { id: `${id}-stop-${bite.first}` })] : []),
        step('later_bite', biting, { id: `${id}-bite-${bite.last}`, seconds: bite.bite_min * 60 }),
      ];
    }),
    ...(['strip', 'brighten'] as const).map((key) => step(key, words, { id: `${id}-${key}`, part: 'states' })),
  ];
}

/** From the print that is right to the plate that prints no more. */
function editionSteps({ plan: { edition } }: Known, given: Given): BenchStep[] {
  const { impressions, minutes_each, steel_faced } = edition ?? { impressions: 0, minutes_each: 0, steel_faced: false };
  const words = and(given, { edition_impressions: String(impressions), edition_min: String(impressions * minutes_each) }, {
    edition: yesNo(Boolean(edition)), steel_faced: yesNo(steel_faced),
  });
  const keys = edition ? ['bat', 'before-edition', 'edition', 'sign', 'cancel'] as const : ['bat', 'sign', 'cancel'] as const;
  return keys.map((key) => step(key, words));
}
