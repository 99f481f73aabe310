// Watching the plate at work: from the linen tester and from a lesson; stepped, played, drawn along; still
// when the device asks for stillness; by keyboard; on a phone. What the last moments show is what the
// linen tester and the native program say.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, screenshot } from './lib/page.mjs';
import { eventually } from './lib/waits.mjs';

const axis = (page) => page.getByLabel('Moment of the work');

/** Goes to a moment and waits until it is seen; gives its sentence. */
async function see(page, at) {
  await axis(page).fill(String(at));
  return seen(page);
}

async function seen(page) {
  const when = await axis(page).getAttribute('aria-valuetext');
  await page.locator('.watch-when', { hasText: when }).waitFor();
  return page.locator('.watch-sentence').textContent();
}

const number = (sentence, pattern) => Number(pattern.exec(sentence)?.[1] ?? NaN);
/** Colours of the place from above, by how often they occur. */
const colours = (page) => page.locator('.watch-picture').evaluate((canvas) => {
  const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
  const many = new Map();
  for (let i = 0; i < data.length; i += 4) { const key = data.slice(i, i + 3).join(); many.set(key, (many.get(key) ?? 0) + 1); }
  return { of: many.size, grey: [...many].filter(([key]) => new Set(key.split(',')).size === 1).reduce((sum, [, n]) => sum + n, 0) / (data.length / 4) };
});

test('the plan in hand: every stage, stepped, at another place, as the linen tester shows it', () => onPage({ name: 'watch' }, async (page) => {
  await reckoned(page);
  await fromMenu(page, 'watch it happen…');
  await page.getByRole('heading', { name: 'Watch it happen' }).waitFor();
  await page.locator('.watch-sentence', { hasText: 'stirred up' }).waitFor();
  assert.equal(await page.locator('.watch-play').count(), 0, 'asked for stillness, nothing plays');
  assert.equal(await page.locator('.watch-stages li').count(), 3 + 7 + 4, 'wait, dust, bake, seven bites, four works');
  assert.deepEqual((await page.locator('.watch-length').allTextContents()).slice(0, 5), ['30 s', '5 min', '10 min', '1.5 min', '1.5 min'], 'each with its own time');

  // Dust: more and more of it; no more once the plate comes out.
  const grains = [];
  for (const at of [9, 16, 24, 32]) grains.push(number(await see(page, at), /(\d+) grains/));
  assert.ok(grains.every((many, i) => i === 0 || many > grains[i - 1]), `grains gather: ${grains}`);
  assert.ok(await page.locator('.watch-ball').count() >= 3, 'and are seen from the side');
  // One step on the hot plate: all grains are still there.
  await page.getByRole('button', { name: 'on one moment' }).click();
  assert.equal(number(await seen(page), /(\d+) grains/), grains[3], 'every grain comes to the hot plate');
  await screenshot(page, 'watch-grains');
  const baked = await see(page, 62);
  assert.ok(number(baked, /(\d+) domes/) > 3 && !/not yet/.test(baked), `all has melted into domes: ${baked}`);
  assert.ok(Math.abs(number(baked, /(\d+) % is covered/) - 50) < 20, `a good ground, about half covered: ${baked}`);
  assert.equal(await page.locator('.watch-ball').count(), 0, 'no loose grain is left');

  // The bites: deeper and farther in, until the place is stopped out.
  let [deep, under] = [0, 0];
  for (let bite = 1; bite <= 3; bite++) {
    const sentence = await see(page, 62 + 10 * bite);
    const [d, u] = [number(sentence, /([\d.]+) µm deep/), number(sentence, /([\d.]+) µm in under/)];
    assert.ok(d > deep && u > under && Math.abs(d - u) < 0.15, `bite ${bite}, etch factor 1: ${sentence}`);
    [deep, under] = [d, u];
  }
  assert.notEqual(await page.locator('.watch-varnish').getAttribute('d'), '', 'a lighter value is under varnish');
  await screenshot(page, 'watch-bite');
  assert.match(await see(page, 62 + 70), /stopped out, and stays as it is/, 'in the last bite all of it is stopped out');
  await assertAccessible(page);

  // By keyboard: stage buttons, the axis, the place.
  await page.locator('.watch-stages').getByRole('button', { name: 'print', exact: true }).focus();
  await page.keyboard.press('Enter');
  await seen(page);
  await axis(page).focus();
  await page.keyboard.press('End');
  const printed = number(await seen(page), /prints L\* (\d+)/);
  await eventually(() => colours(page), ({ grey }) => grey === 1, 'the whole sheet is turned up, in greys');
  assert.match(await page.locator('.watch-seen [role="status"]').textContent({ timeout: 1000 }), /./, 'spoken');
  await page.locator('.watch-above').focus();
  const place = () => page.locator('.watch-place').textContent();
  const before = await place();
  for (let i = 0; i < 3; i++) await page.keyboard.press('Shift+ArrowUp');
  assert.notEqual(await place(), before, 'moved');
  await page.locator('.watch-place .word', { hasText: '1.6' }).click();
  await page.locator('.watch-side', { hasText: '200 µm' }).waitFor();
  assert.ok(printed > 5 && printed < 96, `a tone: ${printed}`);
  await screenshot(page, 'watch-print');
  await page.keyboard.press('Escape');
  await page.getByRole('heading', { name: 'Watch it happen' }).waitFor({ state: 'detached' });
}));

test('from a lesson, on a phone, playing and paused, and back again', () => onPage({ name: 'watch-lesson', size: PHONE, hash: '#lesson-the-bake' }, async (page) => {
  await page.emulateMedia({ reducedMotion: 'no-preference' });
  await page.getByRole('button', { name: 'show me without a guess' }).click({ timeout: 60_000 });
  await page.locator('.lesson-watch').first().click();
  await page.locator('.watch-sentence', { hasText: 'holds yet' }).waitFor({ timeout: 60_000 });
  // At 50 °C not one grain takes hold, to the end of the bake: the lesson's first sentence.
  assert.match(await see(page, 62), /none of which holds yet/, 'under-baked to the end');
  assert.match(await see(page, 63), /nothing covers it/, 'and the bath lifts the powder off');
  // From here on its time can be run ahead.
  await page.clock.install();
  await page.getByRole('button', { name: 'Play' }).click();
  await page.getByRole('button', { name: 'Pause' }).waitFor();
  const moment = async () => Number(await axis(page).inputValue());
  const [from, began] = [await moment(), Date.now()];
  await eventually(moment, (now) => now > from + 3, 'it goes on by itself');
  await page.getByRole('button', { name: 'Pause' }).click();
  const to = await moment();
  // A moment is shown for 200 ms at least.
  assert.ok(to > from + 3 && to <= from + 2 + (Date.now() - began) / 200, `went on at its pace: ${from} to ${to}`);
  await page.clock.runFor(5000);
  assert.equal(Number(await axis(page).inputValue()), to, 'and stands still when paused');
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), 'nothing is wider than the phone');
  const small = await page.locator('.watch-stages button, .watch-key, .watch-play').evaluateAll((all) => all.map((one) => one.getBoundingClientRect()).filter(({ width, height }) => width < 24 || height < 24).length);
  assert.equal(small, 0, 'room for a finger');
  await screenshot(page, 'watch-phone');
  await assertAccessible(page);
  await page.getByRole('button', { name: 'Back to the lesson' }).click();
  await page.getByRole('heading', { name: 'Under-baked and over-baked' }).waitFor();
}));
