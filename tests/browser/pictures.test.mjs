// A picture larger than is read of a whole one: the page and the native program lay it on the plate alike, fitted
// by one rule and dot for dot; a close crop comes from the full picture, also after a reload and from a file.

import assert from 'node:assert/strict';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { fromMenu, onPage, reckoned, ROOT } from './lib/page.mjs';
import { picture } from './lib/pictures.mjs';
import { native, planInHand } from './lib/plans.mjs';
import { fingerprint, greyPixels, within } from './lib/png.mjs';
import { eventually, pictureWritten, written } from './lib/waits.mjs';

const FOLDER = path.join(ROOT, 'test-results/read');
/** Margin of the sheet in dots of the saved proof: 2 mm at 50 µm. */
const MARGIN_PX = 40;

async function drop(page, name, bytes, type) {
  await page.evaluate(([called, base64, kind]) => {
    const data = new DataTransfer();
    data.items.add(new File([Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))], called, { type: kind }));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
  }, [name, Buffer.from(bytes).toString('base64'), type]);
}

async function savedProof(page) {
  await page.waitForSelector('.grain:has-text("Proof complete")', { timeout: 60_000 });
  const [saved] = await Promise.all([page.waitForEvent('download'), fromMenu(page, 'save proof')]);
  return fingerprint(within(greyPixels(readFileSync(await saved.path())), MARGIN_PX));
}

function planFile(name, plan) {
  mkdirSync(FOLDER, { recursive: true });
  const file = path.join(FOLDER, `${name}.json`);
  writeFileSync(file, JSON.stringify(plan));
  return file;
}

async function nativeProof(plan, of) {
  const proof = path.join(FOLDER, 'proof.png');
  await native('proof', planFile('plan', plan), '--picture', picture(of), '-o', proof, '--px', '5');
  return fingerprint(greyPixels(readFileSync(proof)));
}

/** The page prints first from what it holds and then from the full picture: waits for the proof that is wanted. */
function printed(page, wanted, what) {
  return eventually(() => savedProof(page), (now) => now === wanted, what, 90);
}

test('a large picture is read as natively, dot for dot', { timeout: 400_000 }, () => onPage({ name: 'read' }, async (page) => {
  await reckoned(page);
  const small = JSON.parse(await native('plan'));
  small.title = 'Read alike';
  Object.assign(small.plate, { width_mm: 24, height_mm: 32 });
  small.paper.margin_mm = 2;
  await drop(page, 'small.json', JSON.stringify(small), 'application/json');
  await eventually(() => page.title(), (title) => title.startsWith('Read alike'), 'the plan is taken in hand');
  await drop(page, 'fine.png', readFileSync(picture('fine.png')), 'image/png');
  await page.locator('.picture-name', { hasText: 'fine.png 3600 × 2700' }).waitFor();
  await written(page, ({ picture: { thresholds_l } }) => JSON.stringify(thresholds_l) !== JSON.stringify(small.picture.thresholds_l), 'values spaced for the picture');
  await pictureWritten(page, 'fine.png');
  await written(page, (plan) => plan.picture.made_for !== undefined, 'what the picture is like');

  // Crop, thresholds and what the picture is like: by one rule each.
  const fitted = await planInHand(page);
  const link = (await native('link', 'make', planFile('small', small), '--picture', picture('fine.png'), '--fit')).trim();
  const natively = JSON.parse(await native('link', 'read', link));
  assert.deepEqual(fitted.picture.thresholds_l, natively.picture.thresholds_l, 'thresholds suggested alike');
  assert.deepEqual(fitted.picture.made_for, natively.picture.made_for, 'known again alike');
  for (const side of ['left', 'top', 'width', 'height']) {
    assert.ok(Math.abs(fitted.picture.crop[side] - natively.picture.crop[side]) < 1e-6, `the crop’s ${side} alike`);
  }
  await printed(page, await nativeProof(fitted, 'fine.png'), 'the widest crop as natively');

  // Eight steps closer, and to the right.
  for (let i = 0; i < 8; i++) await page.locator('.crop-frame').press('+');
  await page.locator('.crop-frame').press('ArrowRight');
  await written(page, ({ picture: { crop } }) => crop.left > fitted.picture.crop.left && crop.width < 0.45 * fitted.picture.crop.width, 'a close crop');
  const close = await planInHand(page);
  const expected = await nativeProof(close, 'fine.png');
  await printed(page, expected, 'a close crop as natively');

  // Kept with its file: the same proof when the page is opened again, and from a file of plan and picture.
  await written(page, ({ picture: { crop } }) => crop.width === close.picture.crop.width);
  await page.reload();
  await reckoned(page);
  await printed(page, expected, 'the same after a reload');
  await fromMenu(page, 'share…');
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save it with its picture' }).click()]);
  const file = readFileSync(await download.path());
  const [filed] = JSON.parse(file).pictures;
  assert.deepEqual(filed.file_px, [3600, 2700], 'the file tells the size');
  assert.ok(Buffer.from(filed.file, 'base64').equals(readFileSync(picture('fine.png'))), 'and holds the picture’s own file');
}));
