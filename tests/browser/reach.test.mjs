// The page in windows of all sizes at the end of a proof of which much is to be said: nothing sticks out, nothing is out
// of reach, nothing is too small for a finger; and what axe-core finds, folded and unfolded, with the menus open.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { colours } from './lib/colours.mjs';
import { assertAccessible, onPage, openMenu, PHONE, reckoned, unfoldSteps, unfoldTable, unfoldWarnings, WIDE } from './lib/page.mjs';
import { drop, muchToSay, planInHand } from './lib/plans.mjs';
import { assertInReach, WINDOWS } from './lib/reach.mjs';

const MENUS = ['plan', 'try', 'bench', 'learn', 'view'];

/** The plan of which much is to be said, every grain of its proof in. */
async function atTheEnd(page) {
  await reckoned(page);
  await drop(page, 'much.json', JSON.stringify(muchToSay(await planInHand(page))));
  await page.locator('.scale-warnings summary').waitFor({ timeout: 60_000 });
  await page.locator('.grain', { hasText: 'Proof complete' }).waitFor({ timeout: 120_000 });
  await page.locator('.told').waitFor({ state: 'detached' });
}

/** A window of this size, once the page has been laid out for it. */
async function inWindow(page, size) {
  await page.setViewportSize(size);
  await page.evaluate(() => new Promise((drawn) => { requestAnimationFrame(() => requestAnimationFrame(drawn)); }));
}

/** The menus one after another, unfolded. */
async function eachMenu(page, look) {
  for (const name of MENUS) {
    await openMenu(page, name);
    await look(name);
    await page.keyboard.press('Escape');
  }
}

/** Folded, and each step opened: all in reach in every window. */
async function foldedInReach(page) {
  for (const size of WINDOWS) {
    await inWindow(page, size);
    const folded = await assertInReach(page, 'folded');
    // On a large desk and a tablet upright one step always stands open beside the list of all.
    const beside = size.width >= 1900 || (size.width >= 736 && size.width < 1088 && size.height >= size.width);
    for (const step of await page.locator('.section').evaluateAll((all) => all.map(({ id }) => id))) {
      const head = page.locator(`#${step} .step-name`);
      if (await head.getAttribute('aria-expanded') === 'false') await head.click();
      if (step === 'states') await page.locator('.states-row').waitFor();
      await page.locator(`#${step} .more`).evaluateAll((all) => all.forEach((one) => { one.open = true; }));
      const count = await assertInReach(page, step);
      assert.ok(count > folded || beside, `${step} has controls of its own: ${count}, not ${folded}`);
      if (!beside) await head.click();
    }
    await eachMenu(page, async (name) => assert.ok(await assertInReach(page, `the menu “${name}”`, '.head') > 8, `the acts of “${name}” are looked at`));
  }
}

/** Unfolded: all in reach in every window. */
async function unfoldedInReach(page) {
  await unfoldWarnings(page);
  await unfoldTable(page);
  for (const size of WINDOWS) {
    await inWindow(page, size);
    assert.ok(await assertInReach(page, 'unfolded') > 120, 'everything is there');
    for (const pane of ['tester', 'cut', 'proof']) {
      const word = page.locator(`.pane-words .word`).nth(['proof', 'tester', 'cut'].indexOf(pane));
      if (!await word.isVisible()) continue;
      await word.click();
      await assertInReach(page, `with the ${pane} on the stage`);
    }
  }
}

/** Figures that scroll under the names of their rows do not show beside them. */
async function figuresStayInTheirRows(page) {
  const strip = page.locator('.scale-scroll');
  await strip.evaluate((on) => { on.scrollLeft = on.scrollWidth; });
  const [box, first, last] = await Promise.all([strip, page.locator('.scale-table th[scope=row]').first(), page.locator('.scale-table th[scope=row]').nth(1)].map((one) => one.boundingBox()));
  assert.ok(await strip.evaluate((on) => on.scrollLeft) > 50, 'twelve values are wider than the phone');
  const beside = await colours(page, { x: box.x, y: first.y + 1, width: first.x - box.x, height: last.y + last.height - first.y - 2 });
  assert.ok(first.x - box.x > 8 && beside.length === 1, `beside the names is bare paper: ${JSON.stringify(beside.slice(0, 5))}`);
  // Where the table is wide enough it shows each figure whole.
  for (const size of [{ width: 768, height: 1024 }, { width: 1024, height: 768 }, WIDE]) {
    await inWindow(page, size);
    const cut = await page.locator('.scale-table .minutes-value').evaluateAll((all) => all.filter((one) => one.scrollWidth > one.clientWidth).map((one) => one.value));
    assert.deepEqual(cut, [], `no figure is cut off at ${size.width} px`);
  }
}

/** Folded as the page opens, once everything has been unfolded. */
async function foldAgain(page) {
  await page.getByRole('button', { name: 'unfold every step' }).click();
  await page.locator('#bake .step-name[aria-expanded=true]').click();
  await page.locator('.scale-unfold[aria-expanded=true]').click();
  await page.locator('details.scale-warnings[open] > summary').click();
  await page.locator('.step-name[aria-expanded=true], .scale-unfold[aria-expanded=true], details.scale-warnings[open]').waitFor({ state: 'detached' });
}

/** What axe-core finds, folded and unfolded, with every menu open: nothing. */
async function accessible(page) {
  await assertAccessible(page);
  await eachMenu(page, () => assertAccessible(page));
  await page.locator('#bake .step-name').click();
  await assertAccessible(page);
  await unfoldSteps(page);
  await unfoldWarnings(page);
  await unfoldTable(page);
  await assertAccessible(page);
  await eachMenu(page, () => assertAccessible(page));
}

// Such a proof takes its time and nothing here changes it: two openings stand for five.
test('folded, and each step opened, then unfolded: all in reach in every window', { timeout: 300_000 }, () => onPage({ from: 'file', steps: 'one', name: 'reach' }, async (page) => {
  await atTheEnd(page);
  await foldedInReach(page);
  await unfoldSteps(page);
  await unfoldedInReach(page);
}));

test('axe-core finds nothing, folded and unfolded, with every menu open, on a phone and wide; figures stay in their rows', { timeout: 300_000 }, () => onPage({ from: 'file', steps: 'one', size: PHONE, name: 'reach-axe' }, async (page) => {
  await atTheEnd(page);
  await figuresStayInTheirRows(page);
  await inWindow(page, PHONE);
  await accessible(page);
  await foldAgain(page);
  await inWindow(page, WIDE);
  await accessible(page);
}));

test('what is said covers no figure of the table', () => onPage({ from: 'file', steps: 'one', name: 'reach-said' }, async (page) => {
  await reckoned(page);
  await unfoldTable(page);
  await drop(page, 'notes.txt', 'no picture', 'text/plain');
  await page.locator('.notice').waitFor();
  for (const size of [WIDE, { width: 1024, height: 768 }, { width: 768, height: 1024 }, { width: 1920, height: 1080 }]) {
    await inWindow(page, size);
    const [said, table] = [await page.locator('.notice').boundingBox(), await page.locator('.scale').boundingBox()];
    assert.ok(said.y + said.height <= table.y && said.y > 0 && said.x >= table.x - 1 && said.x + said.width <= table.x + table.width + 1, `at ${size.width} × ${size.height} it lies over the proof alone: ${JSON.stringify([said, table])}`);
  }
}));

test('what is said at the foot of the page can be dismissed, wide and on a phone', () => onPage({ from: 'file', name: 'reach-notice' }, async (page) => {
  await reckoned(page);
  for (const size of [WIDE, PHONE]) {
    await inWindow(page, size);
    await drop(page, 'notes.txt', 'no picture', 'text/plain');
    const notice = page.locator('.notice', { hasText: '“notes.txt” is not a picture' });
    await notice.waitFor();
    // By a press at its place, not on the element: the bar of a phone must not lie over it.
    const { x, y, width, height } = await notice.getByRole('button', { name: 'dismiss' }).boundingBox();
    await page.mouse.click(x + width / 2, y + height / 2);
    await notice.waitFor({ state: 'detached' });
  }
}));
