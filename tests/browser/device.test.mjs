// The page on a device: it can be installed, opens without a network, a newer one waits to be asked for, and workers that the
// system ends are replaced.

import assert from 'node:assert/strict';
import { readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { DIST, onPage, reckoned, RECKONED, SINGLE_FILE } from './lib/page.mjs';
import { setNumber } from './lib/plans.mjs';
import { eventually, written } from './lib/waits.mjs';

/** The keeper has taken the page over. */
const controlled = (page) => eventually(
  () => page.evaluate(async () => (await navigator.serviceWorker.getRegistration())?.active?.state ?? 'none'),
  (state) => state === 'activated', 'the page is kept', 60,
);

test('kept once, the page opens without a network, with the plan that was left', { timeout: 120_000 }, () => onPage({ name: 'offline', kept: true }, async (page, { context }) => {
  await reckoned(page);
  await setNumber(page, 'Wait', 65);
  await written(page, ({ dust }) => dust.wait_s === 65, 'the plan is kept');
  await controlled(page);
  await context.setOffline(true);
  await page.reload();
  await page.waitForSelector(RECKONED, { timeout: 60_000 });
  assert.equal(await page.getByRole('spinbutton', { name: 'Wait', exact: true }).inputValue(), '65', 'the plan that was left');
  await page.getByRole('button', { name: 'learn', exact: true }).click();
  await page.getByRole('button', { name: 'glossary…' }).click();
  await page.getByRole('heading', { name: 'Glossary' }).waitFor();
}));

test('a newer page waits, is told of, and is taken when asked for', { timeout: 120_000 }, async () => {
  const file = path.join(DIST, 'keeper.js');
  const today = await readFile(file, 'utf8');
  try {
    await onPage({ name: 'newer', kept: true }, async (page) => {
      await reckoned(page);
      await controlled(page);
      // Only a page that opens from what is kept can have a newer one beside it.
      await page.reload();
      await reckoned(page);
      await writeFile(file, today.replace(/"name":"\w+"/, '"name":"tomorrow"'));
      await page.evaluate(async () => { await (await navigator.serviceWorker.getRegistration()).update(); });
      await page.getByText('A newer Platewright is there').waitFor({ timeout: 60_000 });
      const names = () => page.evaluate(() => caches.keys());
      assert.equal((await names()).length, 2, 'both are kept meanwhile');
      await page.getByRole('button', { name: 'use it now' }).click();
      // While the page loads anew there is nobody to ask.
      await eventually(() => names().catch(() => []), (kept) => kept.join() === 'platewright-tomorrow', 'the newer one alone is kept');
      await reckoned(page);
    });
  } finally {
    await writeFile(file, today);
  }
});

test('the manifest names icons that are there, and the single file has none of it', async () => {
  const manifest = JSON.parse(await readFile(path.join(DIST, 'manifest.webmanifest'), 'utf8'));
  assert.equal(manifest.display, 'standalone', 'a program of its own');
  for (const { src, sizes, type } of manifest.icons) {
    const bytes = await readFile(path.join(DIST, src));
    if (type !== 'image/png') continue;
    // ISO/IEC 15948, 11.2.2: width and height stand in the first chunk.
    assert.equal(`${bytes.readUInt32BE(16)}x${bytes.readUInt32BE(20)}`, sizes, src);
  }
  const page = await readFile(SINGLE_FILE, 'utf8');
  assert.doesNotMatch(page, /rel="manifest"|keeper\.js"|icons\//, 'the single file');
});

/** Workers that reckon; those that only beat for them know no Rust. */
async function reckoners(page) {
  const all = await Promise.all(page.workers().map(async (worker) => (await worker.evaluate('typeof wasm_bindgen').catch(() => '') === 'undefined' ? null : worker)));
  return all.filter((worker) => worker !== null);
}

for (const locks of [true, false]) test(`workers that are ended without a word are replaced, and the page goes on (${locks ? 'with locks' : 'as on plain http, without'})`, { timeout: 120_000 }, () => onPage({ name: 'silent' }, async (page, { context }) => {
  if (!locks) {
    await context.addInitScript(() => { delete Navigator.prototype.locks; });
    await page.reload();
  }
  await reckoned(page);
  const before = await reckoners(page);
  assert.ok(before.length >= 2, `${before.length} workers`);
  if (!locks) {
    await page.locator('.grain', { hasText: 'Grain where you look' }).waitFor({ timeout: 60_000 });
    // Busy for longer than a silence may last, and not taken for ended.
    let begun = 0;
    page.on('worker', () => { begun += 1; });
    await Promise.all(before.map((worker) => worker.evaluate(() => { for (const end = performance.now() + 8000; performance.now() < end;); })));
    assert.equal(begun, 0, 'none was replaced');
    assert.equal(await page.locator('.notice').count(), 0, 'nothing was said');
  }
  // As the system does it when memory is short: nobody is told.
  await Promise.all(before.map((worker) => worker.evaluate(() => self.close()).catch(() => {})));
  await setNumber(page, 'Wait', 90);
  const covered = () => page.locator('#dust .step-result').textContent();
  const was = await covered();
  await eventually(covered, (now) => now !== was, 'the new plan’s numbers come from new workers', 12);
  await page.locator('.grain', { hasText: 'Grain where you look' }).waitFor({ timeout: 60_000 });
}));
