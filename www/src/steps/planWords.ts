import { floor, measure, size, thickness, volume, warmer, warmth, weight } from './benchUnits.ts';
import { orderOf } from './order.ts';
import type { Known } from './types.ts';
import { yesNo, type Given } from './words.ts';

/** Stands for a number that is still being calculated. */
const MISSING = '…';

/** Places and choices that come from the plan, its summary and the amounts, in the reader's units. */
export function planWords(known: Known): Given {
  const { plan, summary, amounts, shop, units } = known;
  const { plate, paper, dust, bake, bath, ink } = plan;
  const ofSummary = (words: (from: NonNullable<typeof summary>) => string): string => (summary ? words(summary) : MISSING);
  const ofAmounts = (words: (from: NonNullable<typeof amounts>) => string): string => (amounts ? words(amounts) : MISSING);
  const softens_min = amounts?.softens_min ?? null;
  const plates = amounts?.plates_left ?? null;
  // The last bite's value, the darkest that the plate has.
  const darkest = summary?.values[orderOf(known).bites.at(-1)?.bite.last ?? 0];
  return {
    places: {
      plate_size: size(plate.width_mm, plate.height_mm, units),
      plate_thickness: thickness(plate.thickness_mm, units),
      paper_size: size(plate.width_mm + 2 * paper.margin_mm, plate.height_mm + 2 * paper.margin_mm, units),
      powder: ofAmounts((a) => weight(a.powder_g, units)),
      powder_each: ofAmounts((a) => weight(a.powder_each_g, units)),
      dustings: String(Number(dust.dustings)),
      box_too_small: amounts?.box_too_small?.[units] ?? '',
      powder_g_per_m2: String(Number(dust.powder_g_per_m2)),
      floor: floor(shop.floor_cm, units),
      cloud_g_per_m3: ofSummary((s) => few(s.dust.cloud_start_g_per_m3)),
      explosible_g_per_m3: ofSummary((s) => few(s.dust.explosible_g_per_m3)),
      loose_cover: ofSummary((s) => percent(s.dust.loose_cover)),
      low_angle_cover: ofSummary((s) => percent(s.dust.low_angle_cover)),
      hot_plate: warmth(Number(bake.hot_plate_c), units),
      softening: ofSummary((s) => warmth(s.bake.softening_c, units)),
      softens_min: softens_min === null ? MISSING : softens_min.toFixed(1),
      plate_end: ofSummary((s) => warmth(Math.round(s.bake.plate_end_c), units)),
      bake_sentence: ofSummary((s) => s.bake.sentence[units]),
      cover: ofSummary((s) => percent(s.ground.cover)),
      islands_per_mm2: ofSummary((s) => s.ground.islands_per_mm2.toFixed(0)),
      domes_per_mm2: ofSummary((s) => s.ground.domes_per_mm2.toFixed(0)),
      footprint_um: ofSummary((s) => s.ground.median_footprint_um.toFixed(0)),
      bath_volume: volume(Number(bath.volume_l), units),
      bath_be: String(Number(bath.strength_be)),
      bath_temperature: warmth(Number(bath.temperature_c), units),
      copper_g_per_l: String(Number(bath.copper_g_per_l)),
      hydrometer_before_be: ofAmounts((a) => a.hydrometer_before_be.toFixed(1)),
      hydrometer_after_be: ofAmounts((a) => a.hydrometer_after_be.toFixed(1)),
      rate_um_per_min: summary?.bath.rate_um_per_min[0]?.toFixed(2) ?? MISSING,
      colder: ofAmounts((a) => warmer(a.colder_c, units)),
      colder_longer: ofAmounts((a) => percent(a.colder_times - 1)),
      between_min: String(shop.between_min),
      copper_after_g_per_l: ofSummary((s) => s.bath.copper_end_g_per_l.toFixed(1)),
      copper_after: ofAmounts((a) => weight(a.bath_copper_g, units)),
      copper_of_plate: ofSummary((s) => weight(s.bath.dissolved_g, units)),
      replace_g_per_l: ofAmounts((a) => a.replace_g_per_l.toFixed(0)),
      plates: plates === null ? MISSING : String(plates),
      for_impressions: String(shop.impressions),
      held_um: ofAmounts((a) => a.held_um.toFixed(1)),
      black_ink: ofAmounts((a) => measure(a.black_ml, units)),
      black_weight: ofAmounts((a) => weight(a.black_g, units)),
      base: ofAmounts((a) => measure(a.base_ml, units)),
      base_weight: ofAmounts((a) => weight(a.base_g, units)),
      base_parts: String(Number(ink.base_parts)),
      reducer: ofAmounts((a) => measure(a.reducer_ml, units)),
      reducer_weight: ofAmounts((a) => weight(a.reducer_g, units)),
      reducer_parts: String(Number(ink.reducer_parts)),
      ink_volume: ofAmounts((a) => measure(a.black_ml + a.base_ml + a.reducer_ml, units)),
      ink_weight: ofAmounts((a) => weight(a.black_g + a.base_g + a.reducer_g, units)),
      darkest_l: darkest ? darkest.lightness.toFixed(0) : MISSING,
      darkest_density: darkest ? darkest.density.toFixed(2) : MISSING,
    },
    choices: {
      units,
      summary: summary ? 'known' : 'missing',
      amounts: amounts ? 'known' : 'missing',
      lines: yesNo(Boolean(plan.lines)),
      dustings: Number(dust.dustings) > 1 ? 'more' : 'one',
      wait: yesNo(Number(dust.wait_s) > 0),
      paper_between: yesNo(Boolean(bake.paper_between)),
      softens: softens_min !== null ? 'yes' : summary && amounts ? 'no' : 'unknown',
      // If it never softens, `softens` shows the bake's sentence already.
      bake_warned: yesNo(summary !== null && summary.bake.doneness !== 'good' && (amounts === null || softens_min !== null)),
      bath_copper: yesNo(Number(bath.copper_g_per_l) > 0),
      movement: String(bath.agitation),
      spits: yesNo(summary !== null && summary.order.spits.length > 0),
      plates_left: plates === null ? 'unknown' : plates === 1 ? 'one' : 'more',
      impressions: shop.impressions === 1 ? 'one' : 'more',
      base: yesNo(Number(ink.base_parts) > 0),
      reducer: yesNo(Number(ink.reducer_parts) > 0),
      wipe: String(ink.wipe),
      press: String(ink.press),
      darkest: darkest ? 'known' : 'missing',
    },
  };
}

const percent = (share: number): string => `${(100 * share).toFixed(0)} %`;

const few = (x: number): string => (x >= 10 ? x.toFixed(0) : x.toFixed(1));
