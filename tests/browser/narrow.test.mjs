// No page and no panel is wider than a narrow phone: with every grain in, with as many warnings as one plan
// can provoke, with all that can be unfolded unfolded, in metric and US units.

import { test } from 'node:test';
import { assertNarrow, NARROW } from './lib/narrow.mjs';
import { fromMenu, onPage, openMenu, reckoned, unfoldWarnings } from './lib/page.mjs';
import { drop, muchToSay, openPanel, planInHand } from './lib/plans.mjs';

const SIZE = { width: NARROW[0], height: 844 };

/** Unfolds all that explains or lists. */
async function unfold(page) {
  await page.evaluate(() => {
    for (const one of document.querySelectorAll('details')) one.open = true;
    for (const one of document.querySelectorAll('.entry-label[aria-expanded=false]')) one.click();
  });
}

const press = (page, name) => page.getByRole('button', { name, exact: true }).first().click();

async function complete(page) {
  await page.locator('.grain', { hasText: 'Proof complete' }).waitFor({ timeout: 120_000 });
}

/** Leaves whatever lies over the page. */
async function leave(page) {
  await page.keyboard.press('Escape');
  await page.locator('dialog[open], .view').waitFor({ state: 'detached' });
}

/** Waits until the values of that plan are told, with all that is to be said of them. */
async function muchIsSaid(page) {
  await page.locator('.scale-warnings summary', { hasText: /^1\d things deserve a look$/ }).waitFor({ timeout: 60_000 });
  await unfoldWarnings(page);
  await page.locator('.scale-warnings li').nth(10).waitFor();
}

async function withMuchToSay(page) {
  await reckoned(page);
  await drop(page, 'much.platewright.json', JSON.stringify(muchToSay(await planInHand(page))));
  await muchIsSaid(page);
  await complete(page);
}

/** The page and its menus. */
async function pageIsNarrow(page) {
  await unfold(page);
  await assertNarrow(page, 'the page');
  await page.getByRole('button', { name: 'How many values?' }).click();
  await page.locator('.suits-table').waitFor();
  await page.getByRole('button', { name: 'Begin on a plate with lines…' }).click();
  await page.getByRole('button', { name: 'Draw areas on the proof' }).click();
  await page.locator('.draw-tools').waitFor();
  await assertNarrow(page, 'areas and lines begun');
  await press(page, 'done');
  for (const name of ['plan', 'try', 'bench', 'learn', 'view']) {
    await openMenu(page, name);
    await assertNarrow(page, `the menu “${name}”`);
    await page.keyboard.press('Escape');
  }
  for (const [word, shown] of [['linen tester', '.tester-glass'], ['section', '.cut-figure svg'], ['proof', '.proof-foot']]) {
    await page.locator('.pane-words .word', { hasText: word }).click();
    await page.locator(shown).waitFor();
    await assertNarrow(page, word);
  }
}

/** Every panel. */
async function panelsAreNarrow(page) {
  await openPanel(page, 'bench sheet…', 'Bench sheet');
  await page.locator('.sheet-bites td').first().waitFor();
  await assertNarrow(page, 'the bench sheet');
  await press(page, 'stop-out guides…');
  await page.locator('.guide svg').first().waitFor({ timeout: 60_000 });
  await assertNarrow(page, 'the guides');
  await leave(page);

  await openPanel(page, 'clock…', 'Clock');
  await press(page, 'Start');
  await assertNarrow(page, 'the clock');
  await leave(page);
  await openPanel(page, 'plate record…', 'Plate record');
  await press(page, 'write a run down by hand');
  await page.locator('.record-job').first().waitFor();
  await press(page, 'add a note');
  await page.getByRole('button', { name: 'write down bon à tirer' }).click();
  await page.locator('.record-impressions li').waitFor();
  await assertNarrow(page, 'the plate’s record');
  await leave(page);

  await openPanel(page, 'shelf…', 'Shelf');
  await press(page, 'Keep this plan');
  await page.locator('.shelf-plan').first().waitFor();
  await assertNarrow(page, 'the shelf');
  await leave(page);
  await openPanel(page, 'share…', 'Share this plan');
  await page.locator('.qr').waitFor();
  await assertNarrow(page, 'share');
  await leave(page);
  await openPanel(page, 'compare…', 'Side by side');
  await page.locator('.compare-scales td').first().waitFor({ timeout: 60_000 });
  await press(page, 'Lay one more beside them');
  await assertNarrow(page, 'side by side');
  await leave(page);

  await openPanel(page, 'test strip…', 'Test strip');
  await page.locator('.strip-detail').waitFor({ timeout: 60_000 });
  await assertNarrow(page, 'the test strip');
  await leave(page);
  await openPanel(page, 'glossary…', 'Glossary');
  await assertNarrow(page, 'the glossary');
  await leave(page);
  await openPanel(page, 'how sure the numbers are…', 'How sure the numbers are');
  await unfold(page);
  await page.locator('.doubts li').first().waitFor({ timeout: 60_000 });
  await assertNarrow(page, 'how sure the numbers are');
  await leave(page);

  await openPanel(page, 'bath book…', 'Bath book');
  await press(page, 'Write down the bath of this plan');
  await page.locator('.bath-card').waitFor();
  await assertNarrow(page, 'the bath book');
  await leave(page);
  await openPanel(page, 'plan backwards…', 'Plan backwards');
  await page.locator('.back-table td').first().waitFor({ timeout: 90_000 });
  await assertNarrow(page, 'planning backwards');
  await page.getByRole('button', { name: /Show likely variation/ }).click();
  await page.locator('.back-bands li').first().waitFor({ timeout: 120_000 });
  await assertNarrow(page, 'how sure');
  await leave(page);

  await page.locator('.pane-words .word', { hasText: 'section' }).click();
  await fromMenu(page, 'watch it happen…');
  await page.locator('.watch-sentence', { hasText: /./ }).waitFor({ timeout: 60_000 });
  await assertNarrow(page, 'the plate at work');
  await leave(page);
}

/** An entry out of bounds, and a file refused. */
async function refusalsAreNarrow(page) {
  await page.locator('.entry', { hasText: 'Hot plate' }).locator('.entry-value').first().fill('999');
  await page.locator('.problem').first().waitFor();
  await drop(page, `${'a-very-long-name-of-a-file'.repeat(4)}.json`, '{"platewright": 1, "dust": "much"}');
  await page.locator('.notice', { hasText: 'a-very-long-name-of-a-file' }).waitFor();
  await assertNarrow(page, 'an entry out of bounds and a file refused');
}

test('the page and every panel on a phone', { timeout: 300_000 }, () => onPage({ from: 'file', size: SIZE, name: 'narrow-page' }, async (page) => {
  await withMuchToSay(page);
  await pageIsNarrow(page);
  // Without the lines and areas that were begun.
  await page.keyboard.press('Control+z');
  await muchIsSaid(page);
  await panelsAreNarrow(page);
  await refusalsAreNarrow(page);
}));

test('lessons, projector, calibration and the sheet for the wall on a phone', { timeout: 300_000 }, () => onPage({ size: SIZE, hash: '#lesson-the-bake', name: 'narrow-lessons' }, async (page, { context }) => {
  await page.getByRole('button', { name: 'link and code' }).click({ timeout: 60_000 });
  await page.locator('.lesson-link .qr').waitFor();
  await page.getByRole('button', { name: 'show me without a guess' }).click();
  await page.locator('.lesson-figure').first().waitFor({ timeout: 60_000 });
  await assertNarrow(page, 'a lesson');
  await page.locator('.lesson-text .term').first().click();
  await page.locator('.term-note').waitFor();
  await assertNarrow(page, 'a word explained');
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'show to a class' }).click();
  await page.locator('.present-code .qr').waitFor();
  await assertNarrow(page, 'the question to a class');
  await page.keyboard.press('ArrowRight');
  await page.locator('.present-cut svg').waitFor({ timeout: 60_000 });
  await assertNarrow(page, 'the strip before a class');
  await press(page, 'leave');
  await press(page, 'all lessons');
  await assertNarrow(page, 'the lessons');
  await leave(page);

  await openPanel(page, 'calibrate…', 'Calibrate from a step plate');
  for (const [i, l] of [78, 64, 50, 39, 31, 25, 21, 18].entries()) await page.fill(`[aria-label="Reading of step ${i + 1}"]`, String(l));
  await press(page, 'Find the constants');
  await page.locator('.calibrate-found, .calibrate [role=alert]').first().waitFor({ timeout: 90_000 });
  await assertNarrow(page, 'calibrating');
  await leave(page);

  const much = muchToSay(await planInHand(page));
  await drop(page, 'much.platewright.json', JSON.stringify(much));
  await muchIsSaid(page);
  await openPanel(page, 'share…', 'Share this plan');
  const wall = await page.locator('a', { hasText: 'Sheet for the wall' }).getAttribute('href');
  const sheet = await context.newPage();
  await sheet.goto(new URL(wall, page.url()).href);
  await sheet.locator('.wall-settings').first().waitFor({ timeout: 60_000 });
  await assertNarrow(sheet, 'the sheet for the wall');
}));
