// What the checks of the lessons need: the lessons as the page has them, and the native program to try
// what they say. Nothing here knows what a lesson says.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = path.join(path.dirname(fileURLToPath(import.meta.url)), '../..');
const FEATURES = path.join(ROOT, 'www/src/features');
const PROGRAM = path.join(process.env.CARGO_TARGET_DIR ?? path.join(ROOT, 'target'), 'debug/platewright');

const read = (file) => JSON.parse(readFileSync(path.join(FEATURES, file), 'utf8'));

export const GLOSSARY = read('glossary/glossary.json');
export const SHARES = read('strip/shares.json');
/** The lessons as a metric reader has them: of `‹metric|US›` the first. */
export const LESSONS = readdirSync(path.join(FEATURES, 'lessons/texts')).map((file) => JSON.parse(readFileSync(path.join(FEATURES, 'lessons/texts', file), 'utf8').replace(/‹([^|›]*)\|[^›]*›/g, '$1')));

export function lesson(id) {
  const found = LESSONS.find((one) => one.id === id);
  assert.ok(found, `there is no lesson ${id}`);
  return found;
}

const kept = new Map();

/** The native program's words, asked once for each question. */
export function native(words, input = '') {
  const key = JSON.stringify([words, input]);
  if (!kept.has(key)) kept.set(key, execFileSync(PROGRAM, words, { input, encoding: 'utf8', maxBuffer: 1 << 30 }));
  return kept.get(key);
}

/** Rows of a table of comma-separated values, numbers as numbers. */
function rows(text) {
  const [head, ...lines] = text.trim().split('\n').map((line) => line.split(','));
  return lines.map((cells) => Object.fromEntries(head.map((name, i) => {
    const number = Number(cells[i]);
    return [name, cells[i] === '' || Number.isNaN(number) ? cells[i] : number];
  })));
}

const side = ({ key, from, to, count }) => (from === to ? key : `${key}=${from}..${to}:${count}`);

/**
 * The patches of a lesson's strip, row by row. `but` changes it: `set` adds settings, `along`, `down`,
 * `value` and `minutes` take the place of the lesson's own.
 */
export function strip(id, but = {}) {
  const { set, strip: own } = lesson(id);
  const { along, down, value, minutes } = { ...own, ...but };
  const words = ['strip', '--vary', side(along)];
  if (down) words.push('--by', side(down));
  for (const [key, at] of Object.entries({ ...set, ...but.set })) words.push('--set', `${key}=${at}`);
  const varied = [along.key, down?.key];
  if (value !== null && value !== undefined) words.push('--value', String(value));
  else if (!varied.includes('minutes')) words.push('--minutes', String(minutes));
  return rows(native(words));
}

/** One patch of the example plan with these settings: one bite of so many minutes. */
export function patch(set = {}, minutes = 12) {
  const words = ['strip', '--vary', 'ink.press', '--minutes', String(minutes), ...Object.entries(set).flatMap(([key, at]) => ['--set', `${key}=${at}`])];
  return rows(native(words)).find((one) => one['ink.press'] === 'normal');
}

/** One patch of a lesson's plan: one bite of so many minutes, with these settings. */
export function once(id, minutes, set = {}) {
  return strip(id, { minutes, value: null, down: null, set, along: { key: 'ink.press', from: 0, to: 0, count: 3 } })
    .find((patch) => patch['ink.press'] === 'normal');
}

/** Patches of one bite after another: `from` to `to` minutes in `count` steps. */
export function bitten(id, from, to, count, set = {}) {
  return strip(id, { down: null, value: null, set, along: { key: 'minutes', from, to, count } });
}

/** The table of values of the example plan. */
export const table = () => rows(native(['table']));

/** Answers of single functions of the reckoning. */
export function probe(...questions) {
  return native(['probe'], `${questions.map((one) => JSON.stringify(one)).join('\n')}\n`).trim().split('\n').map((line) => JSON.parse(line));
}

/** Ground of the example plan, a field of 1.6 mm, bitten to a dose: depth of every pixel, µm. */
export function depthField(dose_um) {
  const [side_um, px_um] = [1600, 4];
  const width = side_um / px_um;
  const [{ discs, overlapping }] = probe({ ask: 'domes', left_um: 4000, top_um: 4000, side_um, reach_um: 60 });
  const [{ under_um }] = probe({ ask: 'distance', discs, overlapping, width, height: width, px_um, reach_um: 60 });
  const [{ depth_um }] = probe({ ask: 'depth', under_um, dose_um, etch_factor: 1, px_um });
  return { depth_um, width, px_um };
}

/** Islands on the square millimetre of a ground: domes that overlap have one outline and are one. `recipe` changes the example's dust or bake. */
export function islandsPerMm2(recipe = {}) {
  const side_um = 3000;
  const [{ discs: { x_um, y_um, radius_um } }] = probe({ ask: 'domes', ...recipe, left_um: 6000, top_um: 6000, side_um, reach_um: 0 });
  const first = x_um.map((_, i) => i);
  const of = (i) => { while (first[i] !== i) i = first[i]; return i; };
  const along = first.toSorted((a, b) => x_um[a] - x_um[b]);
  const widest = 2 * Math.max(...radius_um);
  along.forEach((a, at) => {
    for (let k = at + 1; k < along.length && x_um[along[k]] - x_um[a] < widest; k++) {
      const b = along[k];
      if (Math.hypot(x_um[a] - x_um[b], y_um[a] - y_um[b]) < radius_um[a] + radius_um[b]) first[of(a)] = of(b);
    }
  });
  return first.filter((one, i) => one === i).length / (side_um / 1000) ** 2;
}

/** L* and mean held ink of a field of depths, inked and printed. */
export function printed({ depth_um, width, px_um }) {
  const [{ patch, held_um }] = probe({ ask: 'print', depth_um, width, px_um });
  const [{ lightness }] = probe({ ask: 'light', reflectance: [patch] });
  return { lightness: lightness[0], held_um: held_um.reduce((sum, one) => sum + one, 0) / held_um.length };
}

/** Land and floor lowered alike. */
export const lowered = (field, by_um) => ({ ...field, depth_um: field.depth_um.map((depth) => depth + by_um) });

// Assertions with the number in their words.
export function between(value, low, high, what) {
  assert.ok(value >= low && value <= high, `${what}: ${value} is not between ${low} and ${high}`);
}

export function rises(values, what) {
  values.forEach((value, i) => { if (i > 0) assert.ok(value > values[i - 1], `${what} does not rise at ${i}: ${values.join(', ')}`); });
}

export const falls = (values, what) => rises(values.map((value) => -value), `minus ${what}`);

export const of = (patches, name) => patches.map((patch) => patch[name]);

/** Place of the smallest. */
export const least = (values) => values.indexOf(Math.min(...values));

/** Where a rising course of points meets a height, straight between them. */
export function meets(xs, ys, height) {
  for (let i = 1; i < xs.length; i++) {
    const [a, b] = [ys[i - 1], ys[i]];
    if ((a - height) * (b - height) <= 0 && a !== b) return xs[i - 1] + ((height - a) / (b - a)) * (xs[i] - xs[i - 1]);
  }
  throw new Error(`never ${height}`);
}
