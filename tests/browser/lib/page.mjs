// What every browser test needs: the built page served or opened from disk, in headless Chromium,
// with every complaint of the browser noted. A test that leaves complaints behind fails.

import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { access, mkdir, readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import path from 'node:path';
import { after } from 'node:test';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const require = createRequire(import.meta.url);

export const ROOT = path.join(path.dirname(fileURLToPath(import.meta.url)), '../../..');
export const DIST = path.join(ROOT, 'dist');
export const SINGLE_FILE = path.join(DIST, 'platewright.html');

/** The two sizes at which the page is judged. */
export const WIDE = { width: 1440, height: 900 };
export const PHONE = { width: 390, height: 844 };

// As root Chromium runs only without its sandbox; the rest keeps it from looking for the network.
const FLAGS = [
  '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
  '--disable-component-update', '--disable-sync',
];

const WHOLE = process.env.CHROMIUM ?? '/usr/bin/chromium';
let program = process.env.CHROMIUM_SHELL ?? WHOLE;
let browser;
let server;

/** For tests of what the browser does outside its pages: without windows it shows no notices, for one. */
export function inWholeBrowser() {
  program = WHOLE;
}

after(async () => {
  await browser?.then((open) => open.close());
  await server?.then(({ child }) => child.kill());
});

/**
 * Opens the page and hands it to `body`; then fails if the browser complained of anything.
 *
 * `from`: 'http' (dist/ as a host serves it) or 'file' (the single file from disk).
 * `size`: WIDE or PHONE. `touch`: a device for fingers, with a screen of that size. `device`: so many cores, and GB where it tells.
 * `dark`: ask for the dark theme. `hash`: what stands after # in the address.
 * `steps`: 'all' (every step of the plan unfolded, so that all entries are there) or 'one' (as the page opens by itself).
 * `grain`: 'every' (the whole proof, as the page opens by itself: two cores for half a minute) or 'looked-at'.
 * `first`: as to somebody who has never been here; else the first proof has been seen pulled, and the harbour was chosen to stay.
 * `motion`: things may move by themselves.
 * `kept`: the page may be kept by the browser for when there is no network: one and a half megabytes a test.
 * `allow`: patterns of complaints that this test provokes on purpose.
 * `body(page, seen)`: `seen.complaints` is the running list, `seen.context` the browser context.
 */
export async function onPage({
  from = 'http', size = WIDE, touch = false, device = null, dark = false, hash = '', steps = 'all', grain = 'looked-at', first = false, motion = false, kept = false, allow = [], name = from,
}, body) {
  const address = (from === 'file' ? pathToFileURL(SINGLE_FILE).href : await servedAt()) + hash;
  const context = await (await chromiumBrowser()).newContext({
    viewport: size,
    ...(touch ? { screen: size, hasTouch: true, isMobile: true } : {}),
    colorScheme: dark ? 'dark' : 'light',
    reducedMotion: motion ? 'no-preference' : 'reduce',
    acceptDownloads: true,
  });
  await visited(context, { first, steps, grain });
  if (device) await asDevice(context, device);
  // A browser that keeps no pages, such as a private window of some.
  if (!kept) await context.addInitScript(() => { delete Navigator.prototype.serviceWorker; });
  const complaints = [];
  const page = await context.newPage();
  await listen(page, context, complaints, new URL(address).origin);
  try {
    await page.goto(address);
    const given = await body(page, { complaints, context });
    const left = complaints.filter((words) => !allow.some((pattern) => pattern.test(words)));
    assert.deepEqual(left, [], 'the browser complained');
    return given;
  } catch (error) {
    await screenshot(page, `failed-${name}`).catch(() => {});
    if (complaints.length > 0) error.message += `\nThe browser said:\n  ${complaints.join('\n  ')}`;
    throw error;
  } finally {
    await context.close();
  }
}

/**
 * What every page of a browser context finds in the store, whatever else a test has it remember: that it has been here
 * before, so that it makes no show of a `first` picture and offers no place for one; that all `steps` stand unfolded; and
 * what `grain` is wanted.
 */
export const visited = (context, { first = false, steps = 'all', grain = 'every' } = {}) => context.addInitScript(([fresh, chosen]) => {
  const KEY = 'platewright.settings';
  try {
    if (!fresh) {
      localStorage.setItem('platewright.first-proof', 'seen');
      localStorage.setItem('platewright.harbour-kept', 'kept');
    }
    localStorage.setItem(KEY, JSON.stringify({ ...chosen, ...JSON.parse(localStorage.getItem(KEY) ?? '{}') }));
  } catch { /* A test has spoiled the store. */ }
}, [first, { ...(steps === 'all' ? { steps } : {}), ...(grain === 'every' ? {} : { grain }) }]);

/** As on a device with so many cores, and so much memory where that is told. */
const asDevice = (context, { cores, memory_gb }) => context.addInitScript(([hardwareConcurrency, deviceMemory]) => {
  for (const [name, value] of Object.entries({ hardwareConcurrency, deviceMemory })) {
    Object.defineProperty(Navigator.prototype, name, { get: () => value, configurable: true });
  }
}, [cores, memory_gb]);

/** Console errors, uncaught errors, policy violations, and requests to anywhere else. */
async function listen(page, context, complaints, origin) {
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(`console: ${message.text()}`);
  });
  page.on('pageerror', (error) => complaints.push(`uncaught: ${error.message}`));
  page.on('crash', () => complaints.push('the page crashed'));
  context.on('request', (request) => {
    const { protocol, origin: to } = new URL(request.url());
    const here = to === origin && protocol !== 'file:';
    const first = request.isNavigationRequest();
    if (!here && !first && protocol !== 'blob:' && protocol !== 'data:') complaints.push(`asked for ${request.url()}`);
  });
  await context.exposeFunction('noteViolation', (words) => complaints.push(`policy: ${words}`));
  await context.addInitScript(() => {
    document.addEventListener('securitypolicyviolation', (event) => {
      window.noteViolation(`${event.violatedDirective} blocked ${event.blockedURI || 'inline'} ${event.sample}`);
    });
  });
}

/** Chooses an act of a menu in the head: unfolds the menu that holds it, and presses it. */
export async function fromMenu(page, act) {
  const menu = page.locator('.menu', { has: page.locator('.menu-act', { hasText: new RegExp(`^${act}`) }) });
  await unfold(menu.locator('.menu-word'));
  await menu.getByRole('button', { name: act, exact: true }).click();
}

/** Unfolds a menu, such as the one of units and light. */
export const openMenu = (page, name) => unfold(page.locator('.menu-word', { hasText: new RegExp(`^${name}$`) }));

/** Unfolds all steps of the plan, where they are folded. */
export const unfoldSteps = (page) => unfold(page.getByRole('button', { name: 'unfold every step' }), 'aria-pressed');

/** Unfolds the rows of the value table that stand folded as the page opens. */
export const unfoldTable = (page) => unfold(page.locator('.scale-unfold'));

/** Unfolds all that is said of the values, where it is more than one thing. */
export async function unfoldWarnings(page) {
  const all = page.locator('details.scale-warnings');
  if (!await all.evaluate((one) => one.open)) await all.locator('summary').click();
}

async function unfold(word, state = 'aria-expanded') {
  if (await word.getAttribute(state) !== 'true') await word.click();
  await word.and(word.page().locator(`[${state}="true"]`)).waitFor();
}

/** There once the workers have answered: a number of the value scale. */
export const RECKONED = '.scale-table td';

/** Waits until the plan has been reckoned. (waitForFunction would not do: the policy refuses its eval.) */
export async function reckoned(page) {
  await page.waitForSelector(RECKONED, { timeout: 60_000 });
}

/** Saves what the page shows to test-results/NAME.png: where a test has failed, and with LOOK in the environment always. */
export async function screenshot(page, name, options = {}) {
  if (!process.env.LOOK && !name.startsWith('failed-')) return;
  const folder = path.join(ROOT, 'test-results');
  await mkdir(folder, { recursive: true });
  const file = path.join(folder, `${name.replace(/[^\w.-]+/g, '-')}.png`);
  await page.screenshot({ path: file, ...options });
}

/** Asks axe-core what is wrong with the page's accessibility; fails with its findings. */
export async function assertAccessible(page) {
  // By evaluate: the page's policy rightly refuses added script elements.
  if (!await page.evaluate(() => 'axe' in window)) await page.evaluate(await readFile(require.resolve('axe-core/axe.min.js'), 'utf8'));
  const look = () => page.evaluate(async () => {
    const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
    // Of what is as it should be, one place a rule is told: to describe all of them takes as long as to look.
    const { violations } = await window.axe.run(document, { runOnly: rules, resultTypes: ['violations'] });
    return violations.map(({ id, help, nodes }) =>
      `${id}: ${help}\n    ${nodes.slice(0, 5).map((node) => `${node.target.join(' ')} — ${node.failureSummary}`).join('\n    ')}`);
  });
  // A page that is just being drawn anew is looked at again; a fault that stays is one.
  let findings = await look();
  for (let again = 0; again < 3 && findings.length > 0; again += 1) {
    await page.waitForTimeout(300);
    findings = await look();
  }
  assert.deepEqual(findings, [], 'axe-core found accessibility faults');
}

/** The address of dist/, served by the same program as scripts/serve. */
export function servedAt() {
  server ??= startServer();
  return server.then(({ address }) => address);
}

async function startServer() {
  const target = process.env.CARGO_TARGET_DIR ?? path.join(ROOT, 'target');
  const child = spawn(path.join(target, 'debug/xtask'), ['serve', DIST, '--port', '0'], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  process.once('exit', () => child.kill());
  const address = await new Promise((resolve, reject) => {
    let said = '';
    child.stdout.setEncoding('utf8').on('data', (text) => {
      said += text;
      const found = /http:\/\/\S+/.exec(said);
      if (found) resolve(found[0]);
    });
    child.once('error', reject);
    child.once('exit', () => reject(new Error('the server ended; run scripts/build first')));
  });
  return { child, address };
}

function chromiumBrowser() {
  browser ??= startBrowser();
  return browser;
}

async function startBrowser() {
  await access(SINGLE_FILE).catch(() => {
    throw new Error('dist/platewright.html is missing: run scripts/build first');
  });
  return chromium.launch({ executablePath: program, args: FLAGS });
}
