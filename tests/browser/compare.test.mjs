// Side by side: the same place of every proof under one linen tester, and in words what differs.
// (The test reads canvases back, of which the browser complains.)

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertAccessible, onPage, PHONE, reckoned, screenshot } from './lib/page.mjs';
import { openPanel, planInHand, setNumber } from './lib/plans.mjs';
import { eventually, written } from './lib/waits.mjs';

/** A digest of what each linen tester shows; null before there is anything. */
const testers = (page) => page.locator('.compare-glass canvas').evaluateAll((all) => all.map((canvas) => {
  if (canvas.width < 100) return null;
  const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
  let sum = 7;
  for (let i = 0; i < data.length; i += 4) sum = (sum * 31 + data[i]) % 1_000_000_007;
  return sum;
}));

test('a plan beside its own earlier version', () => onPage({ name: 'compare', allow: [/willReadFrequently/] }, async (page) => {
  await reckoned(page);
  const { wait_s } = (await planInHand(page)).dust;
  await setNumber(page, 'Wait', 90);
  await written(page, ({ dust }) => dust.wait_s === 90);
  await openPanel(page, 'compare…', 'Side by side');
  const differ = page.locator('.compare-differ li');
  await differ.first().waitFor();
  assert.deepEqual(await differ.allTextContents(), [`wait 90 s → ${wait_s} s`], 'what differs, in words');
  const seen = await eventually(() => testers(page), (all) => all.length === 2 && all.every((one) => one !== null), 'both linen testers show something');
  assert.notEqual(seen[0], seen[1], 'another wait shows another grain');
  await page.locator('.compare-glass').first().focus();
  await page.keyboard.press('ArrowRight');
  await eventually(() => testers(page), (all) => all.every((one, i) => one !== seen[i]), 'both have moved');
  await eventually(() => page.locator('.compare-scales tbody tr td .number').count(), (count) => count >= 16, 'the values of both');
  await screenshot(page, 'compare-wide');
  await assertAccessible(page);

  await page.getByRole('button', { name: 'Lay one more beside them' }).click();
  await page.getByLabel('Which plan is C').selectOption('this plan');
  await page.getByText('Nothing: the plans are the same.').waitFor();
  const three = await eventually(() => testers(page), (all) => all.length === 3 && all.every((one) => one !== null), 'all three linen testers show something');
  assert.equal(three[0], three[2], 'equal plans show equal grains');
  await page.setViewportSize(PHONE);
  const { wide, inner } = await page.evaluate(() => ({ wide: document.querySelector('dialog').scrollWidth, inner: window.innerWidth }));
  assert.ok(wide <= inner, `nothing sticks out sideways: ${wide} px in ${inner} px`);
  await screenshot(page, 'compare-phone');
  await page.keyboard.press('Escape');
  assert.equal(await page.locator('dialog').count(), 0, 'and away again');
}));
