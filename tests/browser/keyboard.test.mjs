// By keyboard alone, from one's own picture to a printed bench sheet: nothing here touches the mouse.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { onPage, reckoned } from './lib/page.mjs';
import { picture } from './lib/pictures.mjs';
import { eventually } from './lib/waits.mjs';

/** What the keyboard is at: its name as the ear gets it. */
const at = (page) => page.evaluate(() => {
  const on = document.activeElement;
  return on.getAttribute('aria-label') ?? on.labels?.[0]?.innerText ?? on.innerText;
});

/** Presses Tab, or Shift and Tab, until the keyboard is at something of this name, in at most so many stops. */
async function tabTo(page, name, most, key = 'Tab') {
  for (let stops = 0; stops <= most; stops++) {
    const now = (await at(page)).trim();
    if (name.test(now)) return;
    await page.keyboard.press(key);
  }
  assert.fail(`not within ${most} stops at ${name}: at “${await at(page)}”`);
}

test('by keyboard alone from one’s own picture to a printed sheet', () => onPage({ name: 'keyboard', steps: 'one', first: true, motion: true }, async (page, { context }) => {
  await context.addInitScript(() => {
    window.printed = 0;
    window.print = () => { window.printed += 1; };
  });
  await page.reload();
  await reckoned(page);

  await page.keyboard.press('Tab');
  assert.equal(await at(page), 'Go to the plan');
  await page.keyboard.press('Enter');
  // Listened for before the key, which is quicker than the listening.
  const chosen = page.waitForEvent('filechooser');
  await tabTo(page, /^Your own picture/, 10);
  await page.keyboard.press('Enter');
  await (await chosen).setFiles(picture('wide.png'));

  // The show stands over the proof, and has the keyboard; what may be done next gets it afterwards.
  await page.waitForSelector('.pull');
  assert.equal(await at(page), 'skip');
  await page.waitForSelector('.next-steps', { timeout: 60_000 });
  await tabTo(page, /^Change the minutes$/, 1);
  await page.keyboard.press('Enter');
  await page.locator('#bites[data-open="true"]').waitFor();

  await eventually(() => at(page), (name) => name === 'Minutes of bite 1', 'the first bite is led to');
  const before = await page.locator('.scale-table').innerText();
  await page.keyboard.type('2:30');
  await page.keyboard.press('Enter');
  await eventually(() => page.locator('.scale-table').innerText(), (now) => now !== before, 'the value table follows');

  // Over the steps before it, then past values and proof.
  await tabTo(page, /^Back to the menus$/, 16, 'Shift+Tab');
  await page.keyboard.press('Enter');
  await tabTo(page, /^bench$/, 4);
  await page.keyboard.press('Enter');
  await tabTo(page, /^bench sheet…/, 2);
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: 'Bench sheet' }).waitFor();
  await tabTo(page, /^Print it$/, 6);
  await page.keyboard.press('Enter');
  await eventually(() => page.evaluate(() => window.printed), (times) => times === 1, 'it is printed, when all its numbers are in', 30);
  const sheet = await page.locator('.sheet-paper').innerText();
  assert.match(sheet, /wide/, 'with the picture’s name');
  await page.keyboard.press('Escape');
  await page.getByRole('heading', { name: 'Bench sheet' }).waitFor({ state: 'detached' });
  assert.match(await at(page), /^bench$/, 'and the keyboard is back where it was');
}));
