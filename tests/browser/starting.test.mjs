// Every part of starting that does not come, or is not what it should be, has its sentence and a way on; nothing is lost by it.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { DIST, onPage, openMenu, reckoned, RECKONED, screenshot } from './lib/page.mjs';
import { openPanel, setNumber } from './lib/plans.mjs';
import { eventually, written } from './lib/waits.mjs';

/** What the browser itself says of parts that these tests spoil. */
const SPOILED = [/Failed to load resource/, /Unexpected end of input/, /Failed to load module script/, /SyntaxError/, /MIME type/, /Refused to (apply|execute)/];

const HOW = {
  gone: (route) => route.fulfill({ status: 404, body: 'not here' }),
  'a page of the host': (route) => route.fulfill({ status: 200, contentType: 'text/html', body: '<!doctype html><title>Not found</title>' }),
  'cut short': async (route) => {
    const file = path.join(DIST, new URL(route.request().url()).pathname);
    const bytes = await readFile(file);
    await route.fulfill({ status: 200, contentType: file.endsWith('.wasm') ? 'application/wasm' : 'text/javascript', body: bytes.subarray(0, Math.floor(bytes.length * 0.6)) });
  },
  'no network': (route) => route.abort('internetdisconnected'),
};

const PARTS = [
  ['**/assets/page-*.js', /^The script of the page/, ['gone', 'a page of the host', 'cut short']],
  ['**/assets/plate-worker-*.js', /^The script that does the calculations/, ['a page of the host', 'cut short', 'no network']],
  ['**/assets/plate-*.wasm', /^The part that calculates the plate/, ['gone', 'a page of the host', 'cut short']],
];

const fault = (page) => page.locator('#fault p').textContent();

test('a part of starting that is missing or damaged is named, and trying again opens the page on the same plan', { timeout: 240_000 }, () => onPage({ name: 'starting', allow: SPOILED }, async (page, { context }) => {
  await reckoned(page);
  await setNumber(page, 'Wait', 47);
  await written(page, ({ dust }) => dust.wait_s === 47);
  for (const [part, words, ways] of PARTS) for (const how of ways) {
    await context.route(part, HOW[how]);
    await page.reload();
    const said = await fault(page);
    assert.match(said, words, `${part}, ${how}`);
    assert.match(said, how === 'cut short' || (how.startsWith('a page') && !part.includes('/page-')) ? /arrived cut short, or as something else/ : /could not be fetched/, `${part}, ${how}: what is wrong`);
    assert.match(said, /Your plan is as it was/);
    assert.match(await page.locator('#opening-plan').textContent(), /Harbour at dusk/, 'the plan is named');
    await context.unroute(part);
    await page.getByRole('button', { name: 'Try again' }).click();
    await page.waitForSelector(RECKONED, { timeout: 30_000 });
    assert.equal(await page.getByRole('spinbutton', { name: 'Wait', exact: true }).inputValue(), '47', `${part}, ${how}: the plan`);
  }

  // Nothing at all is to be had.
  await page.route('**/assets/*', (route) => route.abort('internetdisconnected'));
  await page.route((url) => url.pathname === '/', (route) => (route.request().resourceType() === 'document' ? route.continue() : route.abort('internetdisconnected')));
  await page.reload();
  assert.match(await fault(page), /could not be fetched.*look at the connection/);
  await screenshot(page, 'starting-fault');
  await page.unrouteAll();
  await page.getByRole('button', { name: 'Try again' }).click();
  await reckoned(page);
}));

test('what is fetched later has its sentence, too, and a newer page at the host is told of', { timeout: 240_000 }, () => onPage({ name: 'starting-later', allow: SPOILED }, async (page) => {
  await page.route('**/assets/studies-*', HOW['no network']);
  await page.route('**/assets/part-*', HOW['no network']);
  await page.reload();
  await reckoned(page);
  await setNumber(page, 'Wait', 48);
  await page.route((url) => url.pathname === '/', HOW['no network']);
  // A panel that is a part of its own.
  await openMenu(page, 'learn');
  await page.getByRole('button', { name: 'glossary…' }).click();
  const missing = page.locator('.later[role=alert]', { hasText: 'The glossary could not be fetched' });
  await missing.waitFor();
  assert.match(await missing.textContent(), /look at the connection/);
  await screenshot(page, 'starting-panel');
  await page.unroute('**/assets/part-*');
  await missing.getByRole('button', { name: 'Try again' }).click();
  await page.getByRole('heading', { name: 'Glossary' }).waitFor();
  await page.keyboard.press('Escape');
  // A panel that asks for studies says so itself, and goes on where it was.
  await openPanel(page, 'plan backwards…', 'Plan backwards');
  const studies = page.locator('dialog .later[role=alert], .view .later[role=alert]', { hasText: /The (script that does the studies|part that studies plates) could not be fetched/ });
  await studies.waitFor();
  await screenshot(page, 'starting-studies');
  // The host has a newer page, and has thrown the old parts away.
  await page.unrouteAll();
  const index = (await readFile(path.join(DIST, 'index.html'), 'utf8')).replace(/assets\/page-\w+\.js/, 'assets/page-0123456789.js');
  await page.route('**/assets/studies-*', HOW.gone);
  await page.route((url) => url.pathname === '/', (route) => (route.request().resourceType() === 'document' ? route.continue() : route.fulfill({ contentType: 'text/html', body: index })));
  await studies.getByRole('button', { name: 'Try again' }).click();
  const newer = page.locator('.later[role=alert]', { hasText: 'A newer Platewright has taken the place of this one' });
  await newer.waitFor();
  await page.unrouteAll();
  await newer.getByRole('button', { name: 'Load the page anew' }).click();
  await newer.waitFor({ state: 'detached' });
  await reckoned(page);
  await page.getByRole('heading', { name: 'Plan backwards' }).waitFor();
  await page.locator('.later[role=alert]').waitFor({ state: 'detached' });
  await page.keyboard.press('Escape');
  assert.equal(await page.getByRole('spinbutton', { name: 'Wait', exact: true }).inputValue(), '48', 'the plan went over');
}));

/** 400 kbit/s, as a phone at the edge of its net has it. */
const SLOW = { offline: false, downloadThroughput: 50_000, uploadThroughput: 50_000, latency: 150 };

test('on a slow line something stands there within a second, and says how far it is', { timeout: 120_000 }, () => onPage({ name: 'starting-slow' }, async (page, { context }) => {
  const other = await context.browser().newContext();
  try {
    const slow = await other.newPage();
    const line = await other.newCDPSession(slow);
    await line.send('Network.enable');
    await line.send('Network.emulateNetworkConditions', SLOW);
    await slow.goto(page.url(), { waitUntil: 'commit' });
    const begun = Date.now();
    await slow.locator('.opening-title').waitFor();
    const seen_ms = await eventually(() => slow.evaluate(() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? null), (ms) => ms !== null, 'something is drawn', 20);
    assert.ok(seen_ms < 1000, `something is drawn after ${seen_ms.toFixed(0)} ms`);
    const shares = new Set();
    await eventually(async () => {
      const said = await slow.locator('#opening-said').textContent({ timeout: 500 }).catch(() => '');
      const [, share] = /(\d+) %/.exec(said) ?? [];
      if (share) shares.add(Number(share));
      return slow.locator(RECKONED).count();
    }, (count) => count > 0, 'the page opens', 60);
    assert.ok(shares.size >= 5, `progress was told: ${[...shares].join(', ')} %`);
    if (process.env.TELL) console.log(`drawn after ${seen_ms.toFixed(0)} ms, open after ${Date.now() - begun} ms, ${[...shares].join(', ')} %`);
  } finally {
    await other.close();
  }
}));
