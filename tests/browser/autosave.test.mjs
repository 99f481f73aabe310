// Nothing is lost: a reload, a closed tab, a crash, a second tab, a store that is full or forbidden.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { onPage, reckoned, screenshot, unfoldSteps } from './lib/page.mjs';
import { dropPicture, openPanel, planInHand, setNumber } from './lib/plans.mjs';
import { eventually, reaches, written } from './lib/waits.mjs';

const address = (page) => page.url().split('#')[0];
const wait_s = async (page) => (await planInHand(page)).dust.wait_s;

async function another(context, page) {
  const next = await context.newPage();
  await next.goto(address(page));
  await reckoned(next);
  return next;
}

for (const from of ['http', 'file']) test(`a reload and a closed tab lose neither plan nor picture (${from})`, () => onPage({ from, name: `autosave-${from}` }, async (page, { context }) => {
  await reckoned(page);
  await dropPicture(page);
  await setNumber(page, 'Wait', 47);
  await written(page, ({ dust }) => dust.wait_s === 47);
  const mine = await planInHand(page);
  const map = (on) => on.locator('.crop-picture canvas').evaluate((canvas) => [canvas.width, canvas.height]);
  const size = await map(page);
  await page.reload();
  await reckoned(page);
  assert.deepEqual(await planInHand(page), mine, 'after a reload');
  await page.locator('.picture-name', { hasText: 'hills.png' }).waitFor();
  await page.locator('.crop-picture canvas').waitFor();
  assert.deepEqual(await map(page), size, 'the picture is there, too');
  const next = await context.newPage();
  await page.close();
  // A tab that is closed lets go of its draft a moment later; until then a new one would go on with a copy.
  await next.goto(new URL('licences.txt', address(page)).href);
  await eventually(() => next.evaluate(async () => (await navigator.locks.query()).held.map(({ name }) => name)), (held) => held.length === 0, 'the closed tab’s lock is free');
  await next.goto(address(page));
  await reckoned(next);
  assert.deepEqual(await planInHand(next), mine, 'after the tab was closed');
  await next.locator('.picture-name', { hasText: 'hills.png' }).waitFor();
  assert.equal(await next.locator('.notice').count(), 0, 'without a word');
}));

test('what the browser’s small store forgets is brought back', () => onPage({ name: 'autosave-forgotten' }, async (page, { context }) => {
  const store = (on) => on.evaluate(() => ({ ...localStorage }));
  const copied = (on) => eventually(() => on.evaluate(() => new Promise((resolve, reject) => {
    const asked = indexedDB.open('platewright.small');
    asked.onerror = () => reject(asked.error);
    asked.onsuccess = () => {
      const all = asked.result.transaction('kept').objectStore('kept').getAll();
      all.onsuccess = () => { asked.result.close(); resolve(all.result.every(({ id, text }) => localStorage.getItem(id) === text) && all.result.length > 3); };
    };
  })), (same) => same, 'the copy holds what the store holds');
  await reckoned(page);
  await setNumber(page, 'Wait', 46);
  await written(page, ({ dust }) => dust.wait_s === 46);
  const before = await store(page);
  await setNumber(page, 'Wait', 47);
  await written(page, ({ dust }) => dust.wait_s === 47);
  await page.evaluate(() => localStorage.clear());
  await page.reload();
  await reckoned(page);
  assert.equal(await wait_s(page), 47, 'emptied, and the page reloaded');
  await copied(page);
  const here = address(page);
  for (const [how, spoil] of Object.entries({
    emptied: () => localStorage.clear(),
    'as it was a while ago': (old) => { localStorage.clear(); Object.assign(localStorage, old); },
  })) {
    const next = await context.newPage();
    await next.goto(new URL('licences.txt', here).href);
    await context.pages()[0].close();
    await next.evaluate(spoil, before);
    await eventually(() => next.evaluate(async () => (await navigator.locks.query()).held.length), (held) => held === 0, 'the closed tab’s lock is free');
    await next.goto(here);
    await reckoned(next);
    assert.equal(await wait_s(next), 47, how);
    await copied(next);
  }
}));

test('a crash loses nothing', () => onPage({ name: 'autosave-crash', allow: [/crashed/] }, async (page, { context }) => {
  await reckoned(page);
  await setNumber(page, 'Wait', 47);
  await written(page, ({ dust }) => dust.wait_s === 47);
  const here = address(page);
  await page.goto('chrome://crash').catch(() => {});
  const next = await context.newPage();
  await next.goto(here);
  await reckoned(next);
  assert.equal(await wait_s(next), 47, 'the plan is back');
}));

test('an entry that can’t be used costs only itself', () => onPage({ name: 'autosave-unsound' }, async (page) => {
  await reckoned(page);
  await reaches(page, 'numbers', () => setNumber(page, 'Wait', 47));
  await page.getByRole('spinbutton', { name: 'Wait', exact: true }).fill('-5');
  await page.locator('.problem').first().waitFor();
  await written(page, ({ dust }, { sound }) => dust.wait_s === -5 && sound !== '', 'the entry and the sound plan before it');
  await page.reload();
  await reckoned(page);
  assert.equal(await wait_s(page), 47, 'the plan before it is back');
  await page.locator('.notice', { hasText: 'left out' }).waitFor();
}));

test('two tabs keep a plan each', () => onPage({ name: 'autosave-tabs' }, async (page, { context }) => {
  await reckoned(page);
  await setNumber(page, 'Wait', 40);
  const second = await another(context, page);
  assert.equal(await wait_s(second), 40, 'the second tab goes on from the first');
  await second.locator('.notice', { hasText: 'another tab' }).waitFor();
  await setNumber(second, 'Wait', 50);
  await setNumber(page, 'Wait', 41);
  await written(second, ({ dust }) => dust.wait_s === 50);
  await written(page, ({ dust }) => dust.wait_s === 41);
  await second.reload();
  await reckoned(second);
  assert.equal(await wait_s(second), 50, 'the second tab has its own');
  await page.reload();
  await reckoned(page);
  assert.equal(await wait_s(page), 41, 'the first tab has its own');
  await openPanel(page, 'shelf…', 'Shelf');
  await page.getByRole('heading', { name: 'In other tabs' }).waitFor();
  await screenshot(page, 'shelf-other-tabs');
  await page.getByRole('button', { name: /^Keep .* on the shelf$/ }).first().click();
  await page.locator('.shelf-name').waitFor();
}));

const STORES = {
  forbidden: () => {
    for (const name of ['localStorage', 'sessionStorage', 'indexedDB']) {
      Object.defineProperty(window, name, { get() {
        window.refusals = (window.refusals ?? 0) + 1;
        throw new DOMException('forbidden', 'SecurityError');
      } });
    }
  },
  full: () => {
    const full = () => {
      window.refusals = (window.refusals ?? 0) + 1;
      throw new DOMException('full', 'QuotaExceededError');
    };
    Storage.prototype.setItem = full;
    IDBObjectStore.prototype.put = full;
  },
};

for (const [how, spoil] of Object.entries(STORES)) {
  test(`a ${how} store is told once, and a file offered`, () => onPage({ name: `store-${how}` }, async (page, { context }) => {
    await context.addInitScript(spoil);
    await page.reload();
    await reckoned(page);
    await unfoldSteps(page);
    await setNumber(page, 'Wait', 47);
    await setNumber(page, 'Wait', 48);
    const notice = page.locator('.notice', { hasText: 'does not keep' });
    await notice.waitFor();
    assert.equal(await notice.count(), 1, 'said once');
    const [file] = await Promise.all([page.waitForEvent('download'), notice.getByRole('button', { name: 'save plan' }).click()]);
    assert.match(file.suggestedFilename(), /json$/, 'the plan as a file');
    await notice.getByRole('button', { name: 'dismiss' }).click();
    // Twice more it is tried: the second time the first has been dealt with.
    for (const wait of [49, 50]) {
      const before = await page.evaluate(() => window.refusals);
      await setNumber(page, 'Wait', wait);
      await eventually(() => page.evaluate(() => window.refusals), (now) => now > before, 'the store refuses again');
    }
    assert.equal(await notice.count(), 0, 'and not again');
    await openPanel(page, 'shelf…', 'Shelf');
    await page.getByRole('button', { name: 'Keep this plan' }).click();
    await page.locator('.shelf-name').waitFor();
  }));
}

test('undo and redo name the change', () => onPage({ name: 'undo' }, async (page) => {
  await reckoned(page);
  const before = await wait_s(page);
  await setNumber(page, 'Wait', 47);
  const undo = page.getByRole('button', { name: 'undo', exact: true });
  await page.locator(`button[title="Undo wait ${before} s → 47 s"]`).waitFor();
  await page.locator('.proof canvas[role="img"]').focus();
  await page.keyboard.press('Control+z');
  await page.locator('.told', { hasText: `Undone: wait ${before} s → 47 s` }).waitFor();
  assert.equal(await wait_s(page), before, 'undone');
  assert.ok(await undo.isDisabled(), 'nothing more to undo');
  await page.locator(`button[title="Redo wait ${before} s → 47 s"]`).waitFor();
  await page.locator('.proof canvas[role="img"]').focus();
  await page.keyboard.press('Control+Shift+z');
  assert.equal(await wait_s(page), 47, 'done again');
}));
