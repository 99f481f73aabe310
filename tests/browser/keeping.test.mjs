// Stores that never answer or are full, files that come as the page is closed, more plans than a hundred shelves: nothing is lost, and what can't be kept is said.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { onPage, reckoned, screenshot } from './lib/page.mjs';
import { striped } from './lib/pictures.mjs';
import { drop, dropPicture, native, planInHand, setNumber } from './lib/plans.mjs';
import { eventually, pictureWritten, written } from './lib/waits.mjs';

const dropBytes = (page, name, bytes) => page.evaluate(([called, base64]) => {
  const data = new DataTransfer();
  data.items.add(new File([Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))], called, { type: 'image/png' }));
  window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
}, [name, Buffer.from(bytes).toString('base64')]);

test('a store that does not answer keeps nobody out, and gives back what it has once it does', { timeout: 120_000 }, () => onPage({ name: 'keeping-silent' }, async (page, { context }) => {
  await reckoned(page);
  await dropPicture(page);
  await setNumber(page, 'Wait', 47);
  await written(page, ({ dust }) => dust.wait_s === 47);
  const mine = await planInHand(page);
  // Every request waits until the test lets it go on.
  await context.addInitScript(() => {
    const own = IDBFactory.prototype.open;
    const waiting = [];
    let awake = false;
    window.storeWakes = () => { awake = true; for (const request of waiting) request.dispatchEvent(new Event('success')); };
    IDBFactory.prototype.open = function open(...args) {
      const request = own.apply(this, args);
      // Heard before whoever asked: the answer goes no further.
      request.addEventListener('success', (event) => {
        if (awake) return;
        event.stopImmediatePropagation();
        waiting.push(request);
      });
      return request;
    };
  });
  await page.reload();
  await reckoned(page);
  const notice = page.locator('.notice', { hasText: 'This browser’s store does not answer' });
  await notice.waitFor();
  assert.match(await notice.textContent(), /Your plan is kept all the same/);
  assert.deepEqual(await planInHand(page), mine, 'the plan is there');
  await page.getByRole('spinbutton', { name: 'Wait', exact: true }).fill('48');
  await written(page, ({ dust }) => dust.wait_s === 48);
  await screenshot(page, 'keeping-silent');
  // Awake, it gives the picture that the plan waited for.
  await page.evaluate(() => window.storeWakes());
  await notice.waitFor({ state: 'detached' });
  await eventually(() => page.locator('.crop-picture canvas').evaluateAll((all) => all.map(({ width, height }) => `${width} × ${height}`).join()), (size) => size !== '', 'the picture');
  await written(page, ({ dust }, kept) => dust.wait_s === 48 && kept.picture !== null, 'the draft names its picture');
  await eventually(async () => (await planInHand(page)).picture, ({ crop, thresholds_l }) => JSON.stringify([crop, thresholds_l]) === JSON.stringify([mine.picture.crop, mine.picture.thresholds_l]), 'crop and values are as they were');
}));

test('a picture is there after a reload that comes while it is being read; one that the store refuses is saved with its plan', { timeout: 120_000 }, () => onPage({ name: 'keeping-reload' }, async (page, { context }) => {
  await reckoned(page);
  await dropBytes(page, 'fine.png', striped(5000));
  await page.waitForTimeout(250);
  await page.reload();
  await reckoned(page);
  await page.locator('.picture-name', { hasText: 'fine.png' }).waitFor();
  await pictureWritten(page, 'fine.png');
  // What came is let go of once the plan has it.
  const left = () => page.evaluate(async () => {
    const asked = indexedDB.open('platewright');
    const store = await new Promise((resolve) => { asked.onsuccess = () => resolve(asked.result); });
    const keys = store.transaction('pictures').objectStore('pictures').getAllKeys();
    const all = await new Promise((resolve) => { keys.onsuccess = () => resolve(keys.result); });
    store.close();
    return all.filter((key) => key.startsWith('coming:')).length;
  });
  await eventually(left, (count) => count === 0, 'nothing is left coming');

  // A store that has no room for another picture: what is offered saves that, too.
  await context.addInitScript(() => {
    const own = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function put(...args) {
      if (this.name === 'pictures') throw new DOMException('full', 'QuotaExceededError');
      return own.apply(this, args);
    };
  });
  await page.reload();
  await reckoned(page);
  await page.locator('.picture-name', { hasText: 'fine.png 5000 × 5000' }).waitFor();
  await dropBytes(page, 'turned.png', striped(300));
  // It may be refused while it is still being read.
  await page.locator('.picture-name', { hasText: 'turned.png' }).waitFor();
  const notice = page.locator('.notice', { hasText: 'does not keep the picture: its store for this page is full' });
  const [file] = await Promise.all([page.waitForEvent('download'), notice.getByRole('button', { name: 'save plan and picture' }).click()]);
  const { plans, pictures } = JSON.parse(readFileSync(await file.path()));
  assert.deepEqual([plans[0].plan.picture.source.file, pictures.map(({ name }) => name)], ['turned.png', ['turned.png']], 'plan and picture');
  // It is said of the next picture, too.
  await notice.getByRole('button', { name: 'dismiss' }).click();
  await notice.waitFor({ state: 'detached' });
  await dropBytes(page, 'next.png', striped(200));
  await page.locator('.picture-name', { hasText: 'next.png' }).waitFor();
  await notice.waitFor();
}));

test('the shelf holds more than 500 plans, says when it is full, and its file comes in whole', { timeout: 240_000 }, () => onPage({ name: 'keeping-shelf' }, async (page, { context }) => {
  await reckoned(page);
  const plan = JSON.parse(await native('plan'));
  const plans = Array.from({ length: 540 }, (_, i) => ({ name: `Plan ${i}`, plan: { ...plan, title: `Plan ${i}` }, picture: null }));
  const file = (of) => JSON.stringify({ platewright_shelf: 1, plans: of, pictures: [] });
  await drop(page, 'many.json', file(plans));
  await page.locator('.shelf-said', { hasText: '540 plans were laid on the shelf.' }).waitFor({ timeout: 60_000 });
  await page.reload();
  await reckoned(page);
  const count = () => page.locator('.shelf-plan').count();
  await eventually(count, (now) => now === 540, 'all of them after a reload');
  await context.addInitScript(() => {
    const own = IDBObjectStore.prototype.put;
    let room = 3;
    IDBObjectStore.prototype.put = function put(what, ...rest) {
      if (this.name !== 'shelf' || what.small) return own.call(this, what, ...rest);
      if (room-- > 0) return own.call(this, what, ...rest);
      throw new DOMException('full', 'QuotaExceededError');
    };
  });
  await page.reload();
  await reckoned(page);
  await page.keyboard.press('Escape');
  await drop(page, 'more.json', file(plans.slice(0, 10)));
  await page.locator('.shelf-said', { hasText: 'The shelf is full: 6 stayed in the file.' }).waitFor({ timeout: 60_000 });
  await page.keyboard.press('Escape');
  await page.locator('.notice', { hasText: 'The shelf is full: this browser gives the page no more room.' }).waitFor();
}));
