// A tool in the hand: keys draw with it, two fingers never do, Escape puts it down, and areas are not drawn at once.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { onPage, PHONE, reckoned } from './lib/page.mjs';

async function withScraper(page) {
  await reckoned(page);
  const head = page.getByRole('button', { name: 'States', exact: true });
  if (await head.getAttribute('aria-expanded') === 'false') await head.click();
  await page.getByRole('button', { name: 'scraper', exact: true }).click();
  await page.waitForSelector('.tool-sheet');
}

const held = (page) => page.getByRole('button', { name: 'scraper', exact: true }).getAttribute('aria-pressed');

test('a stroke is drawn by keys, undone, and Escape puts the tool down', () => onPage({ name: 'tool-keys' }, async (page) => {
  await withScraper(page);
  const sheet = page.locator('.tool-sheet');
  await sheet.focus();
  for (const key of [' ', 'Shift+ArrowRight', ' ', 'Enter']) await page.keyboard.press(key === ' ' ? 'Space' : key);
  await page.locator('#states .step-result', { hasText: '2 states' }).waitFor({ state: 'attached' });
  await sheet.focus();
  await page.keyboard.press('Space');
  await page.keyboard.press('Escape');
  assert.equal(await held(page), 'true', 'the first Escape only forgets the point');
  await page.keyboard.press('Escape');
  assert.equal(await held(page), 'false');
  assert.equal(await sheet.count(), 0);
}));

test('two fingers move the proof and draw nothing', () => onPage({ name: 'tool-pinch', size: PHONE }, async (page, { context }) => {
  await withScraper(page);
  await page.locator('.stage').scrollIntoViewIfNeeded();
  const box = await page.locator('.tool-sheet').boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  const cdp = await context.newCDPSession(page);
  const touch = (type, ...points) => cdp.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([px, py], id) => ({ x: px, y: py, id })) });
  const scale = () => page.locator('.lens-mark').evaluate((mark) => mark.style.transform);
  const before = await scale();
  await touch('touchStart', [x, y]);
  await touch('touchMove', [x + 12, y]);
  await touch('touchStart', [x + 12, y], [x + 60, y + 40]);
  for (let i = 1; i <= 6; i++) await touch('touchMove', [x - 8 * i, y - 4 * i], [x + 60 + 8 * i, y + 40 + 6 * i]);
  await touch('touchEnd');
  assert.notEqual(await scale(), before, 'the proof came nearer');
  assert.equal(await page.locator('#states .step-result', { hasText: 'the first proof' }).count(), 1, 'nothing was drawn');
  assert.equal(await page.locator('.tool-stroke').count(), 0);
}));

test('whoever draws areas has put the tool down, and the other way round', () => onPage({ name: 'tool-or-areas' }, async (page) => {
  await withScraper(page);
  const head = page.getByRole('button', { name: 'Picture and plate', exact: true });
  if (await head.getAttribute('aria-expanded') === 'false') await head.click();
  await page.getByRole('button', { name: 'Draw areas on the proof' }).click();
  await page.waitForSelector('.draw-over');
  assert.equal(await page.locator('.tool-sheet').count(), 0);
  const states = page.getByRole('button', { name: 'States', exact: true });
  if (await states.getAttribute('aria-expanded') === 'false') await states.click();
  await page.getByRole('button', { name: 'scraper', exact: true }).click();
  await page.waitForSelector('.tool-sheet');
  assert.equal(await page.locator('.draw-over').count(), 0);
}));
