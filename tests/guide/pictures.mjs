// The pictures of README.md and docs/guide.md, taken from the page itself (scripts/pictures). Run by hand when the page
// looks otherwise; not a part of the tests.

import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { fromMenu, onPage, PHONE, reckoned, ROOT, WIDE } from '../browser/lib/page.mjs';

const ICONS = path.join(ROOT, 'www/icons');
const SHOTS = { type: 'jpeg', quality: 82 };
const file = (name) => path.join(ROOT, 'docs', name);
/** All grains are there. */
const grained = (page) => page.locator('.grain', { hasText: 'Proof complete' }).waitFor({ timeout: 240_000 });
const step = (page, name) => page.locator(`#${name} .step-name`).click();

test('the whole page', { timeout: 300_000 }, () => onPage({ size: WIDE, steps: 'one', grain: 'every', name: 'guide' }, async (page) => {
  await reckoned(page);
  await grained(page);
  await page.screenshot({ path: file('page.jpg'), ...SHOTS });
}));

test('tones of the picture', { timeout: 300_000 }, () => onPage({ size: WIDE, steps: 'one', grain: 'every', name: 'guide' }, async (page) => {
  await reckoned(page);
  if (!await page.getByText('Tones of the picture').isVisible()) await step(page, 'picture');
  await page.getByText('Tones of the picture').click();
  await page.getByRole('button', { name: 'Spread the tones' }).click();
  await page.locator('.tones-point').first().waitFor();
  await page.getByText('Tones of the picture').evaluate((summary) => summary.scrollIntoView({ block: 'start' }));
  await grained(page);
  await page.screenshot({ path: file('guide/tones.jpg'), ...SHOTS });
}));

test('the ground under the linen tester', { timeout: 300_000 }, () => onPage({ size: WIDE, steps: 'one', grain: 'every', name: 'guide' }, async (page) => {
  await reckoned(page);
  await step(page, 'dust');
  await page.locator('label', { hasText: /^copper$/ }).click();
  await grained(page);
  await page.screenshot({ path: file('guide/ground.jpg'), ...SHOTS });
}));

test('a test strip', { timeout: 120_000 }, () => onPage({ size: WIDE, name: 'guide' }, async (page) => {
  await reckoned(page);
  await fromMenu(page, 'test strip…');
  await page.locator('.strip-progress', { hasText: '7 patches, ' }).waitFor({ timeout: 120_000 });
  await page.screenshot({ path: file('guide/strip.jpg'), ...SHOTS });
}));

test('the bench sheet', { timeout: 120_000 }, () => onPage({ size: WIDE, name: 'guide' }, async (page) => {
  await reckoned(page);
  await fromMenu(page, 'bench sheet…');
  await page.locator('.sheet', { hasText: /rosin powder \d/ }).first().waitFor();
  await page.screenshot({ path: file('guide/sheet.jpg'), ...SHOTS });
}));

test('the clock on a phone', { timeout: 120_000 }, () => onPage({ size: PHONE, name: 'guide' }, async (page) => {
  await reckoned(page);
  await fromMenu(page, 'clock…');
  // On to the first bite, which is set going.
  const bite = page.getByRole('heading', { name: /^Bite 1/ });
  for (let i = 0; i < 60 && !await bite.isVisible(); i++) await page.keyboard.press('n');
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  await page.screenshot({ path: file('guide/clock.jpg'), ...SHOTS });
}));

test('icons and the card, from www/icons/icon.svg', { timeout: 300_000 }, () => onPage({ size: { width: 1200, height: 630 }, steps: 'one', grain: 'every', name: 'guide' }, async (page) => {
  await reckoned(page);
  await grained(page);
  await page.screenshot({ path: path.join(ICONS, 'card.jpg'), ...SHOTS });
  const svg = await readFile(path.join(ICONS, 'icon.svg'), 'utf8');
  const drawn = await page.context().newPage();
  // Whoever cuts icons to a shape takes up to a tenth off each side; a touch icon stands on paper.
  for (const [file, size, inset, paper] of [['any-192.png', 192, 0, 'transparent'], ['any-512.png', 512, 0, 'transparent'], ['maskable-512.png', 512, 60, '#f6f1e6'], ['touch-180.png', 180, 12, '#f6f1e6']]) {
    await drawn.setViewportSize({ width: size, height: size });
    await drawn.setContent(`<body style="margin:0;background:${paper}"><div style="padding:${inset}px;width:${size - 2 * inset}px;line-height:0">${svg}</div>`);
    await drawn.screenshot({ path: path.join(ICONS, file), omitBackground: true });
  }
}));
