// “Measure your own ground” in the page: pictures of a dust and of its melted ground, drawn here from the native
// program's grains and domes with a hidden hysteresis, are read, judged over their tint, nudged, compared, and taken
// into the plan; what can't be read is said.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { writeFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { assertNarrow } from './lib/narrow.mjs';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, ROOT, screenshot } from './lib/page.mjs';
import { planInHand } from './lib/plans.mjs';
import { greyPng } from './lib/png.mjs';

const NATIVE = path.join(process.env.CARGO_TARGET_DIR ?? path.join(ROOT, 'target'), 'release/platewright');
const RESULTS = path.join(ROOT, 'test-results');

/** What the page must find: edges that hold less firmly than built in, and more powder than the plan has. */
const HIDDEN_DEG = 19;
const MORE_POWDER = 1.6;
const SIDE_UM = 3000;
const PX_UM = 3;

/** Grains and domes of 3 mm of the example's ground with more powder and the hidden hysteresis: x, y, radius, µm. */
function ground() {
  const plan = JSON.parse(execFileSync(NATIVE, ['plan'], { encoding: 'utf8' }));
  const recipe = { dust: { ...plan.dust, powder_g_per_m2: plan.dust.powder_g_per_m2 * MORE_POWDER }, bake: plan.bake, thickness_mm: plan.plate.thickness_mm, seed: 99 };
  const calibration = { 'bake.hysteresis_deg': HIDDEN_DEG };
  const questions = [
    { ask: 'patch', ...recipe, cell_x: 0, cell_y: 0, cells: SIDE_UM / 100, margin: 0, calibration },
    { ask: 'domes', ...recipe, left_um: 0, top_um: 0, side_um: SIDE_UM, reach_um: 0, calibration },
  ];
  const told = execFileSync(NATIVE, ['probe'], { encoding: 'utf8', input: questions.map((one) => `${JSON.stringify(one)}\n`).join(''), maxBuffer: 1 << 28 });
  const [patch, domes] = told.trim().split('\n').map((line) => JSON.parse(line));
  assert.equal(patch.cell_um, 100, 'cells of the size asked for');
  return {
    dust: patch.grain_x_um.map((x, i) => [x, patch.grain_y_um[i], Math.cbrt((3 * patch.grain_um3[i]) / (4 * Math.PI))]),
    melted: domes.discs.x_um.map((x, i) => [x, domes.discs.y_um[i], domes.discs.radius_um[i]]),
  };
}

/** A picture of discs: lit from the left, every pixel a mean of nine places. */
function photograph(discs, [rosin, copper]) {
  const over = 3;
  const side = SIDE_UM / PX_UM;
  const fine = side * over;
  const set = new Uint8Array(fine * fine);
  for (const [x, y, r] of discs.map((disc) => disc.map((um) => (um / PX_UM) * over))) {
    for (let row = Math.max(0, Math.ceil(y - r)); row < Math.min(fine, y + r); row++) {
      const half = Math.sqrt(Math.max(0, r * r - (row - y) ** 2));
      set.fill(1, row * fine + Math.max(0, Math.ceil(x - half)), row * fine + Math.min(fine, Math.max(0, Math.ceil(x + half))));
    }
  }
  const grey = Buffer.alloc(side * side);
  let covered = 0;
  for (let py = 0; py < side; py++) {
    for (let px = 0; px < side; px++) {
      let share = 0;
      for (let k = 0; k < over * over; k++) share += set[(py * over + Math.floor(k / over)) * fine + px * over + (k % over)] / (over * over);
      covered += share;
      const noise = ((px * 7919 + py * 104729) % 13) - 6;
      grey[py * side + px] = (copper + share * (rosin - copper)) * (1 - (0.25 * px) / side) + noise;
    }
  }
  return { png: greyPng(side, side, grey), cover: covered / side ** 2 };
}

const told = async (page, title) => {
  const words = await page.locator(`[role=group][aria-label="${title}"] .ground-told`).textContent({ timeout: 60_000 });
  return { words, cover: Number(/covers (\d+) %/.exec(words)[1]) / 100, islands: Number(/in (\d+) islands per mm²/.exec(words)[1]) };
};

for (const [size, name] of [[{ width: 1280, height: 800 }, 'wide'], [PHONE, 'phone']]) {
  test(`two pictures of one place become this shop's hysteresis and powder (${name})`, { timeout: 300_000 }, async () => {
    const { dust, melted } = ground();
    const [loose, baked] = [photograph(dust, [210, 110]), photograph(melted, [90, 175])];
    const file = (called) => path.join(RESULTS, `own-ground-${name}-${called}.png`);
    await Promise.all([writeFile(file('dust'), loose.png), writeFile(file('melted'), baked.png), writeFile(file('blank'), greyPng(400, 300, Buffer.alloc(120_000, 128)))]);
    await onPage({ name: `own-ground-${name}`, size }, async (page) => {
      await reckoned(page);
      const before = (await planInHand(page)).dust.powder_g_per_m2;
      await fromMenu(page, 'calibrate…');
      await page.click('.calibrate-kind .word:has-text("your own ground")');
      await page.locator('h2', { hasText: 'Measure your own ground' }).waitFor();
      await page.locator('.calibrate .caution', { hasText: 'Rosin dust in the air can explode' }).waitFor();
      assert.ok(await page.locator('button:has-text("Compare the two")').isDisabled(), 'nothing to compare yet');

      // Without a width nothing is read; what can't be read is said.
      const [first, second] = ['The dust', 'The same place, melted'];
      await page.setInputFiles(`[aria-label="${first}: picture"]`, file('blank'));
      const wide = page.locator(`[aria-label="${first}: copper across the picture, mm"]`);
      await wide.waitFor();
      assert.equal(await page.locator('.ground-told').count(), 0, 'not read without its width');
      await wide.fill('3');
      await page.locator('.ground-picture [role=alert]', { hasText: 'two tones' }).waitFor({ timeout: 60_000 });
      await wide.fill('900');
      await page.locator('.ground-picture [role=alert]', { hasText: 'scale is not known' }).waitFor({ timeout: 60_000 });

      // Both pictures; the second takes the first one's width.
      await wide.fill('3');
      await page.setInputFiles(`[aria-label="${first}: picture"]`, file('dust'));
      await page.setInputFiles(`[aria-label="${second}: picture"]`, file('melted'));
      const [of_dust, of_melted] = [await told(page, first), await told(page, second)];
      assert.ok(Math.abs(of_dust.cover - loose.cover) < 0.03, `dust of ${loose.cover}: ${of_dust.words}`);
      assert.ok(Math.abs(of_melted.cover - baked.cover) < 0.03, `ground of ${baked.cover}: ${of_melted.words}`);
      assert.match(of_dust.words, /the lighter tone/);
      assert.match(of_melted.words, /the darker tone/);
      const tint = await page.locator('.ground-seen').first().evaluate((canvas) => {
        const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
        let red = 0;
        for (let i = 0; i < data.length; i += 4) red += data[i] > data[i + 2] + 30 ? 4 / data.length : 0;
        return red;
      });
      assert.ok(Math.abs(tint - loose.cover) < 0.06, `${tint} of the picture is tinted`);

      // The level moves by the keyboard, towards more rosin, and back.
      const level = page.locator(`[aria-label="${second}: level between rosin and copper"]`);
      await level.focus();
      for (let i = 0; i < 4; i++) await page.keyboard.press('ArrowRight');
      await page.waitForFunction(([title, was]) => {
        const words = document.querySelector(`[role=group][aria-label="${title}"] .ground-told`)?.textContent ?? '';
        return Number(/covers (\d+) %/.exec(words)?.[1]) > 100 * was;
      }, [second, of_melted.cover], { timeout: 60_000 });
      for (let i = 0; i < 4; i++) await page.keyboard.press('ArrowLeft');
      await page.waitForFunction(([title, was]) => document.querySelector(`[role=group][aria-label="${title}"] .ground-told`)?.textContent === was, [second, of_melted.words], { timeout: 60_000 });
      await assertAccessible(page);
      await page.locator('.ground-pictures').scrollIntoViewIfNeeded();
      await screenshot(page, `own-ground-read-${name}`);

      await page.click('button:has-text("Compare the two")');
      await page.locator('.ground-found').waitFor({ timeout: 120_000 });
      const [found, low, high] = /Δ (\d+)°, 95 % limits (\d+)° to (\d+)°/.exec(await page.textContent('.ground-found .verdict')).slice(1).map(Number);
      assert.ok(low <= HIDDEN_DEG && HIDDEN_DEG <= high, `${HIDDEN_DEG}° lies in ${low}° to ${high}°`);
      assert.ok(Math.abs(found - HIDDEN_DEG) <= 2, `found ${found}°`);
      if (size === PHONE) await assertNarrow(page, 'your own ground');
      await assertAccessible(page);
      await page.locator('.ground-found').scrollIntoViewIfNeeded();
      await screenshot(page, `own-ground-found-${name}`);

      // Taken into the plan: the constant, kept under its name, and the powder.
      await page.fill('.ground-found .calibrate-name', 'our rosin');
      await page.click('button:has-text("Take as this shop’s Δ")');
      await page.locator('.calibrate-kept li[aria-current=true]', { hasText: 'in force for this plan' }).waitFor();
      assert.equal(await page.inputValue('.calibrate-kept [aria-label="Name of the calibration"]'), 'our rosin');
      await page.click('button:has-text("Take as the powder that lands")');
      await page.keyboard.press('Escape');
      await page.locator('.view').waitFor({ state: 'detached' });
      const taken = await planInHand(page);
      assert.ok(Math.abs(taken.calibration['bake.hysteresis_deg'] - found) <= 0.5, 'the plan reckons with it');
      assert.equal(taken.calibration_name, 'our rosin');
      assert.ok(Math.abs(taken.dust.powder_g_per_m2 / before / MORE_POWDER - 1) < 0.12, `${before} g/m² became ${taken.dust.powder_g_per_m2}`);
    });
  });
}
