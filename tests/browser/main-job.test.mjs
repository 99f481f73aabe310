// The main job: a picture in, ground, bath and bites set, the proof and its numbers out; with a real
// photograph, with odd files, with numbers out of bounds. From the single file on disk, network off.

import assert from 'node:assert/strict';
import { readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { fromMenu, onPage, PHONE, reckoned, ROOT, screenshot, unfoldTable } from './lib/page.mjs';
import { picture } from './lib/pictures.mjs';
import { eventually } from './lib/waits.mjs';

/** A row of the value scale as numbers, paper first. */
async function row(page, name) {
  const cells = await page.locator('.scale-table tr', { has: page.locator('th', { hasText: new RegExp(`^${name}`) }) })
    .locator('td').evaluateAll((all) => all.map((cell) => cell.querySelector('input')?.value ?? cell.textContent));
  return cells.map((text) => Number(text.replace('–', '0')));
}

/** Waits until `read` gives something else than before, and returns it. */
function changed(read, before, what) {
  return eventually(read, (now) => JSON.stringify(now) !== JSON.stringify(before), `${what} changes`);
}

async function choosePicture(page, file) {
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'Choose a picture…' }).click();
  await (await chooser).setFiles(file);
}

/** A number of a canvas that changes with its pixels, and how much its greys differ. */
async function look(page, selector) {
  return page.locator(selector).first().evaluate((canvas) => {
    const small = new OffscreenCanvas(64, 64);
    const context = small.getContext('2d');
    context.drawImage(canvas, 0, 0, 64, 64);
    const { data } = context.getImageData(0, 0, 64, 64);
    let sum = 0, squares = 0, hash = 0;
    for (let i = 0; i < data.length; i += 4) {
      sum += data[i];
      squares += data[i] * data[i];
      hash = (hash * 31 + data[i]) | 0;
    }
    const n = data.length / 4;
    return { hash, spread: Math.sqrt(Math.max(0, squares / n - (sum / n) ** 2)) };
  });
}

const entry = (page, label) => page.getByRole('spinbutton', { name: label, exact: true });

async function type(page, label, text) {
  const field = entry(page, label);
  await field.fill(text);
  await field.press('Enter');
}

test('a photograph becomes a proof with numbers', () => onPage({ from: 'file', name: 'photograph' }, async (page, { context }) => {
  await reckoned(page);
  await unfoldTable(page);
  await context.setOffline(true);
  const lightness = () => row(page, 'L[*]');
  const shares = () => row(page, 'Of the plate');
  const harbour = await shares();
  const proofBefore = await look(page, '.proof canvas[role="img"]');
  await choosePicture(page, picture('photograph.png'));
  await page.waitForSelector('.picture-name:has-text("photograph.png")');
  const given = await changed(shares, harbour, 'the shares of the plate');
  assert.ok(Math.abs(given.reduce((a, b) => a + b) - 100) <= 4, `shares add up to the plate: ${given}`);
  assert.ok(given.every((share) => share < 60), `the thresholds suit the picture: ${given}`);
  const tones = await lightness();
  for (let i = 1; i < tones.length; i++) assert.ok(tones[i] < tones[i - 1], `values go from light to dark: ${tones}`);
  const proof = await changed(() => look(page, '.proof canvas[role="img"]'), proofBefore, 'the proof');
  assert.ok(proof.spread > 15, `the proof shows a picture (spread ${proof.spread})`);
  const tester = await look(page, '.tester-picture');
  assert.ok(tester.spread > 2, `the linen tester shows grain (spread ${tester.spread})`);
  const title = page.locator('.title-entry');
  assert.equal(await title.inputValue(), 'photograph', 'until a title is typed, it is the picture’s name');
  await page.getByRole('button', { name: 'Use the harbour again' }).click();
  assert.equal(await title.inputValue(), 'Harbour at dusk', 'and the example’s with the example');
  await title.fill('Sheds at low tide');
  await choosePicture(page, picture('photograph.png'));
  await page.waitForSelector('.picture-name:has-text("photograph.png")');
  assert.equal(await title.inputValue(), 'Sheds at low tide', 'a title that was typed stays');
  await screenshot(page, 'photograph');
}));

/** One change goes through, and undo takes it back. */
async function changeAndUndo(page) {
  const lightness = () => row(page, 'L[*]');
  const before = await lightness();
  const grain = await look(page, '.tester-picture');
  await type(page, 'Temperature', '14');
  const cold = await changed(lightness, before, 'the values');
  for (let i = 1; i < cold.length; i++) assert.ok(cold[i] >= before[i], `a cold bath prints lighter: ${before} to ${cold}`);
  await changed(() => look(page, '.tester-picture'), grain, 'the linen tester');
  await page.keyboard.press('Control+z');
  const again = await changed(lightness, cold, 'the values after undo');
  assert.deepEqual(again, before, 'undo brings the same plan back, and with it the same proof');
  assert.deepEqual(await changed(() => look(page, '.tester-picture'), null, 'the linen tester'), grain,
    'the same grains lie in the same places');
}

/** Numbers out of bounds get a sentence and lose nothing. */
async function outOfBounds(page) {
  const before = await row(page, 'L[*]');
  await type(page, 'Wait', '5000');
  await page.waitForSelector('text=/Wait is 5000 s; it must lie between 0 and 900 s/');
  assert.deepEqual(await row(page, 'L[*]'), before, 'the last good numbers stay');
  await entry(page, 'Wait').fill('soon');
  await page.waitForSelector('text=/Type a number/');
  await type(page, 'Wait', '60');
  await changed(() => row(page, 'L[*]'), before, 'the values');
}

/** The linen tester and a bite on the curve obey the keyboard. */
async function byKeyboard(page) {
  const before = await look(page, '.tester-picture');
  await page.locator('.tester-glass').focus();
  await page.keyboard.press('ArrowRight');
  await changed(() => look(page, '.tester-picture'), before, 'the linen tester');
  const minutes = await row(page, 'In the bath');
  await page.locator('.plot [role=slider]').last().focus();
  await page.keyboard.press('ArrowRight');
  await changed(() => row(page, 'In the bath'), minutes, 'the minutes');
}

test('one change goes through, and undo takes it back; the linen tester and a bite obey the keyboard; numbers out of bounds lose nothing', () => onPage({ from: 'file', name: 'change' }, async (page) => {
  await reckoned(page);
  await changeAndUndo(page);
  await unfoldTable(page);
  await byKeyboard(page);
  await outOfBounds(page);
}));

test('figures typed in one go all stand', () => onPage({ from: 'file', name: 'typed' }, async (page) => {
  await reckoned(page);
  // A plate's sides reach the plan only once a worker has fitted the crop.
  for (const [label, figures] of [['Width', '123'], ['Height', '145'], ['Wait', '105']]) {
    await entry(page, label).focus();
    await page.keyboard.type(figures);
    await page.keyboard.press('Enter');
    await eventually(() => entry(page, label).inputValue(), (shown) => Number(shown) === Number(figures), `${label} is what was typed`, 5);
  }
  await page.keyboard.press('Control+z');
  await eventually(() => entry(page, 'Wait').inputValue(), (shown) => shown === '30', 'an undo shows through', 5);
  await page.locator('#picture .step-result', { hasText: '123 mm × 145 mm' }).waitFor({ state: 'attached' });
}));

test('what is no picture gets a sentence', () => onPage({ from: 'file', name: 'no-picture' }, async (page) => {
  await reckoned(page);
  const before = await row(page, 'L[*]');
  for (const [file, words] of [['words.png', /picture/], ['empty.png', /picture|empty/]]) {
    await choosePicture(page, picture(file));
    const said = page.locator('[role=alert], .notice, .refused').filter({ hasText: file });
    await said.first().waitFor();
    assert.match(await said.first().textContent(), words, 'it says what a picture file is');
    assert.deepEqual(await row(page, 'L[*]'), before, 'the plan is as it was');
    assert.match(await page.locator('.picture-name').textContent(), /Harbour/, 'the harbour is still there');
  }
}));

test('pictures no plate can take are refused; a refusal goes with its cause; one of two files is taken', () => onPage({ from: 'file', name: 'refusals' }, async (page) => {
  await reckoned(page);
  const name = page.locator('.picture-name');
  const notice = page.locator('.notice');
  await choosePicture(page, picture('small.gif'));
  await name.filter({ hasText: 'small.gif 200 × 200' }).waitFor();
  await choosePicture(page, picture('thin.png'));
  await notice.filter({ hasText: /thin\.png” is 3 × 20000 pixels: one side is 6667 times the other.*Cut out.*as they were/ }).waitFor();
  assert.match(await name.textContent(), /small\.gif/, 'the old picture is kept');
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'Choose a picture…' }).click();
  assert.match(await (await chooser).element().getAttribute('accept'), /gif.*avif.*bmp/, 'what is read is offered');
  await (await chooser).setFiles(picture('small.bmp'));
  await name.filter({ hasText: 'small.bmp 210 × 200' }).waitFor();
  assert.equal(await notice.count(), 0, 'a refusal goes when another picture is taken');
  await choosePicture(page, picture('dot.png'));
  await notice.filter({ hasText: /dot\.png” is 5 × 9 pixels, too few/ }).waitFor();
  await page.getByRole('button', { name: 'undo', exact: true }).click();
  await notice.waitFor({ state: 'detached' });
  const [one, two] = await Promise.all(['small.gif', 'small.bmp'].map((file) => readFile(picture(file), 'base64')));
  await page.evaluate(async (files) => {
    const data = new DataTransfer();
    for (const [called, bytes] of files) data.items.add(new File([Uint8Array.from(atob(bytes), (c) => c.charCodeAt(0))], called));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
  }, [['first.gif', one], ['second.bmp', two]]);
  await name.filter({ hasText: 'first.gif' }).waitFor();
  assert.match(await notice.textContent(), /“first\.gif” was looked at, “second\.bmp” was not/, 'and said of the other');
  assert.ok(await page.evaluate(hatched) < 3, 'the crop frame shows level hatching as the grey it is from afar');
}));

/**
 * Drops a picture of nearly level hatching on the page, and gives the largest difference (of 255) between a pixel of
 * its crop frame and the mean light of the hatching under it. Runs in the page.
 */
async function hatched() {
  const [width, height] = [1210, 907];
  const canvas = new OffscreenCanvas(width, height);
  const on = canvas.getContext('2d');
  const pixels = on.createImageData(width, height);
  const dark = (x, y) => (y + 0.07 * x) % 6 < 2;
  for (let i = 0; i < width * height; i++) {
    pixels.data.fill(dark(i % width, Math.floor(i / width)) ? 0 : 255, 4 * i, 4 * i + 3);
    pixels.data[4 * i + 3] = 255;
  }
  on.putImageData(pixels, 0, 0);
  const data = new DataTransfer();
  data.items.add(new File([await canvas.convertToBlob()], 'hatching.png', { type: 'image/png' }));
  window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
  let small = null;
  while (!document.querySelector('.picture-name').textContent.includes('hatching') || small?.height !== small?.clientHeight || !small) {
    await new Promise((resolve) => { requestAnimationFrame(resolve); });
    small = document.querySelector('.crop-picture canvas');
    if (small && Math.abs(small.width / small.height - width / height) > 0.02) small = null;
  }
  const seen = small.getContext('2d').getImageData(0, 0, small.width, small.height).data;
  const [across, down] = [width / small.width, height / small.height];
  const part = (from, to, at) => Math.max(0, Math.min(to, at + 1) - Math.max(from, at));
  let worst = 0;
  for (let v = 0; v < small.height; v += 7) {
    for (let u = 0; u < small.width; u++) {
      let light = 0;
      for (let y = Math.floor(v * down); y < (v + 1) * down; y++) {
        for (let x = Math.floor(u * across); x < (u + 1) * across; x++) {
          if (!dark(x, y)) light += part(u * across, (u + 1) * across, x) * part(v * down, (v + 1) * down, y);
        }
      }
      const grey = 255 * (1.055 * (light / (across * down)) ** (1 / 2.4) - 0.055);
      worst = Math.max(worst, Math.abs(seen[4 * (v * small.width + u)] - grey));
    }
  }
  return worst;
}

test('a turned photograph stands upright, a clear one is paper, a large one is scaled', () => onPage({ from: 'file', name: 'odd' }, async (page) => {
  await reckoned(page);
  await unfoldTable(page);
  await choosePicture(page, picture('turned.jpg'));
  await page.waitForSelector('.picture-name:has-text("300 × 512")');
  await choosePicture(page, picture('clear.png'));
  await page.waitForSelector('.picture-name:has-text("clear.png")');
  await changed(async () => (await row(page, 'Of the plate'))[0] === 100, false, 'the share of the paper');
  await choosePicture(page, picture('large.png'));
  await page.waitForSelector('.picture-name:has-text("large.png")');
  await page.waitForSelector('text=/megapixel/');
}));

test('a saved plan opens again; a broken one lists what is wrong', () => onPage({ from: 'file', name: 'plan-file' }, async (page) => {
  await reckoned(page);
  await type(page, 'Wait', '75');
  const values = await changed(() => row(page, 'L[*]'), null, 'the values');
  const saved = page.waitForEvent('download');
  await fromMenu(page, 'save plan');
  const json = await readFile(await (await saved).path(), 'utf8');
  assert.equal(JSON.parse(json).dust.wait_s, 75, 'the file holds the change');
  await type(page, 'Wait', '30');
  await changed(() => row(page, 'L[*]'), values, 'the values');
  const folder = path.join(ROOT, 'test-results');
  const good = path.join(folder, 'good.platewright.json');
  const bad = path.join(folder, 'bad.platewright.json');
  await writeFile(good, json);
  await writeFile(bad, json.replace('"wait_s": 75', '"wait_s": -3'));
  const open = async (file) => {
    const chooser = page.waitForEvent('filechooser');
    await fromMenu(page, 'open…');
    await (await chooser).setFiles(file);
  };
  await open(bad);
  await page.waitForSelector('text=/Wait is -3 s; it must lie between/');
  assert.equal(await entry(page, 'Wait').inputValue(), '30', 'the plan in hand is kept');
  await open(good);
  await changed(() => entry(page, 'Wait').inputValue(), '30', 'the wait');
  assert.equal(await entry(page, 'Wait').inputValue(), '75', 'the saved plan is back');
}));

test('every grain of a small plate comes in and is saved at its true size', () => onPage({ from: 'file', name: 'save' }, async (page) => {
  await reckoned(page);
  await type(page, 'Width', '24');
  await type(page, 'Height', '32');
  await page.waitForSelector('.grain:has-text("Proof complete")', { timeout: 60_000 });
  const saved = page.waitForEvent('download');
  await fromMenu(page, 'save proof');
  const png = await readFile(await (await saved).path());
  const at = png.indexOf('pHYs');
  assert.ok(at > 0, 'the file knows its size');
  assert.equal(png.readUInt32BE(at + 4), 20_000, '50 µm to a pixel');
  assert.equal(png.readUInt32BE(16), (24 + 70) * 20, 'plate and margins, in pixels');
}));

test('the main job on a phone', () => onPage({ from: 'file', size: PHONE, name: 'phone' }, async (page) => {
  await reckoned(page);
  await unfoldTable(page);
  const shares = await row(page, 'Of the plate');
  await choosePicture(page, picture('photograph.webp'));
  await page.waitForSelector('.picture-name:has-text("photograph.webp")');
  await changed(() => row(page, 'Of the plate'), shares, 'the shares of the plate');
  await screenshot(page, 'photograph-phone');
}));
