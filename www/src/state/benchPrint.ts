import { orderOf } from './benchBath';
import { or, type BenchStep, type Known } from './benchTypes';
import { measure, size, weight } from './benchUnits';
import { CAUTIONS } from './cautions';

/* Inking, wiping and printing. */

const WIPE: Record<string, string> = {
  tarlatan: 'Dab the ink into the warm plate. Wipe with tarlatan only, in circles, and stop at an even film: this plan keeps its plate tone.',
  hand: 'Dab the ink into the warm plate. Take it off with tarlatan in circles, then with the palm of the gloved hand, no whiting on it, until the whites are clean.',
  hard: 'Dab the ink into the warm plate. Wipe hard with tarlatan, then with the palm of the gloved hand, no whiting on it, longer than looks needed: this plan was calculated with over-wiping.',
};

const PRESS: Record<string, string> = {
  light: 'Press set light.', normal: 'Press set as usual.', heavy: 'Press set heavy, or run through twice.',
};

export function printSteps(known: Known): BenchStep[] {
  const { plan, summary, amounts, shop, units } = known;
  const { ink } = plan;
  const base = Number(ink['base_parts']);
  const reducer = Number(ink['reducer_parts']);
  const part = (ml: number, g: number, name: string): string => `${measure(ml, units)} of ${name}${units === 'us' ? '' : ` (${weight(g, units)})`}`;
  const mix = or(amounts, (a) => [
    part(a.black_ml, a.black_g, 'black'),
    ...(base > 0 ? [part(a.base_ml, a.base_g, 'transparent base')] : []),
    ...(reducer > 0 ? [part(a.reducer_ml, a.reducer_g, 'reducer')] : []),
  ].join(', '));
  const grams = units === 'us' && amounts ? `, ${weight(amounts.black_g + amounts.base_g + amounts.reducer_g, units)} in all` : '';
  // The darkest that the plate has.
  const darkest = summary?.values[orderOf(known).bites.at(-1)?.bite.last ?? 0] ?? null;
  const margin = plan.paper.margin_mm;
  return [
    {
      id: 'ink', part: 'print', name: 'Damp the paper, mix the ink', seconds: null, allow_min: 15,
      todo: [
        `Paper into water or between damp blotters first. For ${shop.impressions} ${shop.impressions === 1 ? 'impression' : 'impressions'}: ${mix}${grams}. ${base + reducer > 0 ? `By volume 100 black, ${base} base, ${reducer} reducer. ` : 'Neat black. '}Calculated as what the pits hold (${or(amounts, (a) => a.held_um.toFixed(1))} µm on average) and a usual film that is wiped off again (common practice, no source): weigh what you use, and note it.`,
      ],
      look: 'It falls slowly off the knife.',
      ifNot: 'Stiff ink will not wipe clean and leaves tone: warm the plate first, then a drop more reducer.',
      caution: CAUTIONS.ink,
    },
    {
      id: 'wipe', part: 'print', name: 'Ink and wipe', seconds: null, allow_min: 20,
      todo: [WIPE[String(ink['wipe'])] ?? '', 'Wipe the bevels clean. Hot plate off after the last impression.'],
      look: ink['wipe'] === 'tarlatan' ? 'An even veil over the whites, the darks full.' : 'Whites clean, darks full to the edge of each shape.',
      ifNot: 'Pale streaks in the darks: wiped too deep. Ink it again rather than print it.',
      caution: CAUTIONS.wipe,
    },
    {
      id: 'press', part: 'print', name: 'Print', seconds: null, allow_min: 10,
      todo: [`Dampened paper, ${size(plan.plate.width_mm + 2 * margin, plan.plate.height_mm + 2 * margin, units)}, blotted until no wet shine is left; felts. ${PRESS[String(ink['press'])] ?? ''} Dry the print between boards, and write on it what really ran.`],
      look: or(darkest, (v) => `Beside the plan’s proof every value parts from the next; the darkest is near L* ${v.lightness.toFixed(0)} (density ${v.density.toFixed(2)}).`),
      ifNot: 'All values too light alike: ink or press. Only the long bites too light: the bath was slower than planned, or the ground has broken down. Note it for the next plate.',
      caution: CAUTIONS.press,
    },
    {
      id: 'clean', part: 'print', name: 'Clean the plate and put it away', seconds: null, allow_min: 15,
      todo: ['Hot plate off and cold, plate cold. Ink out of the pits with odourless solvent and a soft brush, then denatured alcohol; let it evaporate cold, under extraction. A thin film of oil, clean paper round it.'],
      look: 'No ink glints in the grain under the linen tester.',
      ifNot: 'Dried ink fills the finest pits for good: clean again before it sets.',
      caution: CAUTIONS.clean,
    },
  ];
}
