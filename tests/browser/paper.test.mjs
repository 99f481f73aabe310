// What goes out on paper: through the browsers' own printing, with the margins they have by themselves.

import assert from 'node:assert/strict';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { fromMenu, onPage, reckoned, ROOT, unfoldSteps } from './lib/page.mjs';
import {
  assertMain, assertNoWordColumns, assertSheet, assertWall, filled, inChromium, PAPERS, PARAGRAPHS, read, says, STEPS, worked, WORKED_WORDS,
} from './lib/paper.mjs';
import { drop, native, oldLink, planInHand } from './lib/plans.mjs';

test('queries of width are for screens: a sheet of paper is no narrow window', () => {
  const folder = path.join(ROOT, 'www/src');
  const found = [];
  const sheets = readdirSync(folder, { recursive: true }).filter((file) => file.endsWith('.css'));
  assert.ok(sheets.length > 20, `${sheets.length} style sheets are looked at`);
  for (const file of sheets) {
    for (const [, queries] of readFileSync(path.join(folder, file), 'utf8').matchAll(/@media ([^{]+)\{/g)) {
      for (const query of queries.split(',')) {
        if (/(width|height)\b/.test(query) && !/^\s*(screen|print)\b/.test(query)) found.push(`${file}: ${query.trim()}`);
      }
    }
  }
  assert.deepEqual(found, [], 'these apply on A4 and Letter too');
});

const FOLDER = path.join(ROOT, 'test-results/paper');

/** The worked plan's link for the wall. */
async function workedLink(notes) {
  const plan = { ...worked(JSON.parse(await native('plan'))), notes };
  mkdirSync(FOLDER, { recursive: true });
  const file = path.join(FOLDER, 'worked.json');
  writeFileSync(file, JSON.stringify(plan));
  return (await native('link', 'make', file)).trim();
}

/** Both papers of what the page shows, and the paragraphs that it shows it in. */
async function bothPapers(page, name, check) {
  const paragraphs = await page.evaluate(PARAGRAPHS);
  for (const paper of Object.keys(PAPERS)) {
    const pages = read(await inChromium(page, paper), name, paper);
    assertNoWordColumns(pages, paragraphs, `${name}, ${paper}`);
    check(pages, `${name}, ${paper}`);
  }
}

test('the page, the bench sheet and the test strip print on A4 and Letter', { timeout: 300_000 }, () => onPage({ name: 'paper' }, async (page) => {
  // Amounts and code are held back on their way to the worker.
  await page.addInitScript(() => {
    window.printed = 0;
    window.print = () => { window.printed += 1; };
    const held = [];
    const { postMessage } = Worker.prototype;
    Worker.prototype.postMessage = function post(...sent) {
      if (held.done || !['bench', 'qr_code'].includes(sent[0]?.call)) postMessage.apply(this, sent);
      else held.push(() => postMessage.apply(this, sent));
    };
    window.letGo = () => { held.done = true; for (const one of held) one(); };
  });
  await page.reload();
  await reckoned(page);
  await page.getByRole('button', { name: 'How many values?' }).click();
  await page.locator('.suits-table').waitFor({ timeout: 60_000 });
  await page.locator('.plan .plot').nth(2).waitFor();
  await bothPapers(page, 'page', (pages, what) => {
    assertMain(pages, what);
    assert.ok(pages.length < 3 || filled(pages) > 0.5, `${what}: the last page is full to ${filled(pages)}`);
  });

  await fromMenu(page, 'bench sheet…');
  await page.locator('.sheet-paper').waitFor();
  const early = read(await inChromium(page, 'A4'), 'early', 'A4');
  assert.ok(says(early, 'Printed before its amounts and its code were in'), 'the browser’s own print command says what is missing');
  await page.locator('.sheet').getByRole('button', { name: 'Print it' }).click();
  const waits = page.getByRole('button', { name: 'prints when all is in' });
  await waits.waitFor();
  assert.equal(await page.evaluate('window.printed'), 0, 'nothing goes out without its numbers');
  await page.evaluate('window.letGo()');
  await waits.waitFor({ state: 'detached', timeout: 60_000 });
  assert.equal(await page.evaluate('window.printed'), 1, 'then it prints by itself');
  const steps = await page.evaluate(STEPS);
  await bothPapers(page, 'sheet', (pages, what) => {
    assertSheet(pages, steps, 'Harbour at dusk', what);
    assert.ok(!says(pages, 'Printed before'), `${what}: whole`);
    assert.ok(says(pages, `${pages.length} / ${pages.length}`), `${what}: pages are numbered`);
  });
  await page.keyboard.press('Escape');

  await fromMenu(page, 'test strip…');
  await page.locator('.strip-progress', { hasText: 'every grain computed' }).waitFor({ timeout: 120_000 });
  await bothPapers(page, 'strip', (pages, what) => {
    assert.ok(says(pages, 'wait, s'), `${what}: the foot of the curve`);
    assert.ok(!pages.some(({ lines }) => lines.some(({ words }) => words === 'take')), `${what}: no “take”`);
  });
}));

test('folded, the plan prints as whole as unfolded', { timeout: 120_000 }, () => onPage({ name: 'paper-folded', steps: 'one' }, async (page) => {
  await reckoned(page);
  const plan = await planInHand(page);
  await drop(page, 'small.json', JSON.stringify({ ...plan, title: 'Printed folded', plate: { ...plan.plate, width_mm: 24, height_mm: 32 } }));
  await page.locator('.grain', { hasText: 'Proof complete, on 24' }).waitFor({ timeout: 60_000 });
  await page.locator('.told').waitFor({ state: 'detached' });
  assert.equal(await page.locator('.step-body:visible').count(), 0, 'all steps are folded');
  const print = async (name) => {
    const lines = {};
    await bothPapers(page, name, (pages, what) => {
      assertMain(pages, what);
      for (const words of ['Powder', 'Spread of sizes', 'Hot plate', 'Room', 'Strength', 'Bite 7', 'Reducer', 'Margin', 'Bevel', 'Corner radius', 'In the bath', 'Depth', 'Of the plate']) {
        assert.ok(says(pages, words), `${what}: “${words}” is on it`);
      }
      lines[what.split(', ')[1]] = pages.map((one) => one.lines.map(({ words }) => words));
    });
    return lines;
  };
  const folded = await print('page-folded');
  assert.equal(await page.locator('.step-body:visible').count(), 0, 'and are folded again after printing');
  await unfoldSteps(page);
  assert.deepEqual(folded, await print('page-unfolded'), 'line for line the same');
}));

test('the sheet for the wall is one side of A4 and of Letter', { timeout: 240_000 }, async () => {
  const { link: harbour } = await oldLink('harbour');
  for (const [name, link, words] of [
    ['wall', harbour, ['Harbour at dusk', 'Ferric chloride burns']],
    ['wall-worked', await workedLink(''), WORKED_WORDS],
    ['wall-worked-notes', await workedLink('Begin the dusting before six, so that the box has settled by the time the class is here. '.repeat(6).trim()), [...WORKED_WORDS, 'Begin the dusting']],
  ]) {
    await onPage({ hash: `#wall/${link}`, name }, async (page) => {
      await page.locator('.wall .qr').waitFor({ timeout: 60_000 });
      await page.locator('.wall-bites td:last-child').first().filter({ hasText: /\d/ }).waitFor();
      await bothPapers(page, name, (pages, what) => assertWall(pages, what, words));
    });
  }
});

test('what a side of paper cannot hold is named', { timeout: 120_000 }, async () => {
  const plan = worked(JSON.parse(await native('plan')));
  const many = { ...plan, states: Array.from({ length: 12 }, (_, i) => ({ ...plan.states[1], name: `reworked ${i}`, from_state: i + 1, work: Array(10).fill(plan.states[1].work[0]) })) };
  const file = path.join(FOLDER, 'many.json');
  writeFileSync(file, JSON.stringify(many));
  await onPage({ hash: `#wall/${(await native('link', 'make', file)).trim()}`, name: 'wall-many' }, async (page) => {
    await page.locator('.wall .qr, .wall .qr-none').waitFor({ timeout: 60_000 });
    await bothPapers(page, 'wall-many', (pages, what) => {
      assert.equal(pages.length, 1, `${what}: one side`);
      assert.ok(says(pages, 'Left out for want of room: the last'), `${what}: it says what is not on it`);
      assert.ok(says(pages, 'Ferric chloride burns'), `${what}: no caution is left out`);
    });
  });
});
