// What is done to a picture's tones before they part into values, and what a plan does when it meets a picture.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertAccessible, onPage, PHONE, reckoned, screenshot } from './lib/page.mjs';
import { planInHand, setNumber } from './lib/plans.mjs';
import { greyPng } from './lib/png.mjs';
import { eventually, pictureWritten, written } from './lib/waits.mjs';

async function dropGrey(page, name, width, height, grey) {
  const png = greyPng(width, height, Buffer.from(Array.from({ length: width * height }, (_, i) => grey(i % width, Math.floor(i / width)))));
  await page.evaluate(([called, base64]) => {
    const data = new DataTransfer();
    data.items.add(new File([Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))], called, { type: 'image/png' }));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
  }, [name, png.toString('base64')]);
  await page.locator('.picture-name', { hasText: name }).waitFor();
  await pictureWritten(page, name);
}

/** A night: hills one behind the other, none lighter than a quarter of the way to white. */
const night = (x, y) => 4 + 10 * Math.floor(6 * (y / 200) + Math.sin(x / 20));

const curvePoints = (page) => page.locator('.tones-point');

test('a night’s tones are spread, bent by hand and by keys, and come back after a reload', { timeout: 120_000 }, () => onPage({ name: 'tones' }, async (page) => {
  await reckoned(page);
  await dropGrey(page, 'night.png', 150, 200, (x, y) => Math.max(0, night(x, y)));
  await written(page, ({ picture }) => picture.smallest_mm === 1, 'hairs give way on one’s own picture');
  await page.getByRole('button', { name: 'Spread the tones' }).click();
  await written(page, ({ picture }) => picture.tone_points?.length >= 3, 'the tones are spread');
  const { picture: spread } = await planInHand(page);
  assert.equal(spread.tone_points.at(-1).to_l, 100, 'the lightest becomes white');
  assert.ok(spread.tone_points.at(-1).from_l < 40, `which it was far from: ${JSON.stringify(spread.tone_points)}`);
  await page.locator('.toned-look').waitFor({ state: 'attached' });
  assert.match(await page.locator('.crop-picture canvas').evaluate((canvas) => canvas.style.filter), /url/, 'the picture is shown as its tones are');

  // A point is moved by keys, one is put by a press, one is removed.
  const first = curvePoints(page).first();
  await first.focus();
  await first.press('ArrowUp');
  await written(page, ({ picture }) => picture.tone_points[0].to_l === 1, 'a point goes up');
  const room = await page.locator('.tones-room').boundingBox();
  await page.mouse.click(room.x + 0.8 * room.width, room.y + 0.3 * room.height);
  const count = spread.tone_points.length;
  await eventually(() => curvePoints(page).count(), (now) => now === count + 1, 'a press puts a point');
  await curvePoints(page).last().press('Delete');
  await eventually(() => curvePoints(page).count(), (now) => now === count, 'Delete removes it');
  await setNumber(page, 'Exposure', 0.5);
  await written(page, ({ picture }) => picture.exposure_stops === 0.5, 'exposure is set');
  await page.locator('.tones-list').scrollIntoViewIfNeeded();
  await screenshot(page, 'tones');
  await assertAccessible(page);

  const kept = (await planInHand(page)).picture;
  await page.reload();
  await reckoned(page);
  const { picture: after } = await planInHand(page);
  assert.deepEqual(after, kept, 'a reload keeps all of it');

  await page.getByRole('button', { name: 'Leave the picture as it is' }).click();
  await written(page, ({ picture }) => picture.tone_points === undefined && picture.exposure_stops === 0, 'as the file is');
}));

test('of lettering only black and white are left, with a word', { timeout: 120_000 }, () => onPage({ name: 'lettering', size: PHONE }, async (page) => {
  await reckoned(page);
  const bar = (at, from, until) => (at >= from && at < until ? 2 : at >= from - 1 && at <= until ? 1 : 0);
  const ink = (x, y) => [255, 120, 0][Math.min(bar(x % 100, 20, 80), bar(y % 130, 30, 100))];
  await dropGrey(page, 'letters.png', 600, 800, ink);
  await written(page, ({ bites }) => bites.length === 2, 'values of grey edges are left out');
  await page.getByText('hold nothing of this picture wide enough for a brush').waitFor();
  const { bites } = await planInHand(page);
  assert.equal(bites.reduce((sum, { bite_min }) => sum + bite_min, 0), 18, 'the black bites as long as the example’s');
}));
