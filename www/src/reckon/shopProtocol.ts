/**
 * What the page and a worker of the shop say to each other: the second module, fetched when it is
 * first asked for. As in `protocol.ts` all reckoning is done in Rust.
 */

/** How a bath stands between plates. */
export interface BathState {
  strength_be: number; copper_g_per_l: number;
  /** Speed against the same bath fresh, 0–1. */
  speed_share: number;
  /** What the hydrometer reads with that copper in it, at 60 °F. */
  hydrometer_be: number;
  /** Copper from which it is tired, and at which it is due to be replaced. */
  tired_g_per_l: number; replace_g_per_l: number;
  tiredness: 'fresh' | 'tired' | 'spent';
}

/** Amounts and readings for the bench; null where there is none to tell. */
export interface BenchAmounts {
  powder_g: number; landed_g: number; softens_min: number | null;
  chloride_g_per_l: number; hydrometer_before_be: number; hydrometer_after_be: number; colder_times: number;
  /** Copper in the whole bath afterwards, where it is due to be replaced, and plates like this one until then. */
  bath_copper_g: number; replace_g_per_l: number; plates_left: number | null;
  held_um: number;
  black_ml: number; black_g: number; base_ml: number; base_g: number; reducer_ml: number; reducer_g: number;
}

/** The bites that remain: minutes, how they come out, and the L* of every value, with these minutes and with the plan's own. */
export interface ToGo {
  bite_min: number[]; outcome: ('met' | 'darker' | 'lighter')[];
  lightness: number[]; kept_lightness: number[];
}

/** One way to a wished tone. */
export interface Way {
  way: 'scrape' | 'burnish' | 'polish' | 'bite' | 'thin_ink' | 'stiff_ink' | 'loose_ink' | 'tarlatan' | 'hand' | 'hard' | 'dab';
  /** µm, minutes or parts of base, with what the constants make of it; the most that can be done. */
  amount: number; passes: number; low: number; high: number; most: number;
  reaches: number; reaches_most: number; enough: boolean;
  /** Largest change of L* elsewhere, and in which value. */
  elsewhere: number; elsewhere_value: number;
}

/** How every value drifts over the impressions, and what the edition takes. */
export interface EditionAnswer {
  impressions: number[];
  values: { index: number; area_share: number; lightness: number[]; lightness_steel: number[]; srgb: number[]; seen_at: number; seen_at_steel: number }[];
  first_value: number; lasts: number; lasts_steel: number;
  ink_g: number; per_sheet: number; sheets: number; hours: number;
}

/** A plan as JSON, and the shares of its plate per value, paper first. */
export interface PlateOf { plan: string; shares: number[] }

export type Calibration = Record<string, number>;

export type ShopRequest =
  | { do: 'bath_state'; strength_be: number; copper_g_per_l: number; calibration: Calibration }
  | { do: 'mixed_be'; reading_be: number; temp_c: number; copper_g_per_l: number; calibration: Calibration }
  | ({ do: 'bench'; floor_m2: number; impressions: number } & PlateOf) // for a dust box of this floor
  | ({ do: 'bites_to_go'; ran_min: number[]; target_l: number[] } & PlateOf) // after bites that ran so long; L* wanted, value 1 first
  | ({ do: 'edition'; state: number } & PlateOf)
  | ({ do: 'ways'; state: number; value: number; amounts: number[]; wished: number } & PlateOf); // value and amounts are the passage's

export interface ShopAnswers {
  bath_state: BathState;
  mixed_be: { strength_be: number };
  bench: BenchAmounts;
  bites_to_go: ToGo;
  edition: EditionAnswer;
  ways: { ways: Way[] };
}
