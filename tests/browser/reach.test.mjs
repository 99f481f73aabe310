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

test('folded, and each step opened: all in reach in every window', { timeout: 300_000 }, () => onPage({ from: 'file', steps: 'one', name: 'reach-folded' }, async (page) => {
  await atTheEnd(page);
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
}));

test('unfolded: all in reach in every window', { timeout: 300_000 }, () => onPage({ from: 'file', name: 'reach-all' }, async (page) => {
  await atTheEnd(page);
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
}));

test('figures that scroll under the names of their rows do not show beside them', () => onPage({ from: 'file', steps: 'one', size: PHONE, name: 'reach-table' }, async (page) => {
  await atTheEnd(page);
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
}));

for (const [name, size] of [['wide', WIDE], ['phone', PHONE]]) {
  test(`axe-core finds nothing, folded and unfolded, with every menu open (${name})`, { timeout: 120_000 }, () => onPage({ from: 'file', steps: 'one', size, name: `reach-axe-${name}` }, async (page) => {
    await atTheEnd(page);
    await assertAccessible(page);
    await eachMenu(page, () => assertAccessible(page));
    await page.locator('#bake .step-name').click();
    await assertAccessible(page);
    await unfoldSteps(page);
    await unfoldWarnings(page);
    await unfoldTable(page);
    await assertAccessible(page);
    await eachMenu(page, () => assertAccessible(page));
  }));
}

for (const [name, size] of [['wide', WIDE], ['phone', PHONE]]) {
  test(`what is said at the foot of the page can be dismissed (${name})`, () => onPage({ from: 'file', size, name: `reach-notice-${name}` }, async (page) => {
    await reckoned(page);
    await drop(page, 'notes.txt', 'no picture', 'text/plain');
    const notice = page.locator('.notice', { hasText: '“notes.txt” is not a picture' });
    await notice.waitFor();
    // By a press at its place, not on the element: the bar of a phone must not lie over it.
    const { x, y, width, height } = await notice.getByRole('button', { name: 'dismiss' }).boundingBox();
    await page.mouse.click(x + width / 2, y + height / 2);
    await notice.waitFor({ state: 'detached' });
  }));
}
