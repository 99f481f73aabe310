// Times the page in headless Chromium, opened from the single file on disk: a JSON line each.

import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

const ROOT = path.join(path.dirname(fileURLToPath(import.meta.url)), '../..');
const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
const MOVES = 40;
const CHANGES = 50;

const say = (name, ms, target_ms, unit = 'ms') => process.stdout.write(`${JSON.stringify({ name, value: ms, target: target_ms, unit })}\n`);
const median = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];

/** Memory of Chromium's renderer processes of this browser, MB. */
function rendererMb(browserPid) {
  let total = 0;
  for (const entry of readdirSync('/proc').filter((name) => /^\d+$/.test(name))) {
    try {
      const command = readFileSync(`/proc/${entry}/cmdline`, 'utf8');
      if (!command.includes('--type=renderer')) continue;
      const { stdout } = spawnSync('ps', ['-o', 'ppid=', '-p', entry], { encoding: 'utf8' });
      if (!stdout) continue;
      const status = readFileSync(`/proc/${entry}/status`, 'utf8');
      total = Math.max(total, Number(/VmRSS:\s+(\d+)/.exec(status)?.[1] ?? 0) / 1024);
    } catch { /* gone meanwhile */ }
  }
  return total;
}

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: FLAGS });
const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
const address = pathToFileURL(path.join(ROOT, 'dist/platewright.html')).href;

/** Time of the newest mark of this name after `since`, ms since the page began. */
async function mark(name, since = 0, longest = 300_000) {
  const until = Date.now() + longest;
  for (;;) {
    const at = await page.evaluate(([n, s]) => performance.getEntriesByName(n).map((e) => e.startTime).find((t) => t > s), [name, since]);
    if (at !== undefined) return at;
    if (Date.now() > until) throw new Error(`the page never marked ${name}`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}
const now = () => page.evaluate(() => performance.now());

await page.goto(address);
say('open, to the first proof', await mark('first-pass'), 2000);
const numbers = await mark('numbers');
say('open, to the numbers', numbers, undefined);
const grain = await mark('every-grain', await mark('first-pass'));
say('every grain, 150 × 200 mm at 5 µm', (grain - await mark('first-pass')) / 1000, 25, 's');
say('memory after the whole proof', rendererMb(), 600, 'MB');

// The linen tester moved: from the key to the new picture.
await page.locator('.tester-glass').focus();
const moves = [];
for (let i = 0; i < MOVES; i++) {
  const start = await now();
  await page.keyboard.press(i % 8 < 4 ? 'ArrowRight' : 'ArrowDown');
  moves.push(await mark('linen-tester', start) - start);
}
say('linen tester moved, median', median(moves), 33);
say('linen tester moved, slowest of 40', Math.max(...moves), undefined);

const changes = [
  ['a bite changed', '.scale-table tbody tr:first-child td:nth-of-type(4) input', ['4', '3']],
  ['wait changed', 'input[aria-label="Wait"]', ['50', '45']],
  ['ink changed', 'input[aria-label="Reducer"]', ['10', '0']],
];
for (const [name, selector, texts] of changes) {
  const [seen, first] = [[], []];
  for (let i = 0; i < 6; i++) {
    const start = await now();
    await page.locator(selector).first().fill(texts[i % 2]);
    seen.push(await mark('linen-tester', start) - start);
    first.push(await mark('first-pass', start) - start);
  }
  say(`${name}, to the linen tester`, median(seen), name === 'a bite changed' ? 33 : 100);
  say(`${name}, to the first pass`, median(first), 1000);
}

for (let i = 0; i < CHANGES; i++) {
  await page.locator('input[aria-label="Wait"]').first().fill(String(30 + 5 * (i % 10)));
  await page.waitForTimeout(150);
}
say('memory after fifty more changes', rendererMb(), 600, 'MB');
await browser.close();
