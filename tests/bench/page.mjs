// Times the page in headless Chromium, opened from the single file on disk: a JSON line each.
//   node tests/bench/page.mjs [brief]     brief: without the runs that take minutes

import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';
import { rendererMemory, watchMemory } from '../browser/lib/memory.mjs';
import { grainRun } from './grain.mjs';

const ROOT = path.join(path.dirname(fileURLToPath(import.meta.url)), '../..');
const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];

/** A phone as Chromium's own list of devices has them: fingers, and a screen of its size. */
const PHONE = { viewport: { width: 390, height: 844 }, screen: { width: 390, height: 844 }, hasTouch: true, isMobile: true };
const DESK = { viewport: { width: 1440, height: 900 } };
const MOVES = 40;
const CHANGES = 50;
const REST_MS = 4000;
const brief = process.argv[2] === 'brief';

const say = (name, value, target, unit = 'ms') => process.stdout.write(`${JSON.stringify({ name, value, target, unit })}\n`);
const median = (list) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)];
const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium', args: FLAGS });
const address = pathToFileURL(path.join(ROOT, 'dist/platewright.html')).href;

/** Both counts of the page's memory, a row each. */
function sayMemory(what, { own, resident }, target) {
  say(`${what}, as Chromium counts it`, own, target, 'MB');
  say('the same with the pages of Chromium itself', resident, undefined, 'MB');
}

async function open(device) {
  const page = await browser.newPage(device);
  await page.goto(address);
  return page;
}

/** Time of the first mark of this name after `since`, ms since the page began. The page tells of it: asking again and again would slow it down. */
function mark(page, name, since = 0, longest = 900_000) {
  return page.evaluate(([wanted, from, most]) => new Promise((resolve, reject) => {
    const observer = new PerformanceObserver((list) => {
      const at = list.getEntriesByName(wanted).map((entry) => entry.startTime).find((time) => time > from);
      if (at === undefined) return;
      observer.disconnect();
      resolve(at);
    });
    observer.observe({ type: 'mark', buffered: true });
    setTimeout(() => reject(new Error(`the page never marked ${wanted}`)), most);
  }), [name, since, longest]);
}
const now = (page) => page.evaluate(() => performance.now());

/**
 * From an input to the frame that shows its outcome, ms: `act` is given the element and `text`, and the
 * clock stops when the first frame after the mark has been painted.
 */
function toPaint(page, selector, text, markName = 'linen-tester') {
  return page.evaluate(async ([where, words, name]) => {
    const element = document.querySelector(where);
    const frame = () => new Promise((resolve) => requestAnimationFrame(resolve));
    const painted = () => new Promise((resolve) => {
      const { port1, port2 } = new MessageChannel();
      port1.onmessage = resolve;
      requestAnimationFrame(() => port2.postMessage(0));
    });
    await frame();
    const start = performance.now();
    // Told of the mark, not looking for it again and again: that would keep one of two cores busy.
    const marked = new Promise((resolve, reject) => {
      const observer = new PerformanceObserver((list) => {
        if (list.getEntriesByName(name).length === 0) return;
        observer.disconnect();
        resolve();
      });
      observer.observe({ type: 'mark' });
      setTimeout(() => reject(new Error(`no ${name} after ${words} in ${where}`)), 60_000);
    });
    if (words.startsWith('key:')) {
      element.dispatchEvent(new KeyboardEvent('keydown', { key: words.slice(4).replace('+', ''), shiftKey: words.endsWith('+'), bubbles: true }));
    } else {
      Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value').set.call(element, words);
      element.dispatchEvent(new Event('input', { bubbles: true }));
    }
    await marked;
    await painted();
    return performance.now() - start;
  }, [selector, text, markName]);
}

const proofAtMost = watchMemory();
const page = await open(DESK);
say('open, to the first proof', await mark(page, 'first-pass'), 2000);
say('open, to the numbers', await mark(page, 'numbers'), undefined);
const first = await mark(page, 'first-pass');
say('every grain, 150 × 200 mm at 5 µm', (await mark(page, 'every-grain', first) - first) / 1000, 25, 's');
sayMemory('memory during the whole proof, at most', proofAtMost(), 300);
// By then the workers have given back what the proof took.
await pause(REST_MS);
sayMemory('memory after the whole proof', rendererMemory(), 300);
// As it opens the steps are folded; only what is unfolded can be typed into.
await page.getByRole('button', { name: 'unfold every step' }).click();
await pause(1000);

const moved = [];
for (let i = 0; i < MOVES; i++) {
  moved.push(await toPaint(page, '.tester-glass', i % 8 < 4 ? 'key:ArrowRight' : 'key:ArrowDown'));
  await pause(30);
}
say('linen tester moved by a tenth of its field, to the paint, median', median(moved), 33);
say('the same, slowest of 40', Math.max(...moved), undefined);
const jumped = [];
for (let i = 0; i < 12; i++) {
  jumped.push(await toPaint(page, '.tester-glass', i % 2 ? 'key:ArrowLeft+' : 'key:ArrowUp+'));
  await pause(150);
}
say('linen tester moved by its whole field, to the paint, median', median(jumped), 33);

const BITE = '.scale-table tbody tr:first-child td:nth-of-type(4) input';
const WAIT = 'input[aria-label="Wait"]';
const changes = [['a bite changed', BITE, ['4', '3'], 33], ['wait changed', WAIT, ['50', '45'], 100], ['bake changed', 'input[aria-label="Bake"]', ['9', '10'], 100], ['ink changed', 'input[aria-label="Reducer"]', ['10', '0'], 100]];
for (const [name, selector, texts, target] of changes) {
  const [seen, whole] = [[], []];
  for (let i = 0; i < 6; i++) {
    const start = await now(page);
    seen.push(await toPaint(page, selector, texts[i % 2]));
    whole.push(await mark(page, 'first-pass', start) - start);
    await pause(400);
  }
  say(`${name}, to the linen tester's paint, median`, median(seen), target);
  say(`${name}, to the first pass, median`, median(whole), 1000);
}
for (const [name, selector, text] of [['the wait', WAIT, '40'], ['a bite, the ground kept', BITE, '5']]) {
  const start = await now(page);
  await page.locator(selector).first().fill(text);
  const begun = await mark(page, 'first-pass', start);
  say(`every grain again after a change of ${name}`, (await mark(page, 'every-grain', begun) - begun) / 1000, 25, 's');
}

const changesAtMost = watchMemory();
for (let i = 0; i < CHANGES; i++) {
  await page.locator(i % 2 ? BITE : WAIT).first().fill(i % 2 ? String(3 + (i % 5)) : String(30 + 5 * (i % 10)));
  await pause(i % 10 ? 200 : 1500);
}
sayMemory('memory during fifty changes, at most', changesAtMost(), 330);

// The stroke alone is drawn while the hand moves, however large the plate.
await page.getByRole('button', { name: 'Draw areas on the proof' }).click();
say('a frame of painting an area, median', await page.locator('.draw-over canvas').evaluate(async (on) => {
  const box = on.getBoundingClientRect();
  const fire = (type, x, y) => on.dispatchEvent(new PointerEvent(type, { pointerId: 1, clientX: x, clientY: y, button: 0, isPrimary: true, bubbles: true }));
  on.setPointerCapture = () => undefined;
  const costs = [];
  fire('pointerdown', box.left + 60, box.top + 120);
  for (let i = 0; i < 120; i++) {
    await new Promise(requestAnimationFrame);
    const begun = performance.now();
    for (let k = 0; k < 4; k++) fire('pointermove', box.left + 60 + 3 * i + k, box.top + 160 + 60 * Math.sin((4 * i + k) / 30));
    costs.push(performance.now() - begun);
  }
  fire('pointerup', box.left + 430, box.top + 160);
  return costs.sort((a, b) => a - b)[60];
}), 8);
await page.locator('.draw-tools').getByRole('button', { name: 'done' }).click();

if (!brief) {
  await page.locator('input[aria-label="Width"]').first().fill('300');
  const startedAt = await now(page);
  await page.locator('input[aria-label="Height"]').first().fill('400');
  const begun = await mark(page, 'first-pass', startedAt);
  say('300 × 400 mm, to the first pass', begun - startedAt, 1000);
  say('every grain, 300 × 400 mm at 5 µm', (await mark(page, 'every-grain', begun) - begun) / 1000, undefined, 's');
  sayMemory('memory after it', rendererMemory());
  say('every grain, 100 × 150 mm at 3 µm, two workers', await grainRun(page, { width_mm: 100, height_mm: 150 }, 3), 60, 's');
}
await page.close();

const phoneAtMost = watchMemory();
const phone = await open(PHONE);
const seen = await mark(phone, 'first-pass');
say('a phone\'s window, to the first proof', seen, 2000);
say('a phone\'s window, every grain', (await mark(phone, 'every-grain', seen) - seen) / 1000, 25, 's');
sayMemory('a phone\'s window, memory during the whole proof, at most', phoneAtMost(), 200);
await pause(REST_MS);
sayMemory('a phone\'s window, memory after it', rendererMemory(), 200);
await browser.close();
