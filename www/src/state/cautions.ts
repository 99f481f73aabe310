import type { DustAir } from './benchTypes';

/*
 * What to beware of at the bench, once for bench sheet and clock. Every caution defers to
 * `DECIDE`.
 */

/** Who works, and with whom: said once, at the head. */
export const CLASSES = 'With minors, in a class, or with anyone pregnant, asthmatic or allergic, the responsible person decides beforehand who does what. Dust, hot plate, bath and solvents are no work for a child, and none to be done alone.';

/** After a splash: at the bath, where it happens. */
const SPLASH = 'A splash: on skin, water at once and plenty of it, wet clothes off; in the eyes, the eyewash for 15 minutes with the lids held open, then a doctor, safety sheet in hand.';

/** Fine figures are from memory; a lower one is never a clearance. */
function cloud(air: DustAir | null): string {
  if (!air) return '';
  const few = (g: number): string => (g >= 10 ? g.toFixed(0) : g.toFixed(1));
  return ` This plan raises about ${few(air.cloud_start_g_per_m3)} g/m³; from memory, clouds of rosin from about ${few(air.explosible_g_per_m3)} g/m³ can explode. No figure is a clearance: a cloud is never even.`;
}

export const CAUTIONS = {
  file: 'Burrs and filings cut: file away from the hand that holds the plate, brush filings up, never blow.',
  degrease: 'Whoever mixes whiting with ammonia: gloves, fresh air, and rinse off every trace; ammonia and ferric chloride must not meet.',
  powder: 'Rosin dust in the air can explode, and breathing it can make a person allergic for life; on the skin it can, too. Fitted respirator for fine dust, gloves, extraction; hot plate off and cold, no flame, spark or running motor near the box.',
  stir: (air: DustAir | null): string => `Now the cloud is thickest. Box shut, fitted respirator on, no flame, spark or motor near. Static is enough to light it, about 10 mJ (from memory): box and person earthed, no plastic bags or brushes that charge.${cloud(air)}`,
  box: 'Dust still floats and comes out with the plate: fitted respirator on, the smallest opening, no flame or spark, hot plate still off.',
  heat: 'Only when the box is shut and no dust hangs in the air. Fitted respirator on until then; wipe up spilt powder damp, never sweep or blow it. No solvent, rag or powder near the heat; mark it hot.',
  bake: 'Burns: tongs or heatproof gloves, plate and hot plate marked hot. Overheated rosin gives off a fume known to cause asthma: extraction. No solvent, rag or dust near.',
  cool: 'Still hot enough to burn: tongs until it has cooled. Hot plate off.',
  varnish: 'Varnish and solvents burn and their vapour harms, “odourless” ones too: hot plate off and cold, no flame, extraction, gloves that withstand them, rags into a lidded metal bin.',
  bath: `Ferric chloride burns skin and eyes, stains for good, and eats metal sinks and drains: goggles, nitrile gloves, apron, fresh air, a lid, eyewash within reach. Etchant into water, never water into etchant. Dissolving the solid gives great heat and an acid mist: always ferric into water, little by little, as the supplier’s sheet says. Copper only: zinc and aluminium heat violently in it. No bleach, persulfate or ammonia near, and no acid but what the supplier’s sheet allows (citric acid is a usual addition). ${SPLASH}`,
  spit: 'The brush holds strong ferric chloride: goggles, nitrile gloves, apron, fresh air. Wet the edge with water from a second brush; no brush goes to the mouth, despite the name. Blot with paper that then counts as etchant waste.',
  bite: 'Ferric chloride burns skin and eyes: goggles, nitrile gloves, apron. Plate in and out with tongs or on a sling, slowly, no splash; lid on meanwhile.',
  mist: 'Bubbles and spray throw a fine acid mist: tank shut, extraction on, and wait until it has settled before the lid is lifted.',
  drips: 'Drips and the first rinse are etchant: goggles and gloves stay on until the plate is rinsed.',
  strip: 'Solvents and alcohol burn and their vapour harms, “odourless” ones too: no flame, hot plate off and cold, extraction, gloves that withstand them, rags into a lidded metal bin.',
  waste: 'A spent bath is acid, carries copper and is poison to water life; so are the first rinses and the sludge. Collect them, labelled, as hazardous waste through the local authority or a licensed carrier; never down a drain or on soil. Neutralising only moves the copper into a sludge. Goggles, gloves and apron until the lid is on.',
  ink: 'Some pigments harm and some reducers burn: gloves, no eating, the ink’s own safety sheet.',
  wipe: 'The plate is warm: no solvent near the heat. Tarlatan and rags with drying oil can catch fire by themselves: spread them flat to dry, or under water in a lidded metal bin. Gloves.',
  press: 'Hands, hair and sleeves clear of bed and rollers.',
  clean: 'Hot plate off and cold first. Solvents and alcohol burn and harm, “odourless” ones too: no flame, extraction, gloves. Rags with drying oil can catch fire by themselves: spread flat to dry, or under water in a lidded metal bin.',
  scrape: 'Scrapers cut: away from the hand that holds the plate, the plate held against a stop; sheathed when put down.',
  steel: 'Steel-facing is electroplating: some shops do it, most send the plate to a licensed plater. Its baths and currents have safety sheets of their own.',
};
