// A real proof read off a photograph: found, seen beside the plan's, explained, learned from; in the record after a reload,
// and taken out again; what is no such proof is refused in words, and nothing is lost by it.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';
import { assertAccessible, onPage, PHONE, reckoned, screenshot } from './lib/page.mjs';
import { drop, openPanel, planInHand } from './lib/plans.mjs';
import { greyPng } from './lib/png.mjs';
import { photographOfProof } from './lib/realProof.mjs';
import { eventually } from './lib/waits.mjs';

const SIZE = [48, 64];
/** The bath really bit so much slower. */
const RATE = 0.8;
const made = photographOfProof({ rate_um_per_min: RATE, size: SIZE, name: 'pulled' });

/** A picture of something else: rings on a table. */
const OTHER = [600, 450, Buffer.from(Array.from({ length: 600 * 450 }, (_, i) => (Math.floor(Math.hypot((i % 600) - 300, Math.floor(i / 600) - 200) / 25) % 2 === 0 ? 210 : 70)))];

/** Takes the plan in hand of which the proof was pulled, and opens the panel. */
async function open(page) {
  const { plan } = await made;
  await reckoned(page);
  await drop(page, 'plan.json', JSON.stringify(plan));
  await eventually(() => page.locator('.entry', { hasText: 'Width' }).locator('.entry-value').first().inputValue(), (value) => Number(value) === SIZE[0], 'the plan is in hand');
  await openPanel(page, 'read a real proof…', 'Read a real proof');
}

/** Chooses a file as the photograph. */
async function choose(page, file, words = /^(Choose the|Another) photograph…$/) {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: words }).click()]);
  await chooser.setFiles(file);
}

/** Planned and read L* of every value, null where it was not read. */
const values = (page) => page.locator('.pulled-values tbody tr').evaluateAll((rows) => rows.map((row) => {
  const [planned, read] = [...row.querySelectorAll('td')].map((cell) => Number(cell.textContent));
  return { planned, read: row.dataset.read === 'true' ? read : null };
}));

const lensPlaces = (page) => page.locator('.pulled-place').evaluateAll((all) => all.map((one) => `${one.style.getPropertyValue('--x')} ${one.style.getPropertyValue('--y')}`));

/** A sum over what the two glasses show. */
const glasses = (page) => page.locator('.pulled-glass canvas').evaluateAll((all) => all.map((canvas) => {
  const { data } = canvas.getContext('2d', { willReadFrequently: true }).getImageData(0, 0, canvas.width, canvas.height);
  return data.reduce((sum, byte, i) => sum + byte * (1 + (i % 977)), 0);
}));

test('from a photograph to what the shop has learned, kept over a reload and taken out again', { timeout: 120_000 }, () => onPage({ name: 'pulled', size: { width: 1440, height: 900 } }, async (page) => {
  const { photo } = await made;
  await open(page);
  assert.match(page.url(), /#pulled$/, 'an address of its own');
  await assertAccessible(page);

  // What is no picture, and a picture of something else.
  await choose(page, { name: 'words.png', mimeType: 'image/png', buffer: Buffer.from('this is no picture') });
  await page.locator('.pulled-in .problem', { hasText: 'is not a picture this page can read' }).waitFor();
  await choose(page, { name: 'other.png', mimeType: 'image/png', buffer: greyPng(...OTHER) });
  await page.locator('.pulled-failed [role=alert]', { hasText: /print|paper/i }).waitFor({ timeout: 30_000 });
  assert.equal(await page.locator('.pulled-right').evaluate((one) => one.open), true, 'its corners can be set by hand');
  assert.equal(await page.locator('.pulled .corner').count(), 4);

  await choose(page, photo);
  await page.locator('.pulled-values').waitFor({ timeout: 30_000 });
  const read = await values(page);
  assert.equal(read.length, 8, 'the bare copper and seven values');
  const known = read.filter((one) => one.read !== null);
  assert.ok(known.length >= 6, `${known.length} values are read`);
  assert.ok(Math.abs(read[0].read - read[0].planned) < 2, 'the bare copper prints as planned');
  for (const [i, one] of read.entries()) if (i > 1 && one.read !== null) assert.ok(one.read > one.planned + 2 && one.read < one.planned + 30, `value ${i} prints lighter: ${JSON.stringify(one)}`);
  await page.locator('.pulled-even svg rect').first().waitFor();

  // Under one linen tester: what moves on the one moves on the other.
  await page.locator('.pulled-lens').nth(1).waitFor({ timeout: 30_000 });
  const [before, seen] = [await lensPlaces(page), await eventually(() => glasses(page), (sums) => sums.length === 2 && sums.every((sum) => sum > 0), 'both are seen')];
  assert.equal(before[0], before[1]);
  await page.locator('.pulled-glass .tester-glass').first().focus();
  for (let i = 0; i < 3; i++) await page.keyboard.press('Shift+ArrowDown');
  const after = await lensPlaces(page);
  assert.equal(after[0], after[1]);
  assert.notEqual(after[0], before[0]);
  await eventually(() => glasses(page), (sums) => sums[0] !== seen[0] && sums[1] !== seen[1], 'both fields are others');
  // One over the other, by the keyboard; nothing moves by itself where stillness is asked for.
  await page.locator('.pulled-ways .word', { hasText: 'one over the other' }).click();
  await page.locator('.pulled-hold').focus();
  await page.keyboard.down('Space');
  assert.equal(await page.locator('.pulled-which').textContent(), 'The proof as planned');
  await page.keyboard.up('Space');
  assert.equal(await page.locator('.pulled-which').textContent(), 'The proof off the press');
  assert.equal(await page.getByRole('button', { name: 'by turns' }).count(), 0);
  await page.locator('.pulled-ways .word', { hasText: 'side by side' }).click();

  // Why, and what next.
  await page.locator('.pulled-said', { hasText: /lighter than planned/ }).waitFor({ timeout: 60_000 });
  const causes = page.locator('.pulled-causes li');
  assert.ok(await causes.count() >= 3);
  assert.match(await causes.first().textContent(), /in 10/);
  assert.match(await page.locator('.pulled-causes').first().textContent(), /95 % limits/);
  await page.locator('.pulled-retimed, .pulled-next li').first().waitFor({ timeout: 60_000 });
  await assertAccessible(page);
  await screenshot(page, 'pulled');

  // It teaches the shop, once.
  const teach = page.getByRole('button', { name: 'Let this proof teach the shop' });
  await teach.click();
  await page.locator('.pulled-taught li').waitFor();
  await page.locator('.pulled [aria-labelledby="pulled-learned"] tbody tr').first().waitFor();
  assert.equal(await teach.count(), 0);

  // The minutes for the next plate are one step of the plan.
  const take = page.getByRole('button', { name: 'Take these minutes into the next plate’s plan' });
  const minutes = async () => (await planInHand(page)).bites.map(({ bite_min }) => bite_min);
  const { plan } = await made;
  const planned = plan.bites.map(({ bite_min }) => bite_min);
  await take.click();
  await page.getByText('These minutes are in the plan in hand.').waitFor();
  await page.keyboard.press('Escape');
  assert.notDeepEqual(await minutes(), planned);
  await page.keyboard.press('Control+z');
  assert.deepEqual(await minutes(), planned, 'one step back');

  // In the record, and here again after a reload.
  await openPanel(page, 'plate record…', 'Plate record');
  await page.locator('#record-told').waitFor();
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'save as one file' }).click()]);
  const [filed] = JSON.parse(await readFile(await download.path(), 'utf8')).records;
  assert.equal(filed.told.length, 1, 'it goes out with the record');
  await page.reload();
  await page.locator('#record-told').waitFor({ timeout: 30_000 });
  await page.getByRole('button', { name: 'what the shop has learned…' }).click();
  await page.locator('.pulled-taught li').waitFor();
  await page.getByRole('button', { name: 'Use these constants' }).click({ timeout: 30_000 });
  await page.getByText('The plan in hand is calculated with these.').waitFor();
  await page.getByRole('button', { name: /^Take the proof of .* out again$/ }).click();
  await page.locator('.pulled-taught').waitFor({ state: 'detached' });
  await page.goBack();
  await page.getByRole('heading', { name: 'Plate record' }).waitFor();
  assert.equal(await page.locator('#record-told').count(), 0, 'it is out of the record, too');
  await page.keyboard.press('Escape');
  const { calibration } = await planInHand(page);
  assert.ok(calibration['bite.rate_um_per_min'] < 1, 'the shop’s bath is slower');
}));

test('a photograph in the record is read where it lies, on a phone', { timeout: 120_000 }, () => onPage({ name: 'pulled-phone', size: PHONE }, async (page) => {
  const { photo } = await made;
  await open(page);
  await page.goBack();
  await openPanel(page, 'plate record…', 'Plate record');
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'choose photographs…' }).click()]);
  await chooser.setFiles(photo);
  await page.getByRole('button', { name: /^Read this proof, photograph/ }).click();
  await page.locator('.pulled-values').waitFor({ timeout: 30_000 });
  assert.match(page.url(), /#pulled-[0-9a-z]+$/);
  await page.locator('.pulled-lens').nth(1).waitFor({ timeout: 30_000 });
  assert.equal(await page.evaluate(() => document.scrollingElement.scrollWidth <= innerWidth), true, 'nothing is wider than the phone');
  assert.ok((await values(page)).filter(({ read }) => read !== null).length >= 5, 'as small as it is kept');
  await assertAccessible(page);
  await screenshot(page, 'pulled-phone');
  await page.goBack();
  await page.getByRole('heading', { name: 'Plate record' }).waitFor();
}));
