// “Measure your own ground” in the page: pictures of a dust and of its melted ground, drawn here from the native
// program's grains and domes with a hidden hysteresis, are read, judged over their tint, nudged, compared, and taken
// into the plan; what can't be read is said.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { assertNarrow } from './lib/narrow.mjs';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, ROOT, screenshot } from './lib/page.mjs';
import { planInHand } from './lib/plans.mjs';
import { greyPng } from './lib/png.mjs';

const NATIVE = path.join(process.env.CARGO_TARGET_DIR ?? path.join(ROOT, 'target'), 'debug/platewright');
const RESULTS = path.join(ROOT, 'test-results');
await mkdir(RESULTS, { recursive: true });

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
    await Promise.all([writeFile(file('dust'), loose.png), writeFile(file('melted'), baked.png), writeFile(file('blank'), greyPng(400, 300, Buffer.alloc(120_000, 128))),
      writeFile(file('ruler'), greyPng(1000, 1000, Buffer.from(Array.from({ length: 1_000_000 }, (_, at) => (at % 100 < 4 ? 40 : 220)))))]);
    await onPage({ name: `own-ground-${name}`, size }, async (page) => {
      await reckoned(page);
      const before = (await planInHand(page)).dust.powder_g_per_m2;
      await fromMenu(page, 'calibrate…');
      await page.click('.calibrate-kind .word:has-text("your own ground")');
      await page.locator('h2', { hasText: 'Measure your own ground' }).waitFor();
      await page.locator('.calibrate .caution', { hasText: 'Rosin dust in the air can explode' }).waitFor();
      assert.ok(await page.locator('button:has-text("Compare the two")').isDisabled(), 'nothing to compare yet');

      // Without a scale nothing is read; what can't be read is said.
      const [first, second] = ['The dust', 'The same place, melted'];
      const by = (title, way) => page.click(`[aria-label="${title}: how its scale is told"] .word:has-text("${way}")`);
      await page.setInputFiles(`[aria-label="${first}: picture"]`, file('blank'));
      await by(first, 'width of the picture');
      const wide = page.locator(`[aria-label="${first}: copper across the picture, mm"]`);
      assert.equal(await page.locator('.ground-told').count(), 0, 'not read without its scale');
      await wide.fill('3');
      await page.locator('.ground-picture [role=alert]', { hasText: 'two tones' }).waitFor({ timeout: 60_000 });
      await wide.fill('900');
      await page.locator('.ground-picture [role=alert]', { hasText: 'scale is not known' }).waitFor({ timeout: 60_000 });

      // A ruler that has a picture of its own: two presses, then the keyboard to the very pixel, then the length.
      await by(first, 'two marks on a ruler');
      await page.setInputFiles(`[aria-label="${first}: picture"]`, file('dust'));
      // The picture before gives way only once this one is decoded.
      await page.getByText(path.basename(file('dust'))).first().waitFor();
      await page.setInputFiles(`[aria-label="${first}: picture of the ruler"]`, file('blank'));
      await page.locator('.ground-picture [role=alert]', { hasText: 'has not the size of the picture' }).waitFor();
      await page.setInputFiles(`[aria-label="${first}: picture of the ruler"]`, file('ruler'));
      const ruler = page.locator(`canvas[aria-label="${first}: the ruler"]`);
      await ruler.waitFor();
      const press = async (x, y) => {
        await ruler.scrollIntoViewIfNeeded();
        const { width, height } = await ruler.boundingBox();
        await ruler.click({ position: { x: (x / 1000) * width, y: (y / 1000) * height } });
      };
      await page.locator('[role=status]', { hasText: 'Press on the first line.' }).waitFor();
      await press(105, 500);
      await page.locator('[role=status]', { hasText: 'Press on the second line.' }).waitFor();
      await press(895, 510);
      for (const [name, x, y] of [['A', 100, 500], ['B', 900, 500]]) {
        const mark = page.locator(`button.corner[aria-label^="${first}: mark ${name} on the ruler"]`);
        await mark.focus();
        for (let tries = 0; tries < 60; tries++) {
          const [, nx, ny] = /: (-?\d+), (-?\d+)/.exec((await mark.getAttribute('aria-label')).slice(first.length + 1)).map(Number);
          if (Math.abs(nx - x) < 1 && Math.abs(ny - y) < 1) break;
          if (Math.abs(nx - x) >= 1) await page.keyboard.press(nx < x ? 'ArrowRight' : 'ArrowLeft');
          if (Math.abs(ny - y) >= 1) await page.keyboard.press(ny < y ? 'ArrowDown' : 'ArrowUp');
        }
      }
      await page.fill(`[aria-label="${first}: length between the marks, mm"]`, '2.4');
      await page.locator(`[role=group][aria-label="${first}"]`, { hasText: /A pixel of the file is (2\.99|3\.00|3\.01) µm/ }).waitFor({ timeout: 60_000 });

      // Only a part of it; and all of it again.
      const whole = await told(page, first);
      const part = page.locator(`[role=group][aria-label="${first}"] label`, { hasText: 'read only part of it' });
      await part.click();
      await page.locator(`button.corner[aria-label^="${first}: corner 2 of the part"]`).waitFor();
      await page.waitForFunction(([title, was]) => {
        const words = document.querySelector(`[role=group][aria-label="${title}"] .ground-told`)?.textContent ?? was;
        return words !== was;
      }, [first, whole.words], { timeout: 60_000 });
      await part.click();
      await page.waitForFunction(([title, was]) => document.querySelector(`[role=group][aria-label="${title}"] .ground-told`)?.textContent === was, [first, whole.words], { timeout: 60_000 });

      // The second picture is of the same size: the first one's ruler serves it, too.
      await page.setInputFiles(`[aria-label="${second}: picture"]`, file('melted'));
      const [of_dust, of_melted] = [await told(page, first), await told(page, second)];
      assert.ok(Math.abs(of_dust.cover - loose.cover) < 0.03, `dust of ${loose.cover}: ${of_dust.words}`);
      assert.ok(Math.abs(of_melted.cover - baked.cover) < 0.03, `ground of ${baked.cover}: ${of_melted.words}`);
      assert.match(of_dust.words, /the lighter tone/);
      assert.match(of_melted.words, /the darker tone/);
      const tint = await page.locator('.ground-seen .corners-picture').first().evaluate((canvas) => {
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

/** Two step plates under unlike covers, by the native program, the open share counting for more than built in. */
const HIDDEN = { 'bite.rate_um_per_min': 1.2, 'ink.absorption_per_um': 0.8, 'bite.open_share_power': 0.7 };
const BITES = [1.5, 1.5, 2, 4, 5, 8, 12, 14];

async function stepPlate(powder) {
  const plan = JSON.parse(execFileSync(NATIVE, ['plan'], { encoding: 'utf8' }));
  plan.dust.powder_g_per_m2 *= powder;
  const small = structuredClone(plan);
  Object.assign(small.plate, { width_mm: 140, height_mm: 40 });
  small.bites = BITES.map((bite_min) => ({ bite_min }));
  small.picture.thresholds_l = BITES.map((_, i) => 90 - 9 * i);
  small.calibration = HIDDEN;
  const file = path.join(RESULTS, 'cover-plan.json');
  await writeFile(file, JSON.stringify(small));
  const table = JSON.parse(execFileSync(NATIVE, ['table', file, '--form', 'json'], { encoding: 'utf8' }));
  return { plan, bite_min: BITES, kind: 'lightness', readings: table.values.slice(1).map(({ lightness }) => Number(lightness.toFixed(1))), at: '2026-11-30' };
}

test('step plates at two covers tell how the open share counts', { timeout: 300_000 }, async () => {
  const [thin, close] = [await stepPlate(1), await stepPlate(2)];
  await onPage({ name: 'two-covers', size: { width: 1280, height: 800 } }, async (page) => {
    await reckoned(page);
    // The step plate on the bench and one that was taken another day, as the browser keeps them.
    await page.evaluate(([bench, other]) => {
      localStorage.setItem('platewright.step-plate', JSON.stringify({ steps: 8, bite_min: bench.bite_min, readings: bench.readings, kind: 'lightness', beyond: [] }));
      localStorage.setItem('platewright.two-covers', JSON.stringify([null, other]));
    }, [thin, close]);
    await page.reload();
    await reckoned(page);
    await fromMenu(page, 'calibrate…');
    await page.click('.calibrate-kind .word:has-text("your own ground")');
    const ask = page.locator('button:has-text("Find how the open share counts")');
    await page.locator('.two-covers li', { hasText: 'The other cover' }).locator('text=60 g/m², 8 of 8 steps read').waitFor();
    assert.ok(await ask.isDisabled(), 'one of them is missing');
    await page.click('[aria-label="The first cover: take the step plate that was read"]');
    await page.locator('.two-covers li', { hasText: 'The first cover' }).locator('text=30 g/m², 8 of 8 steps read').waitFor();
    await ask.click();
    await page.locator('.covers-found .verdict').waitFor({ timeout: 120_000 });
    const row = page.locator('.covers-found tr', { hasText: 'Power of the open share' });
    const [value, low, high] = [await row.locator('td').nth(0).textContent(), ...(await row.locator('td').nth(1).textContent()).split(' – ')].map(Number);
    const hidden = HIDDEN['bite.open_share_power'];
    assert.ok(low <= hidden && hidden <= high && Math.abs(value - hidden) < 0.1, `hidden ${hidden}: ${value}, ${low} to ${high}`);
    assert.match(await page.textContent('.covers-found .verdict'), /times as fast.*What these plates can’t tell/s);
    await page.locator('.covers-found').scrollIntoViewIfNeeded();
    await assertAccessible(page);
    await screenshot(page, 'two-covers');
    await page.fill('.covers-found .calibrate-name', 'two covers, brown tray');
    await page.click('.covers-found button:has-text("Keep it and use it in this plan")');
    await page.locator('.calibrate-kept li[aria-current=true]').waitFor();
    await page.keyboard.press('Escape');
    await page.locator('.view').waitFor({ state: 'detached' });
    const taken = await planInHand(page);
    assert.ok(Math.abs(taken.calibration['bite.open_share_power'] - value) < 0.001, 'the power goes into the plan');
    assert.ok(Math.abs(taken.calibration['bite.rate_um_per_min'] / HIDDEN['bite.rate_um_per_min'] - 1) < 0.1, 'and its rate with it');
  });
});
