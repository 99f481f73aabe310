// Printing as a hand does it, by the browser's own way and with its own margins, and what the paper then says.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { ROOT } from './page.mjs';

const PYTHON = process.env.PYTHON ?? path.join(ROOT, '.venv/bin/python');
const FOLDER = path.join(ROOT, 'test-results/paper');

/** Sheets of paper, mm. */
export const PAPERS = { A4: [210, 297], Letter: [215.9, 279.4] };

/** What Chromium prints with the margins it has by itself, 1 cm. */
export const inChromium = (page, paper) => page.pdf({
  format: paper, preferCSSPageSize: true, printBackground: true, margin: { top: '1cm', right: '1cm', bottom: '1cm', left: '1cm' },
});

/**
 * What stands on a printed PDF, page by page, once these hold for any of ours: it is on that paper, nothing lies
 * outside it, no page is empty. It may lie `across`. Kept as test-results/paper/NAME.pdf, to be looked at.
 */
export function read(pdf, name, paper, across = false) {
  mkdirSync(FOLDER, { recursive: true });
  const file = path.join(FOLDER, `${name}-${paper}.pdf`);
  writeFileSync(file, pdf);
  const pages = JSON.parse(execFileSync(PYTHON, [path.join(ROOT, 'tests/browser/lib/read_pdf.py'), file], { maxBuffer: 1 << 26 }));
  const [wide, high] = across ? [...PAPERS[paper]].reverse() : PAPERS[paper];
  pages.forEach(({ size, lines }, i) => {
    const what = `${name}, ${paper}, page ${i + 1}`;
    assert.ok(Math.abs(size[0] - wide) < 0.6 && Math.abs(size[1] - high) < 0.6, `${what} measures ${size} mm`);
    assert.ok(lines.length > 0, `${what} is empty`);
    for (const { words, box: [left, top, right, bottom] } of lines) {
      assert.ok(left > 4 && top > 4 && right < wide - 4 && bottom < high - 4, `${what}: “${words}” runs off the paper`);
    }
  });
  return pages;
}

/** Width of the widest line, mm. */
export const widest = (pages) => Math.max(...pages.flatMap(({ lines }) => lines.map(({ box: [left, , right] }) => right - left)));

/**
 * Words to be compared: without spaces, of which a PDF does not keep each; and without what Firefox draws in other letter
 * shapes than the plain ones, figures and letters that may be joined, since its PDF has no letters for them.
 */
const bare = (words) => words.replace(/\s/g, '').replace(/[\p{Cc}\ufffd\dThfijlt]/gu, '');

export const says = (pages, words) => bare(pages.flatMap(({ lines }) => lines.map((line) => line.words)).join('')).includes(bare(words));

/** How far down the last page its text reaches, a share of the page. */
export function filled(pages) {
  const { size, lines } = pages.at(-1);
  // Without the page's number, which may stand below the text.
  return Math.max(...lines.filter(({ words }) => !/^\d+ \/ \d+$/.test(words)).map(({ box }) => box[3])) / size[1];
}

/**
 * Fails if a paragraph is set one word to a line: four lines under each other, at the same left, of one word each, which
 * follow each other in one of the page's `paragraphs`.
 */
export function assertNoWordColumns(pages, paragraphs, what) {
  for (const { lines } of pages) {
    for (const first of lines) {
      const column = lines.filter(({ words, box }) => Math.abs(box[0] - first.box[0]) < 0.3 && box[1] >= first.box[1] && !words.includes(' ')).slice(0, 4);
      const close = column.every(({ box }, i) => i === 0 || box[1] - column[i - 1].box[1] < 8);
      if (column.length < 4 || !close) continue;
      const words = column.map((line) => line.words).join(' ');
      assert.ok(!paragraphs.some((text) => bare(text).includes(bare(words)) && bare(words).length > 8), `${what}: one word to a line: ${words}`);
    }
  }
}

/** The paragraphs of a page in the browser, as `ask` evaluates it. */
export const PARAGRAPHS = `[...document.querySelectorAll('p, li')].map((one) => one.textContent.replace(/\\s+/g, ' '))`;

/** A plan with all that comes after and beside a first ground: areas, spit-bite, a burnished state, a second ground. */
export function worked(plan) {
  const outline = (points_mm) => [{ kind: 'outline', points_mm }];
  return {
    ...plan,
    title: 'Harbour, reworked',
    areas: [
      { work: 'spit', value: 0, spit_min: 2, feather_mm: 5, name: 'Smoke over the quay', shapes: outline([20, 20, 70, 20, 70, 60, 20, 60]) },
      { work: 'hold', value: 0, name: 'The moon', shapes: outline([100, 20, 120, 20, 120, 40]) },
      { work: 'split', value: 1, to_value: 4, axis_mm: [75, 80, 75, 120], feather_mm: 3, name: 'Sky', shapes: outline([10, 80, 140, 80, 140, 120, 10, 120]) },
    ],
    states: [
      { name: 'lifted', from_state: 1, work: [{ tool: { tool: 'burnisher', passage: true, width_mm: 2, take_um: 3, points_mm: [[30, 100], [80, 100], [80, 140]] } }] },
      { name: 'darker quay', from_state: 2, work: [{ ground: {
        seed: 5, dust: { powder_g_per_m2: 12 }, bake: {}, bath: {}, outline_mm: [[20, 110], [130, 110], [130, 180]],
        bites: [{ bite_min: 2, from_value: 3, to_value: 6 }, { bite_min: 4, from_value: 5, to_value: 6 }],
      } }] },
    ],
    edition: { impressions: 30, steel_faced: false, paper_reflectance: 0.85, sheet_width_mm: 560, sheet_height_mm: 760, minutes_each: 20 },
  };
}

/** What the sheet for the wall says of it. */
export const WORKED_WORDS = [
  'Smoke over the quay: spit-bite 2 min before the first bite, fading over 5 mm', 'The moon: kept white', 'Sky: strips from value 1 to value 4',
  'State 2, lifted, from the first proof', 'burnisher, a passage about 55 mm from the left', 'State 3, darker quay, from state 2', 'powder 12 g/m²',
  'bite 2 of it, 4 min: values 5 to 6 open', '30 impressions',
];

/** Fails unless the sheet for the wall is one side: picture and schedule before the cautions. */
export function assertWall(pages, what, words) {
  assert.equal(pages.length, 1, `${what}: one side of paper`);
  const [{ lines }] = pages;
  for (const wanted of words) assert.ok(says(pages, wanted), `${what} says “${wanted}”`);
  assert.ok(!says(pages, 'Left out'), `${what}: nothing is left out`);
  const place = (word) => lines.find((line) => line.words === word)?.box ?? assert.fail(`${what}: “${word}” stands on it`);
  const [schedule, cautions] = [place('Schedule'), place('Cautions')];
  assert.ok(cautions[0] > schedule[0] + 20 || cautions[1] > schedule[1], `${what}: the cautions come after the schedule`);
  // The picture stands over the schedule, as tall as four lines of it at least.
  const over = lines.filter(({ box }) => box[0] < schedule[0] + 20 && box[3] < schedule[1]);
  assert.ok(schedule[1] - Math.max(...over.map(({ box }) => box[3])) > 45, `${what}: the picture comes first`);
}

/** Fails unless the bench sheet holds all steps, at its full width, with its title on every page. */
export function assertSheet(pages, { numbers, names }, title, what) {
  assert.ok(pages.length <= 4, `${what}: ${pages.length} pages`);
  assert.ok(widest(pages) > 120, `${what}: the widest line has ${widest(pages)} mm`);
  assert.ok(numbers.length > 20 && names.length > 10, `${what}: ${numbers.length} steps`);
  for (const name of names) assert.ok(says(pages, name), `${what}: “${name}” is on it`);
  const all = pages.flatMap(({ lines }) => lines.map(({ words }) => words));
  // Where the PDF has letters for figures.
  if (all.some((words) => /^\d+$/.test(words))) {
    for (const number of numbers) assert.ok(all.some((words) => words === number || words.startsWith(`${number} `)), `${what}: step ${number} is on it`);
  }
  const plain = (lines) => lines.filter(({ words }) => !/^\d+ \/ \d+$/.test(words));
  for (const { lines } of pages.slice(1)) assert.equal(plain(lines)[0].words, `${title} · bench sheet`, `${what}: every page says what it belongs to`);
  for (const { lines } of pages) {
    const last = plain(lines).at(-1).words;
    assert.ok(!/ (ground|bath|print)$/.test(last) || last.length > 12, `${what}: “${last}” stands alone at the foot of a page`);
  }
  assert.ok(!all.some((words) => words.includes('…')), `${what}: no number is missing`);
}

/** Numbers of all steps on the sheet and names of those that have one, as `ask` evaluates it. */
export const STEPS = `({
  numbers: [...new Set([...document.querySelectorAll('.sheet-paper .sheet-number, .sheet-bites tbody td:first-child')].map((one) => one.textContent.trim()))],
  // Names and times stand beside each other, with a line to be written on.
  names: [...document.querySelectorAll('.sheet-step h3')].flatMap((one) => [one.firstChild.textContent, one.querySelector('.sheet-time')?.textContent ?? '']),
})`;

/** Fails unless the page's own print holds plan and thresholds, and nothing that can only be pressed. */
export function assertMain(pages, what) {
  assert.ok(pages.length <= 2, `${what}: ${pages.length} pages for the harbour`);
  assert.ok(says(pages, 'darker than L* 90, 80, 69'), `${what}: where each value begins`);
  for (const words of ['tray rocked', 'as usual', 'a sheet of paper']) assert.ok(says(pages, words), `${what}: chosen is “${words}”`);
  for (const words of ['Areas by hand', 'Etched lines', 'How many values', 'suggested', 'Draw areas', 'take']) {
    assert.ok(!pages.some(({ lines }) => lines.some((line) => line.words.startsWith(words))), `${what}: no “${words}”`);
  }
}
