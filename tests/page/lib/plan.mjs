// A small plan and catalogue for the page's modules: the shapes that Rust gives, with numbers that are easy to reckon with.

export const PLAN = {
  platewright: 1, model: 4, title: 'Harbour', notes: '', seed: 7,
  plate: { width_mm: 150, height_mm: 200, thickness_mm: 1.2, bevel_mm: 2, corner_radius_mm: 3 },
  paper: { reflectance: 0.8, margin_mm: 30 },
  picture: { source: 'harbour', crop: { left: 0, top: 0, width: 1, height: 1 }, thresholds_l: [80, 60, 40], smallest_mm: 0 },
  dust: { powder_g_per_m2: 30, wait_s: 30, dusting_min: 5, dustings: 1 }, bake: { hot_plate_c: 125, bake_min: 3, paper_between: true },
  bath: { strength_be: 40, temperature_c: 20, agitation: 'rocked', copper_g_per_l: 0, volume_l: 2 },
  bites: [1, 2, 4].map((bite_min) => ({ bite_min })), ink: { wipe: 'hand', press: 'normal', base_parts: 0, reducer_parts: 0 },
};

const field = (key, label, unit, min, max, step, usual) => ({ key, label, unit, min, max, step, default: usual, part: key.split('.')[0] });

export const CATALOGUE = {
  default_plan: PLAN,
  fields: [
    field('plate.width_mm', 'Width', 'mm', 20, 600, 1, 150),
    field('dust.wait_s', 'Wait', 's', 0, 300, 1, 30),
    field('bake.hot_plate_c', 'Hot plate', '°C', 80, 220, 1, 125),
    field('bath.strength_be', 'Strength', '°Bé', 30, 46, 0.5, 40),
    field('ink.base_parts', 'Transparent base', '', 0, 4, 0.1, 0),
  ],
  choices: [{ key: 'ink.wipe', label: 'Wiping', part: 'ink', options: [['hand', 'with the hand'], ['tarlatan', 'tarlatan only']] }],
  in_strips: ['dust.wait_s', 'bake.hot_plate_c', 'bath.strength_be', 'ink.base_parts', 'ink.wipe'],
  tools: [
    { tool: 'scraper', name: 'scraper', does: 'Shaves.', width_mm: 6, take_um: 1, pass: 'work.scraper_um_per_pass' },
    { tool: 'point', name: 'scraper’s point', does: 'Shaves.', width_mm: 0.3, take_um: 1, pass: 'work.scraper_um_per_pass' },
    { tool: 'burnisher', name: 'burnisher', does: 'Presses.', width_mm: 3, take_um: 1, pass: 'work.burnisher_um_per_pass' },
    { tool: 'polish', name: 'charcoal', does: 'Rubs.', width_mm: 12, take_um: 1, pass: 'work.polish_um_per_pass' },
    { tool: 'hammer', name: 'hammer from the back', does: 'Lifts.', width_mm: 6, take_um: 200, pass: null },
  ],
  ranges: [
    { key: 'bites.bite_min', min: 0.25, max: 90, step: 0.25 },
    { key: 'strip.patches', min: 2, max: 12, step: 1 },
    { key: 'tool.take_um', min: 0.1, max: 200, step: 0.1 },
    { key: 'picture.thresholds_l', min: 0, max: 100, step: 0.5 },
  ],
  constants: [],
  // 1 in = 25.4 mm, 1 oz = 28.3495 g, 1 US qt = 0.946353 L, 1 tsp = 4.92892 ml, 1 fl oz = 29.5735 ml (NIST Handbook 44).
  us_units: [
    ['mm', 'in', 1 / 25.4, 0, 2], ['cm', 'in', 1 / 2.54, 0, 1], ['g', 'oz', 1 / 28.3495, 0, 2], ['L', 'qt', 1 / 0.946353, 0, 1],
    ['ml', 'tsp', 1 / 4.92892, 0, 1], ['ml', 'fl oz', 1 / 29.5735, 0, 1], ['°C', '°F', 1.8, 32, 0],
  ].map(([metric, sign, times, plus, decimals]) => ({ metric, sign, times, plus, decimals })),
};
