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

export type Calibration = Record<string, number>;

export type ShopRequest =
  | { do: 'bath_state'; strength_be: number; copper_g_per_l: number; calibration: Calibration }
  | { do: 'mixed_be'; reading_be: number; temp_c: number; copper_g_per_l: number; calibration: Calibration };

export interface ShopAnswers {
  bath_state: BathState;
  mixed_be: { strength_be: number };
}
