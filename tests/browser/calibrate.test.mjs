// Calibrating from a step plate in the page: designed, read by hand and off a photograph made here, fitted,
// named, used, carried by link and shelf; nonsense refused with the reason.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { writeFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { assertAccessible, fromMenu, onPage, reckoned, ROOT, screenshot } from './lib/page.mjs';
import { greyPng } from './lib/png.mjs';

const NATIVE = path.join(process.env.CARGO_TARGET_DIR ?? path.join(ROOT, 'target'), 'debug/platewright');
const RESULTS = path.join(ROOT, 'test-results');

/** What the page must find: a faster bath, a weaker ink. */
const HIDDEN = { 'bite.rate_um_per_min': 1.15, 'ink.absorption_per_um': 0.7, 'ink.surface_reflectance': 0.028, 'ink.hand_overlap_um': 0.9 };

/** L* that the native program prints on a step plate of these bites with the hidden constants. */
async function printed(bites) {
  const plan = JSON.parse(execFileSync(NATIVE, ['plan'], { encoding: 'utf8' }));
  Object.assign(plan.plate, { width_mm: 140, height_mm: 40 });
  plan.bites = bites.map((bite_min) => ({ bite_min }));
  plan.picture.thresholds_l = bites.map((_, i) => 90 - 9 * i);
  plan.calibration = HIDDEN;
  const file = path.join(RESULTS, 'step-plan.json');
  await writeFile(file, JSON.stringify(plan));
  const table = JSON.parse(execFileSync(NATIVE, ['table', file, '--form', 'json'], { encoding: 'utf8' }));
  return table.values.slice(1).map(({ lightness }) => lightness);
}

const CORNERS = [[161, 235], [1250, 180], [1300, 520], [130, 540]];

/** The projection of the unit square to the corners, in closed form (P. S. Heckbert 1989). */
function projection() {
  const [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = CORNERS;
  const [dx1, dx2, sx] = [x1 - x2, x3 - x2, x0 - x1 + x2 - x3];
  const [dy1, dy2, sy] = [y1 - y2, y3 - y2, y0 - y1 + y2 - y3];
  const down = dx1 * dy2 - dx2 * dy1;
  const [g, h] = [(sx * dy2 - dx2 * sy) / down, (dx1 * sy - sx * dy1) / down];
  return [x1 - x0 + g * x1, x3 - x0 + h * x3, x0, y1 - y0 + g * y1, y3 - y0 + h * y3, y0, g, h];
}

/** Where a place of the plate, mm, lies in the picture. */
function inPicture(x, y) {
  const [a, b, c, d, e, f, g, h] = projection();
  const w = (g * x) / 140 + (h * y) / 40 + 1;
  return [((a * x) / 140 + (b * y) / 40 + c) / w, ((d * x) / 140 + (e * y) / 40 + f) / w];
}

/** The print photographed askew, the light falling off to the right, specks on the steps. */
function photograph(lightness) {
  const [width, height] = [1440, 760];
  const [a, b, c, d, e, f, g, h] = projection();
  const inverse = [e - f * h, c * h - b, b * f - c * e, f * g - d, a - c * g, c * d - a * f, d * h - e * g, b * g - a * h, a * e - b * d];
  const light = (l) => (l > 8 ? ((l + 16) / 116) ** 3 : (l * 27) / 24389);
  const code = (linear) => Math.round(255 * (linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055));
  const grey = Buffer.alloc(width * height);
  let seed = 7;
  const chance = () => { seed = (seed * 1664525 + 1013904223) >>> 0; return seed / 2 ** 32; };
  for (let py = 0; py < height; py++) {
    for (let px = 0; px < width; px++) {
      const w = inverse[6] * px + inverse[7] * py + inverse[8];
      const x = (140 * (inverse[0] * px + inverse[1] * py + inverse[2])) / w;
      const y = (40 * (inverse[3] * px + inverse[4] * py + inverse[5])) / w;
      const step = Math.floor((x - 8) / 16);
      const on = step >= 0 && step < 8 && x - 8 - 16 * step <= 12 && y >= 8 && y <= 32;
      let reflectance = on ? light(lightness[step]) * (0.85 + 0.3 * chance()) : x > -24 && x < 164 && y > -24 && y < 64 ? 0.85 : 0.2;
      if (on && (x - 8 - 16 * step - 5) ** 2 + (y - 15) ** 2 < 0.4) reflectance = 0.9;
      grey[py * width + px] = code(Math.min(1, (0.8 * reflectance * (1 - (0.3 * px) / width)) / 0.85));
    }
  }
  return greyPng(width, height, grey);
}

const found = (page) => page.$$eval('.calibrate-found tbody tr', (all) => all.map((row) => {
  const [value, limits] = [...row.querySelectorAll('td')].map((cell) => cell.textContent);
  const [low, high] = limits.split(' – ').map(Number);
  return { value: Number(value), low, high };
}));

async function open(page) {
  await reckoned(page);
  await fromMenu(page, 'calibrate…');
  await page.waitForSelector('.step-guide-plate', { timeout: 60_000 });
}

test('from readings and from a photograph to constants that travel', { timeout: 300_000 }, async () => {
  await onPage({ name: 'calibrate', size: { width: 1280, height: 800 } }, async (page) => {
    await open(page);
    const bites = await page.$$eval('.step-table [aria-label^="Minutes of bite"]', (all) => all.map((input) => Number(input.value)));
    assert.equal(bites.length, 8, 'eight steps to begin with');
    await assertAccessible(page);
    await screenshot(page, 'calibrate-1');

    // What was read stays with its step, whatever is switched; words that are no number are answered.
    const standing = () => page.$$eval('[aria-label^="Reading of step"]', (all) => all.map((input) => input.value));
    const steps = (count) => page.click(`[aria-label="Steps"] .word:has-text("${count}")`);
    for (const [i, value] of ['88', '75', '', '', '', '', '30', '21'].entries()) await page.fill(`[aria-label="Reading of step ${i + 1}"]`, value);
    await page.press('[aria-label="Reading of step 8"]', 'Enter');
    const typed = await standing();
    await steps(9);
    await page.locator('[aria-label="Reading of step 9"]').waitFor();
    assert.deepEqual(await standing(), [...typed, ''], 'one step more');
    await steps(6);
    await page.locator('[aria-label="Reading of step 7"]').waitFor({ state: 'detached' });
    assert.deepEqual(await standing(), typed.slice(0, 6), 'two less');
    await page.click('.word:has-text("density") >> nth=0');
    await page.locator('.calibrate [role=status]', { hasText: 'No print has a density above 2.6' }).waitFor();
    await page.click('[aria-label="Readings are given as"] .word:has-text("L*")');
    await steps(8);
    assert.deepEqual(await standing(), typed, 'all of them back');
    assert.deepEqual(await page.$$eval('.step-table [aria-label^="Minutes of bite"]', (all) => all.map((input) => Number(input.value))), bites, 'with their minutes');
    const third = page.locator('[aria-label="Reading of step 3"]');
    for (const [words, sentence] of [['pale', '“pale” is not a number'], ['-4', '-4 is out of range']]) {
      await third.fill(words);
      await third.press('Tab');
      await page.locator('.step-table [role=alert]', { hasText: sentence }).waitFor();
      assert.deepEqual([await third.inputValue(), await third.getAttribute('aria-invalid')], [words, 'true']);
    }
    await screenshot(page, 'calibrate-readings');
    await page.locator('.step-table button', { hasText: 'put back' }).click();
    assert.equal(await third.inputValue(), '');
    const l = await printed(bites);

    // Typed as densities; first with two that have changed places.
    const density = (one) => -Math.log10(((one + 16) / 116) ** 3);
    await page.click('.word:has-text("density") >> nth=0');
    const type = async (values) => { for (const [i, value] of values.entries()) await page.fill(`[aria-label="Reading of step ${i + 1}"]`, value); };
    const swapped = l.map((one) => density(one).toFixed(3));
    [swapped[2], swapped[4]] = [swapped[4], swapped[2]];
    await type(swapped);
    await page.click('button:has-text("Find the constants")');
    await page.waitForSelector('.calibrate .problem[role=alert]', { timeout: 60_000 });
    assert.match(await page.textContent('.calibrate .problem[role=alert]'), /changed places/, 'nonsense is refused with the reason');
    // One press changes them back; a slip is left out with one press, and can be put back.
    await page.locator('.calibrate-amiss li', { hasText: 'steps 3 and 5 seem to have changed places' }).locator('button').click();
    await page.waitForSelector('.calibrate-found', { timeout: 90_000 });
    assert.deepEqual(await standing(), l.map((one) => String(Number(density(one).toFixed(3)))), 'each in its place');
    await page.fill('[aria-label="Reading of step 4"]', density(l[3] + 9).toFixed(3));
    await page.click('button:has-text("Find the constants")');
    await page.locator('.calibrate-amiss li', { hasText: 'Step 4 seems misread' }).locator('button').click({ timeout: 60_000 });
    await page.waitForSelector('.calibrate-found', { timeout: 90_000 });
    assert.equal(await page.locator('.step-table tr[data-out=true]').count(), 1, 'it stays in the table, struck out');
    await page.locator('.calibrate-amiss').scrollIntoViewIfNeeded();
    await screenshot(page, 'calibrate-amiss');
    await page.click('[aria-label="put back the reading of step 4"]');
    assert.equal(await page.locator('.step-table tr[data-out=true]').count(), 0);
    // A bite that ran long: its minutes are found, too, and can be taken as noted again.
    await page.fill('[aria-label="Reading of step 4"]', density(l[3]).toFixed(3));
    await page.fill('.step-table [aria-label="Minutes of bite 4"]', String(bites[3] + 3));
    await page.click('button:has-text("Find the constants")');
    await page.locator('.calibrate-amiss li', { hasText: 'The fourth bite seems to have run about 3 min short' }).locator('button').click({ timeout: 60_000 });
    await page.locator('.calibrate-found .verdict', { hasText: 'The fourth bite is counted as' }).waitFor({ timeout: 60_000 });
    await assertAccessible(page);
    await screenshot(page, 'calibrate-loose');
    await page.click('button:has-text("take them as noted")');
    await page.fill('.step-table [aria-label="Minutes of bite 4"]', String(bites[3]));
    await type(l.map((one) => density(one).toFixed(3)));
    await page.click('button:has-text("Find the constants")');
    await page.waitForSelector('.calibrate-found', { timeout: 90_000 });
    assert.equal(await page.locator('.calibrate-amiss li').count(), 0, 'nothing is amiss');
    for (const [i, one] of (await found(page)).entries()) {
      const hidden = Object.values(HIDDEN)[i];
      assert.ok(one.low <= hidden && hidden <= one.high, `${Object.keys(HIDDEN)[i]} ${hidden} lies in ${one.low} to ${one.high}`);
      assert.ok(Math.abs(one.value / hidden - 1) < 0.15, `${Object.keys(HIDDEN)[i]}: found ${one.value}, hidden ${hidden}`);
    }
    await page.locator('.calibrate-found').scrollIntoViewIfNeeded();
    await assertAccessible(page);
    await screenshot(page, 'calibrate-2');

    // A photograph: corners far off are refused, then set with mouse and keys.
    await page.click('.word:has-text("from a scan or photograph")');
    const file = path.join(RESULTS, 'step-print.png');
    await writeFile(file, photograph(l));
    await page.setInputFiles('[aria-label="Picture of the print"]', file);
    await page.waitForSelector('.corner');
    const picture = page.locator('.corners-picture');
    const set = async (i, [x, y]) => {
      await picture.scrollIntoViewIfNeeded();
      const box = await picture.boundingBox();
      const from = await page.locator('.corner').nth(i).boundingBox();
      await page.mouse.move(from.x + from.width / 2, from.y + from.height / 2);
      await page.mouse.down();
      await page.mouse.move(box.x + (x / 1440) * box.width, box.y + (y / 760) * box.height, { steps: 4 });
      await page.mouse.up();
    };
    // The plate is found by itself, to three tenths of a millimetre.
    await page.getByText('The plate is found.').waitFor({ timeout: 60_000 });
    const px_per_mm = Math.hypot(CORNERS[1][0] - CORNERS[0][0], CORNERS[1][1] - CORNERS[0][1]) / 140;
    for (const [i, [x, y]] of CORNERS.entries()) {
      const [, nx, ny] = /: (-?\d+), (-?\d+)/.exec(await page.locator('.corner').nth(i).getAttribute('aria-label'));
      assert.ok(Math.hypot(nx - x, ny - y) < 0.3 * px_per_mm + 0.5, `mark ${i + 1} at ${nx}, ${ny}, the corner at ${x}, ${y}`);
    }
    await screenshot(page, 'calibrate-found-plate');
    await set(1, [60, 700]);
    await page.getByText('The plate is found.').waitFor({ state: 'detached' });
    await page.click('button:has-text("Read the steps")');
    await page.waitForSelector('.calibrate .problem[role=alert]:has-text("orner")', { timeout: 60_000 });
    for (const [i, corner] of CORNERS.entries()) await set(i, corner);
    // By the keyboard to the very pixel.
    for (const [i, [x, y]] of CORNERS.entries()) {
      const corner = page.locator('.corner').nth(i);
      await corner.focus();
      for (let tries = 0; tries < 12; tries++) {
        const [, nx, ny] = /: (-?\d+), (-?\d+)/.exec(await corner.getAttribute('aria-label'));
        if (Number(nx) === x && Number(ny) === y) break;
        if (Number(nx) !== x) await page.keyboard.press(Number(nx) < x ? 'ArrowRight' : 'ArrowLeft');
        if (Number(ny) !== y) await page.keyboard.press(Number(ny) < y ? 'ArrowDown' : 'ArrowUp');
      }
    }
    assert.equal(await page.locator('.corners-lines polygon').count(), 9, 'the plate and its eight patches are drawn');
    await page.click('button:has-text("Add a known grey")');
    const darkest = l.indexOf(Math.min(...l));
    await set(4, inPicture(8 + 16 * darkest + 6, 22));
    await page.fill('[aria-label="L* or density of grey A"]', l[darkest].toFixed(1));
    await page.click('button:has-text("Read the steps")');
    await page.waitForSelector('.calibrate-picture [role=status]:has-text("Read.")', { timeout: 60_000 });
    const read = await page.$$eval('[aria-label^="Reading of step"]', (all) => all.map((input) => Number(input.value)));
    for (const [i, one] of read.entries()) assert.ok(Math.abs(one - l[i]) < 1.2, `step ${i + 1}: read L* ${one}, printed ${l[i].toFixed(1)}`);
    await picture.scrollIntoViewIfNeeded();
    await assertAccessible(page);
    await screenshot(page, 'calibrate-3');
    await page.click('button:has-text("Find the constants")');
    await page.waitForSelector('.calibrate-found', { timeout: 90_000 });
    await page.locator('.calibrate-found .verdict', { hasText: 'The known black tells the camera’s haze, but not its tone curve' }).waitFor();
    await page.locator('.calibrate-found').scrollIntoViewIfNeeded();
    await screenshot(page, 'calibrate-photo-found');
    for (const [i, one] of (await found(page)).entries()) {
      const hidden = Object.values(HIDDEN)[i];
      assert.ok(one.low <= hidden && hidden <= one.high, `from the picture: ${Object.keys(HIDDEN)[i]} ${hidden} lies in ${one.low} to ${one.high}`);
    }

    // Named and used; it goes into the link, the bands and the shelf's file, and undo takes it out.
    await page.fill('.calibrate-name', 'brown tray, spring');
    await page.click('button:has-text("Keep it and use it in this plan")');
    await page.waitForSelector('.calibrate-kept li[aria-current=true]');
    await page.locator('.calibrate-kept').scrollIntoViewIfNeeded();
    await screenshot(page, 'calibrate-4');
    await page.click('.calibrate .view-acts button:has-text("close")');
    await fromMenu(page, 'plan backwards…');
    await page.waitForSelector('.back-table', { timeout: 90_000 });
    await page.click('button:has-text("Show likely variation")');
    await page.waitForSelector('.back-sure .word:has-text("brown tray, spring")');
    await page.waitForSelector('.back-bands li', { timeout: 120_000 });
    await page.click('.backwards .panel-head button');
    await fromMenu(page, 'share…');
    const link = await page.waitForSelector('.share-link', { timeout: 60_000 });
    const text = await link.evaluate((on) => on.value ?? on.textContent);
    const told = JSON.parse(execFileSync(NATIVE, ['link', 'read', text.slice(text.indexOf('#') + 1)], { encoding: 'utf8' }));
    assert.ok(Math.abs((told.plan ?? told).calibration['bite.rate_um_per_min'] / 1.15 - 1) < 0.15, 'the link carries the constants');
    assert.equal((told.plan ?? told).calibration_name, 'brown tray, spring', 'and what they are called');
  });
});

test('a proof of the plan itself is read value by value, and a photograph upside down is told so', { timeout: 300_000 }, async () => {
  await onPage({ name: 'calibrate-proof', size: { width: 390, height: 844 } }, async (page) => {
    await open(page);
    // Before anything is chosen densities are read as densities, and L* as L*.
    const chosen = () => page.$eval('[aria-label="Readings are given as"] .word[data-chosen=true]', (on) => on.textContent);
    await page.fill('[aria-label="Reading of step 1"]', '0.31');
    await page.press('[aria-label="Reading of step 1"]', 'Tab');
    assert.equal(await chosen(), 'density');
    await page.fill('[aria-label="Reading of step 1"]', '84');
    await page.press('[aria-label="Reading of step 1"]', 'Tab');
    assert.equal(await chosen(), 'L*');

    await page.click('[aria-label="What is read"] .word:has-text("a proof of this plan")');
    const plan = JSON.parse(execFileSync(NATIVE, ['plan'], { encoding: 'utf8' }));
    plan.calibration = HIDDEN;
    const file = path.join(RESULTS, 'proof-plan.json');
    await writeFile(file, JSON.stringify(plan));
    const table = JSON.parse(execFileSync(NATIVE, ['table', file, '--form', 'json'], { encoding: 'utf8' }));
    const l = table.values.slice(1).map(({ lightness }) => lightness);
    const minutes = await page.$$eval('.step-table [aria-label^="Minutes of bite"]', (all) => all.map((input) => Number(input.value)));
    assert.deepEqual(minutes, plan.bites.map(({ bite_min }) => bite_min), 'the values of the plan are the steps');
    for (const [i, one] of l.entries()) await page.fill(`[aria-label="Reading of step ${i + 1}"]`, one.toFixed(1));
    await page.click('button:has-text("Find the constants")');
    await page.waitForSelector('.calibrate-found', { timeout: 120_000 });
    for (const [i, one] of (await found(page)).entries()) {
      const hidden = Object.values(HIDDEN)[i];
      assert.ok(one.low <= hidden && hidden <= one.high, `${Object.keys(HIDDEN)[i]} ${hidden} lies in ${one.low} to ${one.high}`);
    }
    await page.locator('#calibrate-plate').scrollIntoViewIfNeeded();
    await screenshot(page, 'calibrate-proof');
    await page.locator('.calibrate-amiss').scrollIntoViewIfNeeded();
    await screenshot(page, 'calibrate-proof-found');
    await assertAccessible(page);
    await page.click('[aria-label="What is read"] .word:has-text("a step plate")');
    // The readings of the step plate were kept aside.
    await page.waitForFunction(() => document.querySelector('[aria-label="Reading of step 1"]')?.value === '84');

    // Upside down: the corners are turned with one press.
    await page.click('.word:has-text("from a scan or photograph")');
    const picture = path.join(RESULTS, 'step-print-turned.png');
    await writeFile(picture, photograph([85, 74, 60, 44, 31, 22, 20, 27].reverse()));
    await page.setInputFiles('[aria-label="Picture of the print"]', picture);
    await page.waitForSelector('.corner');
    for (const [i, [x, y]] of CORNERS.entries()) {
      const corner = page.locator('.corner').nth(i);
      await corner.focus();
      for (let tries = 0; tries < 200; tries++) {
        const [, nx, ny] = /: (-?\d+), (-?\d+)/.exec(await corner.getAttribute('aria-label'));
        const [dx, dy] = [x - Number(nx), y - Number(ny)];
        if (dx === 0 && dy === 0) break;
        if (dx !== 0) await page.keyboard.press(`${Math.abs(dx) >= 10 ? 'Shift+' : ''}${dx > 0 ? 'ArrowRight' : 'ArrowLeft'}`);
        if (dy !== 0) await page.keyboard.press(`${Math.abs(dy) >= 10 ? 'Shift+' : ''}${dy > 0 ? 'ArrowDown' : 'ArrowUp'}`);
      }
    }
    await page.click('button:has-text("Read the steps")');
    await page.locator('.calibrate-picture [role=status]', { hasText: 'lies upside down' }).waitFor({ timeout: 60_000 });
    await screenshot(page, 'calibrate-upside-down');
    await page.click('button:has-text("Turn the corners and read again")');
    await page.locator('.calibrate-picture [role=status]:not(:has-text("upside down")):has-text("Read.")').waitFor({ timeout: 60_000 });
    const read = await page.$$eval('[aria-label^="Reading of step"]', (all) => all.map((input) => Number(input.value)));
    assert.ok(Math.abs(read[0] - 85) < 1.5 && Math.abs(read[7] - 27) < 1.5, `palest first: ${read}`);
  });
});
