// Pictures and files that are larger than they look: refused by their header, or read while the page goes on.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { crc32, deflateRawSync, deflateSync } from 'node:zlib';
import { onPage, reckoned } from './lib/page.mjs';
import { drop, native, planInHand } from './lib/plans.mjs';

/** Longest that the page's own thread may be held up, ms: a suite that shares its cores waits for them, too. By hand, on cores of its own, 100. */
const MOST_MS = Number(process.env.MOST_MS ?? 400);
/** Side of a large picture that is read, pixels; by hand also 15 000, which takes a gigabyte. */
const SIDE_PX = Number(process.env.LARGE_PX ?? 8000);

/** A PNG (ISO/IEC 15948) of one bit a pixel, in stripes; `whole` or only as far as its header. */
function png(side, whole = true) {
  const chunk = (type, data) => {
    const body = Buffer.concat([Buffer.from(type), data]);
    const out = Buffer.alloc(body.length + 8);
    out.writeUInt32BE(data.length);
    body.copy(out, 4);
    out.writeUInt32BE(crc32(body), body.length + 4);
    return out;
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(side);
  head.writeUInt32BE(side, 4);
  head[8] = 1;
  const wide = 1 + Math.ceil(side / 8);
  const rows = Buffer.alloc(whole ? wide * side : wide, 0);
  for (let y = 0; y * wide < rows.length; y++) rows.fill(y % 200 < 100 ? 0xff : 0x0f, y * wide + 1, (y + 1) * wide);
  return Buffer.concat([Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]), chunk('IHDR', head), chunk('IDAT', deflateSync(rows, { level: 1 })), chunk('IEND', Buffer.alloc(0))]);
}

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
  await dropBytes(page, 'vast.png', png(30_000, false));
  const refusal = page.locator('.notice', { hasText: '“vast.png” is 30000 × 30000 pixels. Unpacked they take 3.6 GB, which is more than this device or its browser can hold.' });
  await refusal.waitFor({ timeout: 20_000 });
  await refusal.getByRole('button', { name: 'dismiss' }).click();
  assert.deepEqual(await planInHand(page), before, 'the plan is as it was');

  await dropBytes(page, 'large.png', png(SIDE_PX));
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
