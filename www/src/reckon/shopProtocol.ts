/**
 * What the page and a worker of the shop say to each other about plans and shops as a whole.
 * As in `protocol.ts` all reckoning is done in Rust.
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

/** The bites that remain (`BathOrder`'s): minutes, how they come out, and the L* of the value of every bite, with these minutes and with the plan's own. */
export interface ToGo {
  bite_min: number[]; outcome: ('met' | 'darker' | 'lighter')[];
  lightness: number[]; kept_lightness: number[];
  /** Bites for the plan, in quarters: as they ran, the others with these minutes or with the plan's own. */
  plan_min: number[]; kept_plan_min: number[];
  /** What stands in the way of all of them; empty when nothing does. */
  sentence: string;
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

/** How finely bites are timed: as by hand (quarters, halves, then whole minutes), or throughout. */
export type Timed = 'by_hand' | 'quarters' | 'halves' | 'wholes';

/** One value asked for and what it takes. */
export interface BackBite {
  bitten: boolean;
  /** Minutes as timed, and those that would print exactly what was asked. */
  bite_min: number; exact_min: number;
  wanted_l: number; lightness: number; density: number; exact_l: number;
  /** Why it does not come out as asked, and what would help; empty when it does. */
  sentence: string;
}

export interface Backwards {
  bites: BackBite[];
  paper_l: number; darkest_l: number;
  /** Null when this bath never gets there. */
  darkest_min: number | null;
  /** How dark it prints and after how many minutes, in a sentence. */
  darkest_sentence: string;
  breaks_down: boolean; copper_end_g_per_l: number;
}

/** Minutes in another bath for the same values; `reached` tells whether it gets there at all. */
export interface SameValues { bite_min: number[]; exact_min: number[]; reached: boolean }

/** The dust and bake that come nearest to a wanted grain; `sentence` says what stands in the way. */
export interface GrainAnswer {
  wait_s: number; dusting_min: number; hot_plate_c: number; bake_min: number;
  cover: number; domes_per_mm2: number; median_footprint_um: number; good_bake: boolean; sentence: string;
}

/** Where nine of ten prints of a value lie, L*. */
export interface Band { dark_l: number; middle_l: number; light_l: number; at_risk: boolean }

/** How far calibrated constants may be off, and how they hang together (`study::tolerance::CalibratedLimits`). */
export interface Limits { keys: string[]; ln_factor: number[] }

/** What a band is made of: the usual wobble, with the constants' ranges, or with a calibration's limits. */
export type Spread = 'wobble' | 'ranges' | Limits;

/** A step plate: where its patches lie on the print (mm), its minutes, and what it should print. */
export interface StepPlate {
  layout: { width_mm: number; height_mm: number; patches: { left_mm: number; top_mm: number; width_mm: number; height_mm: number }[] };
  /** Minutes of each bite, and of each step in all. */
  bite_min: number[]; minutes: number[];
  expected_l: number[];
}

export type ReadingKind = 'lightness' | 'density' | 'density_over_paper';

/** A step plate's print as read off a picture. */
export interface PhotoReading {
  patches: { lightness: number; spread_l: number; cells: number; specks: number }[];
  /** By how much the light fell off over the plate, 0–1; it has been evened. */
  uneven: number;
  warnings: string[];
}

export interface FittedConstant {
  key: string; meaning: string; unit: string;
  value: number; low: number; high: number; in_force: number;
  /** Whether the print tells it, and whether it lies at an end of its range. */
  told: boolean; at_end: boolean;
}

/** What a step plate tells. */
export interface Fit {
  constants: FittedConstant[];
  steps: { minutes: number; read_l: number | null; printed_l: number; good_to_l: number; before_l: number }[];
  /** The curve between the steps. */
  curve: { minutes: number; printed_l: number; good_to_l: number; before_l: number }[];
  noise_l: number; good_to_l: number;
  verdict: string[];
  calibration: Calibration; limits: Limits;
}

export type ShopRequest =
  | { do: 'qr'; address: string } // -> a square of modules, 1 for dark
  | { do: 'bath_state'; strength_be: number; copper_g_per_l: number; calibration: Calibration }
  | { do: 'mixed_be'; reading_be: number; temp_c: number; copper_g_per_l: number; calibration: Calibration }
  | PlateOf & { do: 'wanted'; histogram: number[] }            // -> L* per value: even steps, or those of a picture's histogram
  | PlateOf & { do: 'backwards'; wanted_l: number[]; bitten_min: number[]; timed: Timed }
  | PlateOf & { do: 'same_values'; before: string; timed: Timed }
  | PlateOf & { do: 'grain'; footprint_um: number; domes_per_mm2: number; cover: number }   // one of the sizes is 0
  | PlateOf & { do: 'draws'; spread: Spread; from: number; count: number }                 // -> L* of each value, print after print
  | PlateOf & { do: 'bench'; floor_m2: number; impressions: number }                      // for a dust box of this floor
  | PlateOf & { do: 'bites_to_go'; ran_min: number[]; target_l: number[] }                // after bites that ran so long; L* wanted, value 1 first
  | PlateOf & { do: 'edition'; state: number }                                            // of a state, 0 for the last
  | PlateOf & { do: 'ways'; state: number; value: number; amounts: number[]; wished: number } // value and amounts are the passage's
  | { do: 'step_plate'; plan: string; steps: number }
  | { do: 'read_photo'; rgba: Uint8Array; width: number; steps: number; corners: number[]; black: number[]; paper_reflectance: number }
  | { do: 'ready_to_calibrate'; plan: string; bite_min: number[] }     // what takes longest, while readings are typed
  | { do: 'calibrate'; plan: string; bite_min: number[]; kind: ReadingKind; readings: (number | null)[] }
  | { do: 'bands'; draws: number[]; values: number };

export interface ShopAnswers {
  qr: { dark: Uint8Array };
  bath_state: BathState;
  mixed_be: { strength_be: number };
  wanted: { wanted_l: number[] };
  backwards: Backwards;
  same_values: SameValues;
  grain: GrainAnswer;
  draws: { lightness: number[] };
  bands: { bands: Band[] };
  step_plate: StepPlate;
  read_photo: PhotoReading;
  ready_to_calibrate: Record<string, never>;
  calibrate: { read_l: (number | null)[]; fit: Fit };
  bench: BenchAmounts;
  bites_to_go: ToGo;
  edition: EditionAnswer;
  ways: { ways: Way[] };
}
