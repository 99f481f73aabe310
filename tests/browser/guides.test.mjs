// Stop-out guides: printed from the page and measured on the PDF, by a reader that knows nothing of them.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, ROOT, screenshot, WIDE } from './lib/page.mjs';
import { native } from './lib/plans.mjs';
import { eventually } from './lib/waits.mjs';

const PYTHON = process.env.PYTHON ?? path.join(ROOT, '.venv/bin/python');
const FOLDER = path.join(ROOT, 'test-results/guides');
/** What a guide may be off, mm. */
const TRUE_MM = 0.2;

const outline = (left, top, right, bottom) => [{ kind: 'outline', points_mm: [left, top, right, top, right, bottom, left, bottom] }];

/** A plate that bites to the end but for two squares, stopped out after bites 1 and 2. */
async function squares(width_mm, height_mm) {
  const plan = JSON.parse(await native('plan'));
  const areas = [
    { name: 'all', work: 'hold', value: 7, shapes: outline(-1, -1, width_mm + 1, height_mm + 1) },
    { name: 'first', work: 'hold', value: 1, shapes: outline(width_mm - 50, 20, width_mm - 20, 50) },
    { name: 'second', work: 'hold', value: 2, shapes: outline(20, 30, 60, 70) },
  ];
  return { ...plan, title: `Two <squares>, ${width_mm} mm`, plate: { ...plan.plate, width_mm, height_mm, corner_radius_mm: 4 }, areas };
}

async function open(page, plan) {
  await page.evaluate((json) => {
    const data = new DataTransfer();
    data.items.add(new File([json], 'squares.json', { type: 'application/json' }));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
  }, JSON.stringify(plan));
  await eventually(() => page.title(), (title) => title.startsWith(plan.title), 'the plan is taken in hand');
  await reckoned(page);
}

async function measured(page, name, ...pages) {
  mkdirSync(FOLDER, { recursive: true });
  const file = path.join(FOLDER, `${name}.pdf`);
  writeFileSync(file, await page.pdf({ preferCSSPageSize: true, printBackground: true }));
  return JSON.parse(execFileSync(PYTHON, [path.join(ROOT, 'tests/browser/lib/measure_pdf.py'), file, ...pages.map(String)], { maxBuffer: 1 << 24 }));
}

function near(got, wanted, what) {
  const all = (x) => [x].flat(2);
  assert.equal(all(got ?? []).length, all(wanted).length, `${what}: ${JSON.stringify(got)}, wanted ${JSON.stringify(wanted)}`);
  for (const [i, x] of all(got).entries()) assert.ok(Math.abs(x - all(wanted)[i]) <= TRUE_MM, `${what}: ${JSON.stringify(got)}, wanted ${JSON.stringify(wanted)}`);
}

/** Whether words stand on a page; a PDF does not keep every space. */
const says = (page, words) => page.words.replace(/\s/g, '').includes(words.replace(/\s/g, ''));

/** A box as seen from the plate's upper left. */
const onPlate = (box, { lines_x: [left], lines_y: [top] }) => box.map((v, i) => v - (i % 2 === 0 ? left : top));

test('guides print at true size', { timeout: 240_000 }, () => onPage({ name: 'guides' }, async (page) => {
  await reckoned(page);
  await open(page, await squares(150, 200));
  await fromMenu(page, 'bench sheet…');
  await page.locator('.sheet').getByRole('button', { name: 'stop-out guides…' }).click();
  await page.waitForSelector('.guide svg', { timeout: 60_000 });
  await page.waitForSelector('.guide svg:has-text("squares")');
  await assertAccessible(page);
  await screenshot(page, 'guides');

  // One sheet a step.
  const single = await measured(page, 'a4');
  assert.equal(single.count, 2, 'two steps at which something is covered');
  for (const one of single.pages) {
    near(one.size, [210, 297], 'the paper');
    near(one.ruler, [0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100], 'the ruler');
    near([one.lines_x[1] - one.lines_x[0], one.lines_y[1] - one.lines_y[0]], [150, 200], 'the plate');
    for (const words of ['Mirrored, for the copper', 'Print at 100', 'Two <squares>', '100 mm']) assert.ok(says(one, words), `a sheet says “${words}”: ${one.words}`);
  }
  const [after1, after2] = single.pages;
  assert.ok(says(after1, 'Stop out value 1') && says(after1, 'before bite 2'), 'the first sheet’s step');
  near(onPlate(after1.hatched, after1), [20, 20, 50, 50], 'value 1, mirrored');
  assert.equal(after1.grey, null, 'nothing is covered before');
  near(onPlate(after2.hatched, after2), [90, 30, 130, 70], 'value 2, mirrored');
  near(onPlate(after2.grey, after2), [20, 20, 50, 50], 'value 1 is covered already');
  assert.ok(after2.hatched_share > 0.1 && after2.hatched_share < 0.4, `hatched, not filled: ${after2.hatched_share}`);

  // As a file, and the native program's.
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'this sheet as SVG' }).last().click()]);
  assert.equal(download.suggestedFilename(), 'two-squares-150-mm-stop-out-2-before-bite-3.svg');
  const file = path.join(FOLDER, 'squares.json');
  writeFileSync(file, JSON.stringify(await squares(150, 200)));
  await native('guides', file, '--output', FOLDER, '--paper', 'a4');
  assert.equal(readFileSync(await download.path(), 'utf8'), readFileSync(path.join(FOLDER, 'stop-out-2-before-bite-3.svg'), 'utf8'), 'the same as the native program’s');
  const [whole] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'the whole plate as one SVG' }).first().click()]);
  assert.match(readFileSync(await whole.path(), 'utf8'), /width="210\.000mm" height="265\.000mm"/, 'the whole plate, words and ruler, in mm');

  // As printed.
  await page.getByRole('radio', { name: 'as printed' }).check({ force: true });
  await page.waitForSelector('.guide svg:has-text("Right way round")');
  const [printed] = (await measured(page, 'printed', 1, 1)).pages;
  near(onPlate(printed.hatched, printed), [20, 30, 60, 70], 'value 2, as printed');
  await page.setViewportSize(PHONE);
  const { wide, inner } = await page.evaluate(() => ({ wide: document.querySelector('.view').scrollWidth, inner: window.innerWidth }));
  assert.ok(wide <= inner, `nothing sticks out sideways: ${wide} px in ${inner} px`);
  await screenshot(page, 'guides-phone');
  await page.setViewportSize(WIDE);

  // A plate of four sheets.
  await page.getByRole('radio', { name: 'mirrored' }).check({ force: true });
  await page.keyboard.press('Escape');
  await open(page, await squares(300, 400));
  await fromMenu(page, 'bench sheet…');
  await page.locator('.sheet').getByRole('button', { name: 'stop-out guides…' }).click();
  await page.getByRole('radio', { name: 'Letter' }).check({ force: true });
  await page.waitForSelector('.guide svg:has-text("300 × 400 mm")');
  await page.waitForSelector('.guide:nth-of-type(9) svg');
  const tiled = await measured(page, 'letter', 5, 4);
  assert.equal(tiled.count, 9, 'how the sheets join, and two steps of four');
  const [a1, a2, b1, b2] = tiled.pages;
  for (const one of tiled.pages) {
    near(one.size, [215.9, 279.4], 'the paper');
    near(one.ruler, [0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100], 'the ruler');
    assert.equal(one.marks.length, 4, 'two marks on each join');
  }
  // From edge to join on one sheet and from join to edge on the next.
  near(a1.joins_x[0] - a1.lines_x[0] + a2.lines_x[0] - a2.joins_x[0], 300, 'the width of A1 and A2');
  near(b1.joins_x[0] - b1.lines_x[0] + b2.lines_x[0] - b2.joins_x[0], 300, 'the width of B1 and B2');
  near(a1.joins_y[0] - a1.lines_y[0] + b1.lines_y[0] - b1.joins_y[0], 400, 'the height of A1 and B1');
  near(a2.joins_y[0] - a2.lines_y[0] + b2.lines_y[0] - b2.joins_y[0], 400, 'the height of A2 and B2');
  // A mark stands at the same place of the plate on both sheets: from the join that both show.
  const marks = ({ marks, joins_x: [x], joins_y: [y] }, on) => marks.map(([mx, my]) => [mx - x, my - y]).filter((at) => Math.abs(at[on]) < 0.1);
  near(marks(a1, 0), marks(a2, 0), 'marks between A1 and A2');
  near(marks(a1, 1), marks(b1, 1), 'marks between A1 and B1');
  // Value 2 lies at 240 to 280 mm of the mirrored plate, all of it on A2.
  const { hatched, joins_x: [join], lines_x: [right], lines_y: [top] } = a2;
  near([right - hatched[2], hatched[1] - top, right - hatched[0], hatched[3] - top], [20, 30, 60, 70], 'value 2, mirrored, on its sheet');
  assert.ok(join < hatched[0] && b2.hatched === null && b1.hatched === null && a1.hatched === null, 'and on no other');
}));
