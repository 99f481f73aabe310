// Areas by hand: brush, outline, fill, keyboard, a finger on a phone; undone and done again; the
// proof follows. Counts of values that suit the picture, and specks merged away.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertAccessible, onPage, PHONE, reckoned, screenshot, unfoldTable } from './lib/page.mjs';
import { eventually, reaches, written } from './lib/waits.mjs';

/** Shares of the plate by value, %, from the value scale. */
const shares = (page) => page.locator('.scale-table tr', { has: page.locator('th', { hasText: /^Of the plate/ }) })
  .locator('td').evaluateAll((cells) => cells.map((cell) => Number.parseFloat(cell.textContent) || 0));

const areas = (page) => page.locator('.areas > ol > li');
const canvas = (page) => page.locator('.draw-over canvas');


async function begin(page) {
  await reckoned(page);
  await unfoldTable(page);
  await page.getByRole('button', { name: 'Draw areas on the proof' }).click();
  // Once it is drawn on, it has the size that it is shown in.
  await eventually(() => canvas(page).evaluate((on) => [on.width, Math.round(on.getBoundingClientRect().width * devicePixelRatio)]),
    ([drawn, shown]) => shown > 0 && drawn === shown, 'the canvas is drawn on');
}

/** A place on the print, as fractions of the frame from its middle, in page pixels. */
async function at(page, across, down) {
  const box = await canvas(page).boundingBox();
  return [box.x + box.width / 2 + across * box.height, box.y + box.height / 2 + down * box.height];
}

async function drag(page, ...places) {
  for (const [i, [across, down]] of places.entries()) {
    await page.mouse.move(...await at(page, across, down), { steps: 6 });
    if (i === 0) await page.mouse.down();
  }
  await page.mouse.up();
}

test('areas are drawn by mouse and keys, undone, and change the proof', () => onPage({ name: 'areas' }, async (page) => {
  await begin(page);
  const before = await shares(page);
  await page.fill('.draw-width input', '20');
  await page.locator('.draw-width input').press('Enter');
  await drag(page, [-0.15, -0.2], [0.15, -0.2]);
  await eventually(() => areas(page).count(), (n) => n === 1, 'a stroke begins an area');
  await page.getByLabel('at value, area 1').selectOption('7');
  const darker = await eventually(() => shares(page), (now) => now[7] > before[7] + 4, 'the stroke is held at value 7');
  await drag(page, [-0.15, -0.1], [0.15, -0.1]);
  await eventually(() => shares(page), (now) => now[7] > darker[7] + 3, 'a second stroke in the same area');
  await page.keyboard.press('Control+z');
  await eventually(() => shares(page), (now) => Math.abs(now[7] - darker[7]) < 0.2, 'one undo takes back one stroke');
  await page.keyboard.press('Control+y');
  await eventually(() => shares(page), (now) => now[7] > darker[7] + 3, 'and redo does it again');
  // Taken away again from the same area.
  await page.locator('.draw-tools label', { hasText: 'take away' }).click();
  await drag(page, [-0.15, -0.1], [0.15, -0.1]);
  await eventually(() => shares(page), (now) => now[7] < darker[7] + 1, 'what is taken away is gone');
  await page.locator('.draw-tools label', { hasText: /^add$/ }).click();

  // An outline by keys alone: 20 × 10 mm.
  await page.getByRole('button', { name: 'Begin a new area' }).click();
  await page.locator('.draw-tools label', { hasText: 'outline' }).click();
  await canvas(page).focus();
  for (const key of ['Space', 'Shift+ArrowRight', 'Shift+ArrowRight', 'Space', 'Shift+ArrowDown', 'Space', 'Shift+ArrowLeft', 'Shift+ArrowLeft', 'Space', 'Enter']) {
    await page.keyboard.press(key);
  }
  await eventually(() => areas(page).count(), (n) => n === 2, 'an outline set by keys is an area');
  await page.getByLabel('Name of area 2').fill('window');
  await page.getByLabel('Work, window').selectOption('spit');
  await page.getByLabel('for, window').fill('6');
  await page.getByLabel('for, window').press('Enter');

  // A fill takes the part of one value under the place; a curve of taps is closed at its first point.
  await page.getByRole('button', { name: 'Begin a new area' }).click();
  await page.locator('.draw-tools label', { hasText: 'fill' }).click();
  await page.mouse.click(...await at(page, 0.1, -0.3));
  await eventually(() => areas(page).count(), (n) => n === 3, 'a fill is an area');
  await page.locator('.draw-tools label', { hasText: 'curve' }).click();
  for (const place of [[-0.1, 0.3], [0, 0.36], [0.1, 0.3], [-0.1, 0.3]]) await page.mouse.click(...await at(page, ...place));
  await written(page, ({ areas: all }) => all?.[2]?.shapes.at(-1).kind === 'curve', 'the curve belongs to the area in hand');
  assert.equal(await areas(page).count(), 3, 'and is no area of its own');
  await reaches(page, 'numbers', async () => {
    await page.getByLabel('feathered over, area 3').fill('6');
    await page.getByLabel('feathered over, area 3').press('Enter');
    await written(page, ({ areas: all }) => all[2].feather_mm === 6);
  });
  assert.equal(await page.locator('.problem').count(), 0, 'the plan is sound');
  await screenshot(page, 'areas-wide');
  await assertAccessible(page);
  assert.equal(await page.locator('.problem').count(), 0, 'and stays so');

  // What is drawn on has no size once it is left: two frames are enough for the browser to complain.
  await page.locator('.draw-tools').getByRole('button', { name: 'done' }).click();
  await page.locator('.draw-over').waitFor({ state: 'detached' });
  await page.evaluate(() => new Promise((done) => { requestAnimationFrame(() => requestAnimationFrame(done)); }));
}));

test('the page says how many values suit the picture, and merges specks', () => onPage({ name: 'suits' }, async (page) => {
  await reckoned(page);
  await page.getByRole('button', { name: 'How many values?' }).click();
  await page.waitForSelector('.suits-table', { timeout: 60_000 });
  const errors = await page.$$eval('.suits-table tbody tr', (rows) => rows.map((row) => Number(row.children[1].textContent)));
  assert.equal(errors.length, 11, 'counts from 2 to 12');
  assert.ok(errors.every((error, i) => i === 0 || error <= errors[i - 1] + 0.05), `more values err less: ${errors}`);
  assert.equal(await page.locator('[data-suggested=true]').count(), 1, 'one count is suggested');
  await page.getByRole('spinbutton', { name: 'Narrowest place', exact: true }).fill('2');
  await page.waitForSelector('.suits .why:text-matches("[1-9]\\d* specks? smaller than 2.0 mm")', { timeout: 60_000 });
  await page.locator('.suits').scrollIntoViewIfNeeded();
  await screenshot(page, 'areas-suits');
  await page.getByRole('button', { name: 'Take 5 values' }).click();
  await eventually(() => page.locator('.bites li').count(), (n) => n === 5, 'five values taken with their bites');
}));

test('a finger paints on a phone, and the page stays where it is', () => onPage({ name: 'areas-phone', size: PHONE }, async (page, { context }) => {
  await begin(page);
  const box = await canvas(page).boundingBox();
  const before = await page.evaluate(() => scrollY);
  const touch = await context.newCDPSession(page);
  const send = (type, points) => touch.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  const [x, y] = [box.x + box.width / 2, box.y + box.height * 0.75];
  await send('touchStart', [[x - 40, y]]);
  for (let i = 1; i <= 12; i++) await send('touchMove', [[x - 40 + 6 * i, y - 8 * i]]);
  await send('touchEnd', []);
  await eventually(() => areas(page).count(), (n) => n === 1, 'a finger draws an area');
  assert.equal(await page.evaluate(() => scrollY), before, 'the page does not scroll under the finger');
  await screenshot(page, 'areas-phone');
  await assertAccessible(page);
}));
