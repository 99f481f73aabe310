// Lines etched before the ground: chosen as a second picture, printed with the tone and apart from it to
// the very dots of the native program, kept through a reload, undone.

import assert from 'node:assert/strict';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, ROOT, screenshot } from './lib/page.mjs';
import { fingerprint, greyPixels, within } from './lib/png.mjs';
import { native, planInHand } from './lib/plans.mjs';
import { eventually, reaches, written } from './lib/waits.mjs';

const FOLDER = path.join(ROOT, 'test-results/lines');

/** A PNG of strokes and a circle on white, drawn by the browser. */
async function strokes(page, width, height) {
  const letters = await page.evaluate(([w, h]) => {
    const canvas = document.createElement('canvas');
    Object.assign(canvas, { width: w, height: h });
    const on = canvas.getContext('2d');
    on.fillStyle = '#fff';
    on.fillRect(0, 0, w, h);
    on.lineWidth = w / 110;
    for (let x = w / 12; x < w; x += w / 12) {
      on.beginPath();
      on.moveTo(x, h / 20);
      on.quadraticCurveTo(x + w / 8, h / 2, x, (h * 19) / 20);
      on.stroke();
    }
    on.beginPath();
    on.arc(w / 2, h / 2, w / 3, 0, 7);
    on.stroke();
    return canvas.toDataURL('image/png').split(',')[1];
  }, [width, height]);
  return Buffer.from(letters, 'base64');
}

async function choose(page, button, name, buffer) {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: button }).click()]);
  await chooser.setFiles({ name, mimeType: 'image/png', buffer });
}

async function savedProof(page) {
  await page.waitForSelector('.grain:has-text("Proof complete")', { timeout: 60_000 });
  const [saved] = await Promise.all([page.waitForEvent('download'), fromMenu(page, 'save proof')]);
  // 2 mm of margin at 50 µm.
  return fingerprint(within(greyPixels(readFileSync(await saved.path())), 40));
}

async function nativeProof(print) {
  const proof = path.join(FOLDER, `${print}.png`);
  await native('proof', path.join(FOLDER, 'plan.json'), '--lines', path.join(FOLDER, 'lines.png'), '--print', print, '-o', proof, '--px', '5');
  return fingerprint(greyPixels(readFileSync(proof)));
}

test('lines and tone print together and apart', { timeout: 180_000 }, () => onPage({ name: 'lines' }, async (page) => {
  await reckoned(page);
  const harbour = JSON.parse(await native('plan'));
  const small = { ...harbour, title: 'With lines', plate: { ...harbour.plate, width_mm: 20, height_mm: 20 }, paper: { ...harbour.paper, margin_mm: 2 } };
  await page.evaluate((json) => {
    const data = new DataTransfer();
    data.items.add(new File([json], 'lines.json', { type: 'application/json' }));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
  }, JSON.stringify(small));
  await eventually(() => page.title(), (title) => title.startsWith('With lines'), 'the plan is taken in hand');
  await page.getByRole('button', { name: 'Begin on a plate with lines…' }).click();
  const picture = await strokes(page, 300, 300);
  await choose(page, 'Choose a picture of lines…', 'pen.png', picture);
  await page.locator('.lines-facts').waitFor();
  const { shown, pixels } = await page.locator('.lines-picture canvas').evaluate((canvas) => ({ shown: canvas.getBoundingClientRect().height, pixels: canvas.height }));
  assert.equal(pixels, shown, 'the small picture of the lines is shown pixel by pixel, not every so many');
  // 30 min at 1.0 µm/min × 0.998.
  assert.match(await page.locator('.lines-facts').innerText(), /they are 30 µm deep and 60 µm wider than drawn/, 'what the bite comes to');
  const minutes = page.getByRole('spinbutton', { name: 'Bite of the lines' });
  await minutes.fill('50');
  await minutes.press('Enter');
  await page.waitForSelector('.lines-facts:has-text("50 µm deep")');
  await assertAccessible(page);
  const plan = await planInHand(page);
  assert.deepEqual(plan.lines, { picture: 'pen.png', crop: { left: 0, top: 0, width: 1, height: 1 }, open_below_l: 50, bite_min: 50 }, 'in the plan');
  mkdirSync(FOLDER, { recursive: true });
  writeFileSync(path.join(FOLDER, 'plan.json'), JSON.stringify(plan));
  writeFileSync(path.join(FOLDER, 'lines.png'), picture);
  const both = await nativeProof('both');
  assert.equal(await savedProof(page), both, 'lines and tone, dot for dot as natively');
  await page.locator('.lines').scrollIntoViewIfNeeded();
  await screenshot(page, 'lines');
  // Watched, the lines come first, and the table says that it leaves them out.
  await page.locator('.scale-scope', { hasText: 'Tones of the ground, away from the etched lines.' }).waitFor();
  await fromMenu(page, 'watch it happen…');
  await page.locator('.watch-sentence', { hasText: '0 min in the bath' }).waitFor({ timeout: 60_000 });
  assert.deepEqual(await page.locator('.watch-parts button').allTextContents(), ['etched lines', 'first ground', 'proof'], 'lines, ground, proof');
  await page.keyboard.press('Escape');
  await reaches(page, 'every-grain', () => page.getByRole('radio', { name: 'lines alone' }).check({ force: true }));
  const alone = await savedProof(page);
  assert.notEqual(alone, both, 'without the tone');
  assert.equal(alone, await nativeProof('lines'), 'the lines alone, dot for dot as natively');

  // Left and come back to.
  await written(page, ({ lines }) => lines?.bite_min === 50);
  await page.reload();
  await reckoned(page);
  await page.locator('.lines-facts').waitFor();
  assert.match(await page.locator('.lines-facts').innerText(), /50 µm deep/, 'kept through a reload, picture and all');
  // Another picture of the same name stands beside the first.
  await choose(page, 'Choose other lines…', 'pen.png', await strokes(page, 200, 200));
  await page.locator('.lines .picture-name', { hasText: 'pen (2).png' }).waitFor();
  await page.getByRole('button', { name: 'Take the lines out' }).click();
  await page.locator('.lines .picture-name').waitFor({ state: 'detached' });
  assert.equal((await planInHand(page)).lines, undefined, 'none in the plan');
  const undo = page.getByRole('button', { name: 'undo' });
  await undo.click();
  await undo.click();
  await page.locator('.lines .picture-name', { hasText: 'pen.png' }).waitFor();
  assert.deepEqual((await planInHand(page)).lines, plan.lines, 'undone to the first lines');
  await page.setViewportSize(PHONE);
  await page.locator('.lines').scrollIntoViewIfNeeded();
  await screenshot(page, 'lines-phone');
}));

test('a link with lines whose picture is not here says so', async () => {
  const plan = JSON.parse(await native('plan'));
  plan.lines = { picture: 'far-away.png', crop: plan.picture.crop, open_below_l: 50, bite_min: 20 };
  mkdirSync(FOLDER, { recursive: true });
  writeFileSync(path.join(FOLDER, 'link.json'), JSON.stringify(plan));
  const link = (await native('link', 'make', path.join(FOLDER, 'link.json'))).trim();
  await onPage({ hash: `#${link}`, name: 'lines-link' }, async (page) => {
    await reckoned(page);
    await page.getByText('The picture of its lines, “far-away.png”, did not come with it').waitFor();
    await page.getByText('is not here, and nothing of them is printed').waitFor();
    assert.deepEqual((await planInHand(page)).lines, plan.lines, 'the plan keeps them');
    await fromMenu(page, 'share…');
    await page.locator('.share-lines', { hasText: 'The picture of the etched lines, “far-away.png”, does not go into a link' }).waitFor();
  });
});
