// The single file in Firefox, straight from disk.

import assert from 'node:assert/strict';
import { writeFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { until, withFirefox } from './lib/firefox.mjs';
import { RECKONED, ROOT, SINGLE_FILE } from './lib/page.mjs';
import { assertMain, assertNoWordColumns, assertSheet, assertWall, PAPERS, PARAGRAPHS, read, STEPS, worked, WORKED_WORDS } from './lib/paper.mjs';
import { fingerprint, greyPixels, within } from './lib/png.mjs';
import { linkAndProof, MARGIN_PX } from './lib/sameProof.mjs';
import { native, oldLink } from './lib/plans.mjs';

test('opens from disk in Firefox and reckons the plan', () => withFirefox(async (open) => {
  const { ask, complaints } = await open(pathToFileURL(SINGLE_FILE).href);
  await until(ask, `document.querySelector('${RECKONED}') !== null`, 60);
  assert.match(await ask('document.title'), /Platewright/, 'the tab has a name');
  assert.deepEqual(await complaints(), [], 'Firefox complained');
}));

test('opens a link in Firefox and keeps its plan', () => withFirefox(async (open) => {
  const { link, plan } = await oldLink('twelve-bites-and-notes');
  const { ask, complaints } = await open(`${pathToFileURL(SINGLE_FILE).href}#${link}`);
  await until(ask, `document.querySelector('${RECKONED}') !== null`, 60);
  assert.equal(await ask("document.querySelector('.title-entry').value"), plan.title, 'the plan of the link');
  assert.equal(await ask("document.querySelector('.notes-entry').value"), plan.notes, 'with its notes');
  assert.equal(await ask('location.hash'), '', 'the address is clean again');
  const drafts = "Object.keys(localStorage).filter((key) => key.startsWith('platewright.draft.')).map((key) => JSON.parse(localStorage[key]).plan.title)";
  await until(ask, `${drafts}.length === 1`, 10);
  assert.equal(await ask(`${drafts}.join()`), plan.title, 'it is written down');
  assert.deepEqual(await complaints(), [], 'Firefox complained');
}));

/** Presses the button with these words; where it is an act of a menu, once the menu is unfolded. */
async function press(ask, words) {
  const button = `[...document.querySelectorAll('button')].find((one) => (one.querySelector(':scope > span:first-child') ?? one).textContent.trim() === ${JSON.stringify(words)})`;
  await ask(`${button}.closest('.menu')?.querySelector('.menu-word[aria-expanded=false]')?.click()`);
  await until(ask, `${button}.checkVisibility()`);
  await ask(`${button}.click()`);
}
/** Writes into an entry as a hand would. */
const write = (ask, entry, text) => ask(`(() => { const one = document.querySelector(${JSON.stringify(entry)}); one.value = ${JSON.stringify(text)}; one.dispatchEvent(new Event('input', { bubbles: true })); })()`);

test('shelf, comparison, a reload and two tabs in Firefox', { timeout: 180_000 }, () => withFirefox(async (open) => {
  const here = pathToFileURL(SINGLE_FILE).href;
  const reckoned = `document.querySelector('${RECKONED}') !== null`;
  const title = "document.querySelector('.title-entry').value";
  const one = await open(here);
  await until(one.ask, reckoned, 60);
  await press(one.ask, 'shelf…');
  await until(one.ask, "document.querySelector('dialog') !== null");
  await press(one.ask, 'Keep this plan');
  await until(one.ask, "document.querySelectorAll('.shelf-name').length === 1");
  await until(one.ask, "document.querySelector('dialog canvas') !== null", 60);
  await one.ask("document.querySelector('dialog').close()");
  await write(one.ask, '.title-entry', 'First tab');
  await until(one.ask, "document.title.startsWith('First tab')");

  await press(one.ask, 'compare…');
  await until(one.ask, "document.querySelectorAll('.compare-glass canvas').length === 2 && [...document.querySelectorAll('.compare-glass canvas')].every((canvas) => canvas.width > 100)", 60);
  assert.match(await one.ask("document.querySelector('.compare-differ').textContent"), /First tab/, 'what differs, in words');
  await one.ask("document.querySelector('dialog').close()");

  const two = await open(here, 'new');
  await until(two.ask, reckoned, 60);
  assert.equal(await two.ask(title), 'First tab', 'the second tab goes on from the first');
  await write(two.ask, '.title-entry', 'Second tab');
  await write(one.ask, '.title-entry', 'First tab again');
  await until(two.ask, "document.title.startsWith('Second tab')");
  for (const [tab, words] of [[two, 'Second tab'], [one, 'First tab again']]) {
    await until(tab.ask, `JSON.parse(localStorage.getItem('platewright.draft.' + sessionStorage.getItem('platewright.tab')) ?? '{"plan":{}}').plan.title === ${JSON.stringify(words)}`);
  }
  for (const [tab, words] of [[two, 'Second tab'], [one, 'First tab again']]) {
    await tab.reload();
    await until(tab.ask, reckoned, 60);
    assert.equal(await tab.ask(title), words, 'each tab has its own plan after a reload');
  }
  await press(two.ask, 'shelf…');
  await until(two.ask, "document.querySelectorAll('.shelf-name').length === 1");
  assert.deepEqual(await two.complaints(), [], 'Firefox complained');
}));

test('a link opens in Firefox to the very proof that the native program makes', { timeout: 180_000 }, async () => {
  const { link, proof } = await linkAndProof();
  await withFirefox(async (open) => {
    const { ask, complaints } = await open(`${pathToFileURL(SINGLE_FILE).href}#${link}`);
    await until(ask, "document.querySelector('.grain')?.textContent.includes('Proof complete') === true", 120);
    // Firefox has no downloads here: the file is caught on its way there.
    await ask(`(() => {
      const make = URL.createObjectURL;
      URL.createObjectURL = (blob) => { window.saved = blob; return make.call(URL, blob); };
      return true;
    })()`);
    await press(ask, 'save proof');
    await until(ask, 'window.saved !== undefined', 20);
    const bytes = await ask('window.saved.arrayBuffer().then((buffer) => Array.from(new Uint8Array(buffer)))');
    const sheet = greyPixels(Buffer.from(bytes));
    assert.equal(fingerprint(within(sheet, MARGIN_PX)), proof, 'dot for dot the same');
    assert.deepEqual(await complaints(), [], 'Firefox complained');
  });
});

test('Firefox prints the page, the bench sheet and the sheet for the wall on A4 and Letter', { timeout: 240_000 }, () => withFirefox(async (open) => {
  const page = await open(pathToFileURL(SINGLE_FILE).href, 'this', 'one');
  const bothPapers = async ({ ask, print }, name, check) => {
    const paragraphs = await ask(PARAGRAPHS);
    for (const [paper, size] of Object.entries(PAPERS)) {
      const pages = read(await print(size), `firefox-${name}`, paper);
      assertNoWordColumns(pages, paragraphs, `${name}, ${paper}`);
      check(pages, `${name}, ${paper}`);
    }
  };
  await until(page.ask, "document.querySelectorAll('.plan .plot').length > 2 && document.querySelector('.scale-table td') !== null", 60);
  // Folded as it opens, and unfolded: the same on paper.
  assert.equal(await page.ask("document.querySelectorAll('.step-body:not([hidden])').length"), 0, 'all steps are folded');
  await bothPapers(page, 'page-folded', assertMain);
  await press(page.ask, 'unfold every step');
  await until(page.ask, "document.querySelectorAll('.step-body[hidden]').length === 0");
  await bothPapers(page, 'page', assertMain);
  await press(page.ask, 'bench sheet…');
  await until(page.ask, "document.querySelector('.sheet-paper') !== null && document.querySelector('.sheet-paper .not-whole') === null", 60);
  const steps = await page.ask(STEPS);
  await bothPapers(page, 'sheet', (pages, what) => assertSheet(pages, steps, 'Harbour at dusk', what));
  const file = path.join(ROOT, 'test-results/paper/worked-firefox.json');
  await writeFile(file, JSON.stringify(worked(JSON.parse(await native('plan')))));
  const wall = await open(`${pathToFileURL(SINGLE_FILE).href}#wall/${(await native('link', 'make', file)).trim()}`, 'new');
  await until(wall.ask, "/\\d/.test(document.querySelector('.wall-bites td:last-child')?.textContent) && document.querySelector('.wall .qr') !== null", 60);
  await bothPapers(wall, 'wall', (pages, what) => assertWall(pages, what, WORKED_WORDS));
  assert.deepEqual(await page.complaints(), [], 'Firefox complained');
}));
