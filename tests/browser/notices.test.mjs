// The clock out of sight: the end of a step told by the device, asked for by a press alone; where that cannot be, a
// sentence. And the clock after a reload: its first press counts.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { fromMenu, inWholeBrowser, onPage, PHONE, reckoned, screenshot } from './lib/page.mjs';
import { eventually } from './lib/waits.mjs';

inWholeBrowser();

/** Before the page begins: it can be put out of sight, where its timers are slowed down as browsers do; and asking is counted. */
function outOfSight() {
  let hidden = false;
  Object.defineProperty(document, 'visibilityState', { get: () => (hidden ? 'hidden' : 'visible') });
  window.putOutOfSight = (so) => {
    hidden = so;
    document.dispatchEvent(new Event('visibilitychange'));
  };
  const later = window.setTimeout;
  window.setTimeout = (call, ms, ...args) => later(call, hidden ? Math.max(60_000, ms ?? 0) : ms, ...args);
  window.asked = 0;
  const ask = Notification.requestPermission;
  Notification.requestPermission = () => {
    window.asked += 1;
    return ask.call(Notification);
  };
}

const notices = (page) => page.getByRole('button', { name: /^notices (on|off)$/ });
const shown = (page) => page.evaluate(async () => (await (await navigator.serviceWorker.ready).getNotifications()).map(({ title, body }) => `${title} ${body}`));

/** The clock at the first bite, running, with so many seconds left. */
async function nearItsEnd(page, left_s) {
  await page.getByRole('button', { name: /^\d+\s*Bite 1/ }).click();
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  await page.evaluate((left) => {
    const run = JSON.parse(localStorage.getItem('platewright.clock'));
    run.marks[run.step].start = Date.now() - (90 - left) * 1000;
    localStorage.setItem('platewright.clock', JSON.stringify(run));
  }, left_s);
  await page.reload();
  await page.locator('.clock-face').waitFor({ timeout: 60_000 });
}

test('out of sight the device tells when a step is over, once it was asked to', { timeout: 120_000 }, () => onPage({ name: 'notices', kept: true, steps: 'one' }, async (page, { context }) => {
  await context.grantPermissions(['notifications']);
  await context.addInitScript(outOfSight);
  await page.reload();
  await reckoned(page);
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  await fromMenu(page, 'clock…');
  assert.equal(await notices(page).textContent(), 'notices off', 'by itself the page tells nothing');
  await notices(page).click();
  await page.getByRole('button', { name: 'notices on' }).waitFor();
  await nearItsEnd(page, 6);
  assert.equal(await notices(page).textContent(), 'notices on', 'the choice is kept');
  await page.evaluate(() => window.putOutOfSight(true));
  const told = await eventually(() => shown(page), (all) => all.length > 0, 'a notice is shown', 20);
  assert.deepEqual(told, ['Bite 1: time is up. Next: Rinse, dry, stop out value 1.']);
  await page.evaluate(() => window.putOutOfSight(false));
  await eventually(() => shown(page), (all) => all.length === 0, 'seen again, the notice goes', 10);
}));

for (const [what, wanted, hidden] of [['unasked, nothing is shown', false, true], ['in sight nothing is shown', true, false]]) {
  test(what, { timeout: 120_000 }, () => onPage({ name: `notices-${hidden ? 'unasked' : 'in-sight'}`, kept: true, steps: 'one' }, async (page, { context }) => {
    await context.grantPermissions(['notifications']);
    await context.addInitScript(outOfSight);
    await page.reload();
    await reckoned(page);
    await fromMenu(page, 'clock…');
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
    if (wanted) await notices(page).click();
    await nearItsEnd(page, 4);
    await page.evaluate((so) => window.putOutOfSight(so), hidden);
    // Once the time is up, by the page's own face where it is in sight.
    if (hidden) await page.evaluate(() => new Promise((resolve) => { new Worker(URL.createObjectURL(new Blob(['setTimeout(()=>postMessage(0),6000)']))).onmessage = resolve; }));
    else await page.locator('.clock-now[data-over="true"]').waitFor({ timeout: 10_000 });
    assert.deepEqual(await shown(page), []);
    assert.equal(await page.evaluate(() => window.asked), 0, 'and the browser is not asked by a page that opens');
  }));
}

for (const [from, words] of [['http', /does not allow this page to send notices; its settings for the page can allow it\. Keep the clock in sight, or the sound on\./], ['file', /gives no notices to a page opened from disk\. Keep the clock in sight/]]) {
  test(`where notices are refused, a sentence says so (${from})`, () => onPage({ name: `notices-refused-${from}`, from, steps: 'one' }, async (page, { context }) => {
    await context.addInitScript(() => {
      Object.defineProperty(Notification, 'permission', { get: () => (window.pressed ? 'denied' : 'default') });
      Notification.requestPermission = async () => { window.pressed = true; return 'denied'; };
    });
    await page.reload();
    await reckoned(page);
    await fromMenu(page, 'clock…');
    assert.equal(await page.evaluate(() => window.pressed), undefined, 'not asked by itself');
    await notices(page).click();
    await page.locator('.clock-say', { hasText: words }).waitFor();
    assert.equal(await notices(page).textContent(), 'notices off');
    await screenshot(page, `notices-refused-${from}`);
  }));
}

test('the first press after a reload counts, wherever the page is scrolled to', { timeout: 60_000 }, () => onPage({ name: 'clock-first-press', size: PHONE, steps: 'one' }, async (page) => {
  await reckoned(page);
  await fromMenu(page, 'clock…');
  await page.getByRole('button', { name: /^\d+\s*Bite 1/ }).click();
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  await page.reload();
  await page.locator('.clock-face').waitFor({ timeout: 60_000 });
  await page.locator('.clock-say', { hasText: 'touch the page once' }).waitFor();
  await page.locator('.view').evaluate((view) => { view.scrollTop = view.scrollHeight; });
  const key = await page.getByRole('button', { name: /^\d+\s*Put the bath away/ }).boundingBox();
  await page.mouse.move(key.x + key.width / 2, key.y + key.height / 2);
  await page.mouse.down();
  // As long as a finger lies.
  await page.waitForTimeout(400);
  await page.mouse.up();
  await page.locator('.clock-name', { hasText: 'Put the bath away' }).waitFor({ timeout: 5_000 });
}));
