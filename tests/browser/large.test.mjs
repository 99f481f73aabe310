// Pictures and files that are larger than they look: refused by their header, or read while the page goes on.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { deflateRawSync } from 'node:zlib';
import { onPage, reckoned } from './lib/page.mjs';
import { striped } from './lib/pictures.mjs';
import { drop, native, planInHand } from './lib/plans.mjs';

/** Longest that the page's own thread may be held up, ms: a suite that shares its cores waits for them, too. By hand, on cores of its own, 100. */
const MOST_MS = Number(process.env.MOST_MS ?? 400);
/** Side of a large picture that is read, pixels; by hand also 15 000, which takes a gigabyte. */
const SIDE_PX = Number(process.env.LARGE_PX ?? 8000);

const dropBytes = (page, name, bytes) => page.evaluate(([called, base64]) => {
  const data = new DataTransfer();
  data.items.add(new File([Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0))], called, { type: 'image/png' }));
  // Only what the page does with it counts, not what this test does to make it.
  setTimeout(() => {
    window.held = [];
    new PerformanceObserver((list) => { window.held.push(...list.getEntries().map(({ duration }) => duration)); }).observe({ type: 'longtask' });
    window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
  }, 200);
}, [name, Buffer.from(bytes).toString('base64')]);

/** How long the page's thread was held up at most since something was dropped, ms. */
const held = (page) => page.evaluate(() => Math.max(0, ...window.held));

test('a large picture and a file that swells do not hold the page up; one that no memory holds is refused by its size', { timeout: 240_000 }, () => onPage({ name: 'large' }, async (page) => {
  await reckoned(page);
  await page.locator('.grain', { hasText: 'Grain where you look' }).waitFor({ timeout: 60_000 });
  const before = await planInHand(page);
  await dropBytes(page, 'vast.png', striped(30_000, false));
  const refusal = page.locator('.notice', { hasText: '“vast.png” is 30000 × 30000 pixels. Unpacked they take 3.6 GB, which is more than this device or its browser can hold.' });
  await refusal.waitFor({ timeout: 20_000 });
  await refusal.getByRole('button', { name: 'dismiss' }).click();
  assert.deepEqual(await planInHand(page), before, 'the plan is as it was');

  await dropBytes(page, 'large.png', striped(SIDE_PX));
  await page.locator('.picture-name', { hasText: `large.png ${SIDE_PX} × ${SIDE_PX}` }).waitFor({ timeout: 120_000 });
  await page.locator('.notice', { hasText: 'megapixels; it was scaled to' }).waitFor();
  const by_picture = await held(page);
  assert.ok(by_picture <= MOST_MS, `held up for ${by_picture.toFixed(0)} ms by ${SIDE_PX}² pixels`);

  // A gigabyte of noughts, packed into a megabyte, where a picture of 2400 × 2400 should be.
  const plan = JSON.parse(await native('plan'));
  plan.picture.source = { file: 'bomb.png' };
  const lightness = deflateRawSync(Buffer.alloc(1e9)).toString('base64');
  await page.evaluate(() => { window.held = []; });
  await drop(page, 'bomb.json', JSON.stringify({ platewright_shelf: 1, plans: [{ name: 'Bomb', plan, picture: 'p' }], pictures: [{ id: 'p', name: 'bomb.png', width: 2400, height: 2400, lightness }] }));
  await page.locator('.shelf-said', { hasText: '1 plan was laid on the shelf. 1 came without its picture.' }).waitFor({ timeout: 60_000 });
  const by_file = await held(page);
  assert.ok(by_file <= MOST_MS, `held up for ${by_file.toFixed(0)} ms by a file`);
  if (process.env.TELL) console.log(`held up for ${by_picture.toFixed(0)} ms by ${SIDE_PX}² pixels, ${by_file.toFixed(0)} ms by a file`);
}));
