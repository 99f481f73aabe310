// Somebody who has never seen the page: what it is, one's own picture, the first proof pulled, and ways on.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { onPage, PHONE, reckoned, assertAccessible } from './lib/page.mjs';
import { picture } from './lib/pictures.mjs';

/** Takes a picture by the large place for it. */
async function takeOwn(page, file) {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.locator('.welcome-picture').click()]);
  await chooser.setFiles(file);
}

/** From now on, notes what is said beneath the show, each line once: a line stands too briefly to be waited for. */
async function captions(page) {
  await page.evaluate(() => {
    window.captions = [];
    new MutationObserver(() => {
      const words = document.querySelector('.pull figcaption')?.innerText;
      if (words && window.captions.at(-1) !== words) window.captions.push(words);
    }).observe(document.body, { subtree: true, childList: true, characterData: true });
  });
  return () => page.evaluate(() => window.captions);
}

test('one picture, one action: the plate takes its shape, the plan its name, and the first proof is pulled once', () => onPage({ name: 'first', steps: 'one', first: true, motion: true }, async (page) => {
  await reckoned(page);
  assert.match(await page.locator('.welcome').innerText(), /what your aquatint plate will print.*before any copper is spent/s);
  await assertAccessible(page);
  const said = await captions(page);
  await takeOwn(page, picture('wide.png'));
  await page.waitForSelector('.pull');
  assert.equal(await page.locator('.welcome').count(), 0);
  assert.equal(await page.locator('.title-entry').inputValue(), 'wide');
  // 3 : 2, with about the area of the example's plate.
  await page.locator('#picture .step-result', { hasText: 'wide.png, 212 mm × 141 mm' }).waitFor({ state: 'attached' });
  await page.waitForSelector('.next-steps');
  const [dust, bake, ...rest] = await said();
  assert.deepEqual([dust, bake], ['Rosin dust falls on the copper', 'Heat melts it into islands']);
  assert.ok(rest.length > 3, 'a bite at least');
  assert.deepEqual(rest.slice(-3), ['Ink is rubbed in', 'The cloth takes it off the land', 'Damp paper lifts it out']);
  assert.deepEqual(rest.slice(0, -3), rest.slice(0, -3).map((_, i) => `Bite ${i + 1} deepens the pits`));
  assert.equal(await page.locator('.pull').count(), 0);
  await page.getByRole('button', { name: 'Change the minutes' }).click();
  assert.equal(await page.locator('#bites').getAttribute('data-open'), 'true');
  assert.equal(await page.locator('.next-steps').count(), 0);
  // A second picture is laid without a show, and a plate that is somebody's own stays as it is.
  await page.locator('#picture .step-name').click();
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByRole('button', { name: 'Choose a picture…' }).click()]);
  await chooser.setFiles(picture('photograph.png'));
  await page.locator('#picture .step-result', { hasText: 'photograph.png, 212 mm × 141 mm' }).waitFor({ state: 'attached' });
  assert.equal(await page.locator('.pull').count(), 0);
}));

test('the show is left by one press', () => onPage({ name: 'first-skip', steps: 'one', first: true, motion: true }, async (page) => {
  await reckoned(page);
  await takeOwn(page, picture('wide.png'));
  await page.getByRole('button', { name: 'skip' }).click();
  await page.waitForSelector('.next-steps');
  await page.getByRole('button', { name: 'dismiss' }).click();
  assert.equal(await page.locator('.next-steps').count(), 0);
  await page.reload();
  await reckoned(page);
  assert.equal(await page.locator('.pull, .next-steps').count(), 0, 'never shown twice unasked');
}));

test('who asks for stillness sees stills, on a phone as well', () => onPage({ name: 'first-still', size: PHONE, steps: 'one', first: true }, async (page) => {
  await reckoned(page);
  const place = await page.locator('.welcome-picture').boundingBox();
  assert.ok(place.y + place.height < PHONE.height / 2, `the place for a picture ends at ${place.y + place.height} px`);
  await takeOwn(page, picture('wide.png'));
  await page.locator('.pull figcaption', { hasText: 'Damp paper lifts it out' }).waitFor();
  assert.deepEqual(await page.locator('.pull figcaption').allInnerTexts(), [
    'Rosin dust falls on the copper', 'Heat melts it into islands', 'The bath bites between them', 'Ink is rubbed in', 'The cloth takes it off the land', 'Damp paper lifts it out',
  ]);
  await page.getByRole('button', { name: 'go to the proof' }).click();
  await page.waitForSelector('.next-steps');
}));
