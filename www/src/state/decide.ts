/** Goes with every caution: who decides. The bench sheet says it once, all else with each. */
export const DECIDE = 'The safety sheets, local rules and the shop’s responsible person decide; nothing here says that a step is safe.';
