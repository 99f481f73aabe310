// The words of the bench sheet and the clock: every text of every file is filled for plans that need it.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { fileURLToPath } from 'node:url';
import { pageModule } from '../browser/lib/pageModule.mjs';

const ROOT = path.join(path.dirname(fileURLToPath(import.meta.url)), '../..');
const readJson = async (file) => JSON.parse(await readFile(path.join(ROOT, 'www/src/steps', file), 'utf8'));

const PARTS = ['ground', 'bath', 'print', 'states'];
const files = Object.fromEntries(await Promise.all(PARTS.map(async (part) => [part, await readJson(`texts/${part}.json`)])));
const [phrases, cautions, needs, marks] = await Promise.all(['phrases.json', 'cautions.json', 'needs.json', 'marks.json'].map(readJson));
const risks = await readJson('risks.json');
const { CHOICES, fill } = await pageModule('steps/words.ts');
const { benchList, benchNeeds } = await pageModule('steps/list.ts');
const { productsOf, risksOf } = await pageModule('steps/risks.ts');
const { everyStop, underVarnish } = await pageModule('steps/steps.ts');

/** A bite as Rust words it. */
const bite = (first, last, more) => ({
  bite: { first, last, bite_min: 2 }, name: `Bite ${first}`, joined: '', cover: '', uncover: '', open: 'values 1 to 4', ...more,
});

const ORDER = { planned: 4, whites: true, bites: [1, 2, 3, 4].map((n) => bite(n, n)), spits: [], later: [], dropped: '' };
const SUMMARY = {
  dust: { loose_cover: 0.2, low_angle_cover: 0.8, cloud_start_g_per_m3: 40, explosible_g_per_m3: 15 },
  bake: { softening_c: 76, plate_end_c: 110, doneness: 'good', sentence: { metric: 'The copper gets warm enough.', us: 'The copper gets warm enough.' } },
  ground: { cover: 0.5, islands_per_mm2: 40, domes_per_mm2: 90, median_footprint_um: 70 },
  bath: { rate_um_per_min: [1.5], copper_end_g_per_l: 0.7, dissolved_g: 0.4 },
  values: [0, 1, 2, 3, 4].map((i) => ({ lightness: 95 - 15 * i, density: 0.3 * i })),
  order: ORDER,
};
const AMOUNTS = {
  powder_g: 17.4, powder_each_g: 5.8, box_too_small: null, softens_min: 1.4, hydrometer_before_be: 40, hydrometer_after_be: 40.2, colder_c: 2, colder_times: 1.05, bath_copper_g: 1.4, replace_g_per_l: 50,
  plates_left: 12, held_um: 8, black_ml: 28, black_g: 31, base_ml: 3, base_g: 3.2, reducer_ml: 2, reducer_g: 1.8,
};
const PLAN = {
  plate: { width_mm: 150, height_mm: 200, thickness_mm: 1.2 }, paper: { reflectance: 0.8, margin_mm: 30 },
  dust: { powder_g_per_m2: 23, wait_s: 45, dusting_min: 4, dustings: 1 }, bake: { hot_plate_c: 125, bake_min: 3, paper_between: true },
  bath: { strength_be: 40, temperature_c: 20, agitation: 'rocked', copper_g_per_l: 0, volume_l: 2 },
  bites: [1, 2, 3, 4].map((bite_min) => ({ bite_min })), ink: { wipe: 'hand', press: 'normal', base_parts: 0, reducer_parts: 0 },
};
const SHOP = { begin_min: 540, between_min: 30, floor_cm: [50, 50], impressions: 5 };

/** What the sheet is made from; `plan`, `summary` and `amounts` say what differs from the usual, and null that they are not there. */
const known = ({ plan, summary, amounts, shop, units = 'metric' } = {}) => ({
  plan: { ...PLAN, ...plan },
  summary: summary === null ? null : { ...SUMMARY, ...summary, order: { line: (plan?.states ?? []).map((_, i) => i + 2), ...ORDER, ...summary?.order } },
  amounts: amounts === null ? null : { ...AMOUNTS, ...amounts },
  shop: { ...SHOP, ...shop }, units,
});

const tool = (name, passage) => ({ tool: { tool: name, passage, width_mm: 4, take_um: 3, points_mm: [[10, 10], [40, 40]] } });
const ground = (outline_mm) => ({
  ground: { seed: 8, dust: PLAN.dust, bake: PLAN.bake, bath: PLAN.bath, outline_mm, bites: [2, 3].map((bite_min) => ({ bite_min, from_value: 1, to_value: 4 })) },
});
const PASSAGE = [[10, 10], [60, 10], [60, 60]];
const later = [
  { state: 2, work: 1, dropped: '', bites: [bite(1, 1, { cover: 'the whites' }), bite(2, 2, { cover: 'value 1', uncover: 'value 3' }), bite(3, 3, { uncover: 'value 4' })] },
  { state: 3, work: 0, dropped: 'Bite 2 falls away.', bites: [bite(1, 2, { joined: 'Bites 1 and 2 run as one.' })] },
];
const states = [
  { name: '', from_state: 1, work: [tool('scraper', false), ground(PASSAGE), tool('point', true), tool('burnisher', false)] },
  { name: 'darker', from_state: 2, work: [ground([]), tool('polish', true), tool('hammer', true), tool('hammer', false)] },
  { name: '', from_state: 3, work: [ground(PASSAGE)] },
];
const edition = (steel_faced) => ({ impressions: 30, steel_faced, paper_reflectance: 0.85, sheet_width_mm: 760, sheet_height_mm: 560, minutes_each: 25 });

/** Together they need every text that there is. */
const PLANS = [
  known(),
  known({ summary: null, amounts: null, plan: { states, edition: edition(false) } }),
  known({ plan: { states, edition: edition(true) }, summary: { order: { ...ORDER, later } } }),
  // No place has the first value, nothing is white, the last falls away; two spit-bites.
  known({ summary: { order: {
    ...ORDER, whites: false, dropped: 'No place of the plate has value 4.',
    bites: [bite(1, 1), bite(2, 2, { joined: 'They run as one.' }), bite(3, 3)],
    spits: [{ name: 'sky', spit_min: 2, fade_mm: 5, middle_mm: [30, 40] }, { name: 'area 5', spit_min: 1, fade_mm: 0, middle_mm: [9, 9] }],
  } } }),
  known({ summary: { order: { ...ORDER, whites: false } } }),
  { ...known(), instead: { 'bite-2': 0, 'bite-3': 90 } },
  known({ plan: { lines: { picture: 'lines.png' }, dust: { ...PLAN.dust, wait_s: 0 }, bake: { ...PLAN.bake, paper_between: false } } }),
  known({ plan: { states: [{ ...states[1], from_state: 1, work: [{ ground: { ...ground([]).ground, dust: { ...PLAN.dust, wait_s: 0 } } }] }] } }),
  known({
    plan: {
      dust: { ...PLAN.dust, dustings: 3 },
      states: [{ ...states[1], from_state: 1, work: [{ ground: { ...ground([]).ground, dust: { ...PLAN.dust, dustings: 2 } } }] }],
    },
    amounts: { box_too_small: { metric: 'The plate does not lie flat.', us: 'The plate does not lie flat.' } },
  }),
  known({ plan: { dust: { ...PLAN.dust, dustings: 2, wait_s: 0 } } }),
  known({ plan: { bath: { ...PLAN.bath, copper_g_per_l: 12.5 } }, amounts: { plates_left: 1 }, shop: { impressions: 1 } }),
  known({ summary: { bake: { ...SUMMARY.bake, doneness: 'under' } }, amounts: { plates_left: null } }),
  known({ summary: { bake: { ...SUMMARY.bake, doneness: 'under' } }, amounts: { softens_min: null } }),
  ...['metric', 'us'].flatMap((units) => [[0, 0], [20, 0], [0, 5], [20, 5]].map(([base_parts, reducer_parts]) =>
    known({ units, plan: { ink: { ...PLAN.ink, base_parts, reducer_parts } } }))),
  ...CHOICES.movement.map((agitation) => known({ plan: { bath: { ...PLAN.bath, agitation } } })),
  ...CHOICES.wipe.map((wipe) => known({ plan: { ink: { ...PLAN.ink, wipe } } })),
  ...CHOICES.press.map((press) => known({ plan: { ink: { ...PLAN.ink, press } } })),
];

const steps = PLANS.flatMap(benchList);
const lists = PLANS.flatMap(benchNeeds);
const TEXTS = [
  ...steps.flatMap(({ name, todo, look, ifNot, late, mind, short }) => [name, ...todo, look, ifNot, late, mind, short]), ...lists.flatMap(({ name, things }) => [name, ...things]),
  everyStop(), underVarnish(),
].filter((text) => text !== undefined);

/** Every text under `words`, with what leads to it; and every choice on the way. */
function leaves(words, where) {
  if (Array.isArray(words)) return words.flatMap((one, i) => leaves(one, `${where} ${i + 1}`));
  if (typeof words !== 'object') return [{ where, text: String(words) }];
  const { by, ...options } = words;
  assert.ok(by in CHOICES, `${where}: there is no choice “${by}”`);
  for (const option of Object.keys(options)) assert.ok(option === 'else' || CHOICES[by].includes(option), `${where}: “${by}” has no option “${option}”`);
  if (!('else' in options)) for (const option of CHOICES[by]) assert.ok(option in options, `${where}: no text for “${by}” “${option}”`);
  return Object.entries(options).flatMap(([option, one]) => leaves(one, `${where}, ${by} ${option}`));
}

/** What a text looks like when its places are filled. */
const filled = (text) => text.replace(/[.*+?^$()|[\]\\]/g, '\\$&').replace(/\{\w+\}/g, '[^]*');
const said = (text, among, whole) => among.some((one) => new RegExp(whole ? `^${filled(text)}$` : filled(text)).test(one));

const FIELDS = ['name', 'allow_min', 'todo', 'look', 'ifNot', 'late', 'mind', 'short', 'caution'];
const entries = PARTS.flatMap((part) => Object.entries(files[part].steps).map(([key, words]) => ({ part, key, words })));

test('no text of the bench sheet has a hole', () => {
  assert.ok(steps.length > 500 && steps.every(({ caution }) => caution === undefined || caution.length > 20));
  for (const text of [...TEXTS, ...steps.flatMap(({ caution }) => caution ?? [])]) {
    assert.doesNotMatch(text, /[{}]|undefined|NaN|null|\[object|^\s|\s$| {2}/, `“${text}”`);
    assert.ok(text.length > 2 || text === '…', `“${text}” is a text`);
  }
  for (const { id, allow_min } of steps) assert.ok(Number.isFinite(allow_min), `${id} has minutes`);
});

test('every step is used, and every text of it', () => {
  assert.equal(new Set(entries.map(({ key }) => key)).size, entries.length, 'no step stands in two files');
  for (const { part, key, words } of entries) {
    for (const field of Object.keys(words)) assert.ok(FIELDS.includes(field), `${part}.json, ${key}: there is no “${field}”`);
    for (const field of ['name', 'todo', 'look', 'ifNot', 'late', 'mind', 'short']) {
      for (const { where, text } of leaves(words[field] ?? '', `${part}.json, ${key}, ${field}`)) assert.ok(text === '' || said(text, TEXTS, true), `${where}: never said: “${text}”`);
    }
    leaves(words.allow_min, `${part}.json, ${key}, allow_min`);
  }
  for (const { where, text } of leaves(needs.flatMap(({ things }) => things), 'needs.json')) assert.ok(text === '' || said(text, TEXTS, true), `${where}: never said: “${text}”`);
  const everything = [...TEXTS, ...steps.flatMap(({ caution }) => caution ?? [])];
  for (const { where, text } of Object.entries(phrases).flatMap(([key, words]) => leaves(words, `phrases.json, ${key}`))) {
    assert.ok(said(text, everything, false), `${where}: never said: “${text}”`);
  }
  const sources = JSON.stringify([files, phrases, cautions, needs]);
  for (const choice of Object.keys(CHOICES)) assert.ok(sources.includes(`"by":"${choice}"`), `nothing depends on “${choice}”`);
});

test('the list follows the order of the trade, from the supplier’s film to the plate put away', () => {
  const first = [
    'plate', 'degrease', 'transfer', 'box', 'wait', 'dusting', 'heat', 'bake', 'cool', 'back', 'whites', 'bath',
    'bite-1', 'stop-1', 'bite-2', 'stop-2', 'bite-3', 'stop-3', 'bite-4', 'strip', 'brighten', 'bath-away', 'soak', 'blankets', 'ink', 'wipe', 'press', 'dry',
  ];
  const ids = (more) => benchList(known(more)).map(({ id }) => id);
  assert.deepEqual(ids(), [...first, 'bat', 'sign', 'cancel', 'clean']);
  const later = (id) => ['degrease', 'box', 'wait', 'dusting', 'heat', 'bake', 'cool', 'back', 'bath', 'bite-1', 'bite-2', 'strip', 'brighten'].map((key) => `${id}-${key}`);
  assert.deepEqual(ids({ plan: { states: [{ name: '', from_state: 1, work: [tool('scraper', false), ground([])] }], edition: edition(false) } }), [
    ...first, 'tools-2-0', ...later('ground-2-1'), 'proof-2', 'bat', 'before-edition', 'edition', 'sign', 'cancel', 'clean',
  ]);
});

test('each step says what to do, what to look for, what it means if it isn’t so, and its caution', () => {
  for (const { id, todo, look, ifNot, caution, marks: few } of steps) {
    assert.ok(todo.length > 0 && look && ifNot && caution, `${id}: ${JSON.stringify({ todo, look, ifNot, caution })}`);
    assert.ok(few.length > 0, `${id} has its caution on the short sheet, too`);
  }
  for (const { id, seconds, bite, late } of steps.filter((one) => one.seconds !== null)) {
    assert.ok(bite !== undefined || late, `${id}, ${seconds} s, says what to do when it ran over`);
  }
});

test('values that can no longer be parted are stopped out together, and the next bite has its own minutes', () => {
  const list = benchList({ ...known(), instead: { 'bite-2': 0, 'bite-3': 90 } });
  const bitten = list.filter(({ id }) => /^(bite|stop)-/.test(id));
  assert.deepEqual(bitten.map(({ id, name, seconds }) => [id, name, seconds]), [
    ['bite-1', 'Bite 1', 120], ['stop-1', 'Rinse, dry, stop out values 1 and 2 together', null],
    ['bite-3', 'Bite 3', 90], ['stop-3', 'Rinse, dry, stop out value 3', null], ['bite-4', 'Bite 4', 120],
  ]);
  assert.match(bitten[3].mind, /Covered already: the whites and values 1 and 2/);
  const ends = benchList({ ...known(), instead: { 'bite-3': 0, 'bite-4': 0 } });
  assert.equal(ends[ends.findIndex(({ id }) => id === 'bite-2') + 1].id, 'strip', 'with nothing left to bite the plate is done');
});

test('the powder of a later ground is weighed out, too', () => {
  const of = ground([]).ground;
  const work = [{ ground: { ...of, dust: { ...PLAN.dust, powder_g_per_m2: 46, dustings: 2 } } }];
  const box = benchList(known({ amounts: { powder_each_g: 5.8 }, plan: { states: [{ name: '', from_state: 1, work }] } })).find(({ id }) => id === 'ground-2-0-box');
  assert.match(box.todo.join(' '), /Weigh out 23\sg of rosin powder in 2 shares of 12\sg/);
});

test('every dusting is a wait and a time in the box of its own', () => {
  const list = benchList(known({ plan: { dust: { ...PLAN.dust, dustings: 3 } } }));
  assert.equal(new Set(list.map(({ id }) => id)).size, list.length, 'each step has its own id');
  const dusted = list.filter(({ id }) => /^(wait|dusting)/.test(id));
  assert.deepEqual(dusted.map(({ id, seconds }) => [id, seconds]), [
    ['wait', 45], ['dusting', 240], ['wait-2', 45], ['dusting-2', 240], ['wait-3', 45], ['dusting-3', 240],
  ]);
  assert.deepEqual(dusted.map(({ name }) => name).slice(2, 4), ['Stir up the dust, then wait (2 of 3)', 'Plate in the box (2 of 3)']);
  const box = list.find(({ id }) => id === 'box');
  assert.match(box.todo.join(' '), /Weigh out 17\sg of rosin powder in 3 shares of 5\.8\sg, one for each dusting: 23 g\/m²/);
  assert.ok(dusted.at(-1).look.includes('about 80 %') && !dusted[1].look.includes('80 %'), 'what it looks like at the end is said of the last');
});

test('every caution is used', () => {
  const named = new Set(entries.flatMap(({ part, key, words }) => leaves(words.caution ?? [], `${part}.json, ${key}, caution`)).map(({ text }) => text).filter(Boolean));
  assert.deepEqual([...named].sort(), Object.keys(cautions).sort(), 'the cautions that steps name are those of cautions.json');
  const shown = steps.flatMap(({ caution }) => caution ?? []);
  for (const [key, text] of Object.entries(cautions)) assert.ok(said(text, shown, false), `cautions.json, ${key}: never shown`);
  assert.deepEqual(Object.keys(marks).sort(), Object.keys(cautions).sort(), 'each has its few words for the short sheet');
  for (const words of Object.values(marks)) assert.ok(words.length < 64, `“${words}” is a few words`);
});

test('what is missing is an error', () => {
  const given = { places: { a: '{b}' }, choices: { wipe: 'hand' } };
  assert.equal(fill('{a}', given), '{b}', 'what fills a place is not searched for places');
  assert.throws(() => fill('with {powder} of rosin', given), /nothing fills \{powder\} in “with \{powder\} of rosin”/);
  assert.throws(() => fill({ by: 'wipe', hard: 'x' }, given), /no text for “hand” by “wipe”/);
  assert.throws(() => fill({ by: 'press', hard: 'x' }, given), /no text for “undefined” by “press”/);
  assert.equal(fill({ by: 'wipe', hard: 'x', else: 'y' }, given), 'y');
});

test('the plan’s choices are those of the catalogue', async () => {
  const catalogue = await readFile(path.join(ROOT, 'crates/plan/src/choices.rs'), 'utf8');
  for (const [choice, key] of [['movement', 'bath.agitation'], ['wipe', 'ink.wipe'], ['press', 'ink.press']]) {
    const [, options] = new RegExp(`key: "${key}"[^]*?options: &\\[([^]*?)\\],`).exec(catalogue);
    assert.deepEqual([...options.matchAll(/\("(\w+)"/g)].map(([, option]) => option), [...CHOICES[choice]], key);
  }
});

test('the form for a risk assessment has every caution once, beside what the plan uses', () => {
  const keys = risks.risks.flatMap((one) => one.cautions);
  assert.deepEqual([...keys].sort(), Object.keys(cautions).sort(), 'each caution under one heading');
  const all = PLANS.map(risksOf);
  const words = all.flat().flatMap(({ name, uses, steps: where, cautions: said }) => [name, ...uses, where, ...said]).concat(PLANS.flatMap(productsOf));
  for (const text of words) assert.doesNotMatch(text, /[{}]|undefined|NaN|null|\[object|^\s|\s$| {2}/, `“${text}”`);
  for (const { where, text } of leaves([...risks.risks.map(({ uses }) => uses), risks.products], 'risks.json')) assert.ok(text === '' || said(text, words, true), `${where}: never said: “${text}”`);
  for (const one of all.flat()) assert.ok(one.uses.length > 0 && one.cautions.length > 0 && one.steps !== '', `${one.name} says what is used, where, and what can happen`);
  assert.doesNotMatch(words.join(' '), /\b(is|are|be) safe\b|harmless|no (danger|risk)|\b(low|high|acceptable) risk\b/i, 'no judgement');
  for (const known of PLANS) {
    const asked = new Set(benchList(known).flatMap((one) => one.cautions));
    assert.equal(risksOf(known).flatMap((one) => one.cautions).length, asked.size, 'all cautions of its bench sheet, no others');
  }
});

test('the form counts the steps of the sheet, all bites together, and later grounds', () => {
  const of = (name, more) => risksOf(known(more)).find((one) => one.name === name);
  const dust = of('Rosin dust');
  assert.equal(dust.steps, '4 to 6');
  assert.match(dust.uses[0], /^17\sg of rosin powder: 23 g\/m² for a floor of 50 × 50 cm$/);
  assert.ok(of('Ferric chloride').uses.includes('all bites together 8\u00a0min'), JSON.stringify(of('Ferric chloride').uses));
  assert.equal(of('Steel-facing'), undefined, 'only what the plan uses');
  assert.ok(of('Steel-facing', { plan: { edition: edition(true) } }), 'a plate that is steel-faced');
  const twice = of('Rosin dust', { plan: { states } });
  assert.ok(twice.uses.some((words) => /^State 2: make the dust box ready: .* of rosin$/.test(words)), JSON.stringify(twice.uses));
});
