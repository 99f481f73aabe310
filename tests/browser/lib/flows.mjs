// The main flows, written once for every engine: from opening to the single file. Each is given a window (`engine.mjs`)
// and `agree(what, read)`, which holds what the page shows against what the engines before it have shown.

import assert from 'node:assert/strict';
import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { Key } from 'selenium-webdriver';
import { beenHere, catchSaved, outcome, pixelsOf, saved, tableOf, testerPlace, wordsOf } from './looks.mjs';
import { RECKONED, ROOT, servedAt, SINGLE_FILE } from './page.mjs';
import { assertMain, assertNoWordColumns, assertSheet, assertWall, PAPERS, PARAGRAPHS, read, STEPS, worked, WORKED_WORDS } from './paper.mjs';
import { native, oldLink } from './plans.mjs';
import { fingerprint, greyPixels, greyPng, within } from './png.mjs';
import { photographOfProof } from './realProof.mjs';
import { linkAndProof, MARGIN_PX } from './sameProof.mjs';
import { eventually } from './waits.mjs';

const DISK = pathToFileURL(SINGLE_FILE).href;

/** Opens the hosted page with empty stores, as somebody who has been here before. */
async function fresh(page, { hash = '', steps = 'one', grain = 'looked-at' } = {}) {
  const here = await servedAt();
  // A leaf of the same host, where no page holds the stores open.
  await page.open(new URL('licences.txt', here).href);
  await page.ask(beenHere, { steps, grain });
  await page.open(here + hash);
  await reckoned(page);
}

/** The same with the single file, straight from disk. Its stores are its own: it must be open for them to be emptied. */
async function freshFromDisk(page, { hash = '', steps = 'one', grain = 'looked-at' } = {}) {
  if (!(await page.driver.getCurrentUrl()).startsWith(DISK)) await page.open(DISK);
  await reckoned(page);
  await page.ask(beenHere, { steps, grain });
  await page.open('about:blank');
  await page.open(DISK + hash);
  await reckoned(page);
}

/** Goes to a place on the hosted page: on the one that is open, or on a fresh one. */
async function goTo(page, place) {
  if (!(await page.driver.getCurrentUrl()).startsWith(await servedAt())) await fresh(page);
  await page.ask((to) => { location.hash = to; }, place);
}

const reckoned = (page) => page.until((css) => document.querySelector(css) !== null, 'the plan is reckoned', { args: [RECKONED] });
const unfoldTable = async (page) => { if (await page.ask(() => document.querySelector('.scale-unfold').ariaExpanded) !== 'true') await page.press('all numbers'); };

const value = (page, selector) => page.ask((css) => document.querySelector(css)?.value, selector);
const title = (page) => value(page, '.title-entry');
const hash = (page) => page.ask(() => location.hash);
/** Everything that a plan comes to. */
const all = async (page) => {
  const results = await page.ask(outcome);
  return results && { results, table: await page.ask(tableOf), tester: await page.ask(pixelsOf, '.tester-picture'), patches: await page.ask(pixelsOf, '.patch') };
};
/** Titles of the plans that are written down. */
const drafts = () => Object.keys(localStorage).filter((key) => key.startsWith('platewright.draft.')).map((key) => JSON.parse(localStorage[key]).plan.title);
/** The title that this tab has written down. */
const mine = () => JSON.parse(localStorage.getItem(`platewright.draft.${sessionStorage.getItem('platewright.tab')}`) ?? 'null')?.plan.title;

async function opens(page, agree) {
  await fresh(page);
  assert.match(await page.ask(() => document.title), /Platewright/, 'the tab has a name');
  await unfoldTable(page);
  await agree('the harbour: results, table, linen tester, patches', () => all(page));
  await page.press('copper', '.tester');
  await agree('the harbour: the copper under the linen tester', () => page.ask(pixelsOf, '.tester-picture'));
  await page.press('print', '.tester');
}

let hills;

/** Hills in a mist, with a fine hatching over them: a file of 480 × 640 pixels, the same for all engines. */
const drawnPicture = () => { hills ??= drawPicture(); return hills; };

async function drawPicture() {
  const [width, height] = [480, 640];
  const grey = Buffer.alloc(width * height);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const hills = 150 + 60 * Math.sin(x / 47) * Math.cos(y / 83) - 90 * (y / height) ** 2;
      grey[y * width + x] = Math.max(0, Math.min(255, Math.round(hills + ((x + 2 * y) % 7 < 2 ? -40 : 25))));
    }
  }
  const file = path.join(ROOT, 'test-results/hills.png');
  await mkdir(path.dirname(file), { recursive: true });
  await writeFile(file, greyPng(width, height, grey));
  return file;
}

async function ownPicture(page, agree) {
  await fresh(page, { steps: 'all' });
  await takePictureIn(page, agree);
}

async function takePictureIn(page, agree) {
  await unfoldTable(page);
  await page.chooseFile('Choose a picture…', await drawnPicture());
  await page.says('.picture-name', 'hills.png');
  await eventually(() => title(page), (words) => words === 'hills', 'the plan has the picture’s name');
  await agree('a picture of one’s own: results, table, linen tester, patches', () => all(page));
  await page.press('Use the harbour again');
  await eventually(() => title(page), (words) => words === 'Harbour at dusk', 'and the example’s with the example');
}

/** Every step, and a number in it that is tried there. */
const SECTIONS = [
  ['picture', 'Width', 100], ['dust', 'Wait', 90], ['bake', 'Bake', 12], ['bath', 'Temperature', 24], ['bites', null], ['ink', 'Reducer', 40], ['states', null],
];

async function sections(page, agree) {
  await goTo(page, '');
  for (const [name, label, tried] of SECTIONS) {
    await page.click(`#${name} .step-name`);
    await page.there(`#${name} .step-body`);
    assert.equal(await hash(page), `#${name}`, 'every step has an address');
    assert.deepEqual(await page.ask(() => [...document.querySelectorAll('.section')].filter((one) => one.querySelector('.step-body')?.checkVisibility()).map(({ id }) => id)), [name], 'one step stands open');
    if (label === null) continue;
    const before = await page.ask(outcome);
    await page.write(await page.ask(entryOf, name, label), tried, Key.ENTER);
    await eventually(() => page.ask(outcome), (now) => now !== null && JSON.stringify(now) !== JSON.stringify(before), `${label} shows in what comes out`);
  }
  await agree('after a number in every step: results, table, linen tester, patches', () => all(page));
  await page.reload();
  await page.there('#states .step-body');
  await page.ask(() => { history.back(); });
  await page.there('#ink .step-body');
}

/** The entry of a section that begins with these words. Runs in the page. */
function entryOf(section, label) {
  return [...document.querySelectorAll(`#${section} .entry`)].find((one) => one.textContent.trim().startsWith(label)).querySelector('.entry-value');
}

async function link(page, agree) {
  const { link: old, plan } = await oldLink('twelve-bites-and-notes');
  await freshFromDisk(page, { hash: `#${old}`, steps: 'all' });
  assert.equal(await title(page), plan.title, 'the plan of the link');
  assert.equal(await value(page, '.notes-entry'), plan.notes, 'with its notes');
  assert.equal(await hash(page), '', 'the address is clean again');
  await page.until(drafts, 'it is written down');
  await eventually(() => page.ask(drafts), (titles) => titles.join() === plan.title, 'it is written down', 10);
  await agree('twelve bites of a link: results, table, linen tester, patches', () => all(page));
  await page.press('share…');
  await page.there('.share-link');
  const own = await agree('the link to a plan', () => page.ask(() => { const at = document.querySelector('.share-link'); return (at.value ?? at.textContent).split('#')[1]; }));
  const told = JSON.parse(await native('link', 'read', own));
  assert.equal((told.plan ?? told).title, plan.title, 'and leads to the same plan');
}

async function wholeProof(page) {
  const { link: given, proof } = await linkAndProof();
  await fresh(page, { hash: `#${given}`, grain: 'every' });
  await page.says('.grain', 'Proof complete', 120);
  // No engine has downloads here: the file is caught on its way there.
  await page.ask(catchSaved);
  await page.press('save proof');
  const bytes = await eventually(() => page.ask(saved), (got) => got !== null, 'the proof is saved', 20);
  assert.equal(fingerprint(within(greyPixels(Buffer.from(bytes, 'base64')), MARGIN_PX)), proof, 'dot for dot what the native program makes');
}

const closeDialog = (page) => page.ask(() => document.querySelector('dialog').close());

async function shelfAndReload(page) {
  if ((await page.driver.getCurrentUrl()).startsWith(DISK)) await page.ask(() => { location.hash = ''; });
  else await freshFromDisk(page);
  await page.press('shelf…');
  await page.press('Keep this plan', 'dialog');
  await page.until(() => document.querySelectorAll('.shelf-name').length === 1, 'the plan is on the shelf');
  await page.there('dialog canvas');
  await closeDialog(page);
  await page.write('.title-entry', 'First tab');
  await page.until(() => document.title.startsWith('First tab'), 'the tab has the plan’s name');
  await page.press('compare…');
  await page.until(() => {
    const sheets = [...document.querySelectorAll('.compare-glass canvas')];
    return sheets.length === 2 && sheets.every((canvas) => canvas.width > 100);
  }, 'two plans lie side by side');
  await page.says('.compare-differ', 'First tab');
  await closeDialog(page);
  await twoTabs(page);
  await page.press('shelf…');
  await page.until(() => document.querySelectorAll('.shelf-name').length === 1, 'the shelf is as it was');
}

async function twoTabs(page) {
  const { driver } = page;
  const one = await driver.getWindowHandle();
  await driver.switchTo().newWindow('tab');
  const two = await driver.getWindowHandle();
  const to = (tab) => driver.switchTo().window(tab);
  await page.open(DISK);
  await reckoned(page);
  assert.equal(await title(page), 'First tab', 'the second tab goes on from the first');
  await page.write('.title-entry', 'Second tab');
  await page.until(() => document.title.startsWith('Second tab'), 'the second has a name of its own');
  await to(one);
  await page.write('.title-entry', 'First tab again');
  for (const [tab, words] of [[two, 'Second tab'], [one, 'First tab again']]) {
    await to(tab);
    await eventually(() => page.ask(mine), (written) => written === words, 'each tab writes its own plan down');
  }
  for (const [tab, words] of [[one, 'First tab again'], [two, 'Second tab']]) {
    await to(tab);
    await page.reload();
    await reckoned(page);
    assert.equal(await title(page), words, 'each tab has its own plan after a reload');
  }
  assert.deepEqual(await page.complaints(), [], `${page.name} complained in the second tab`);
  await driver.close();
  await to(one);
}

async function sheet(page, agree) {
  await goTo(page, '');
  await page.press('bench sheet…');
  await page.there('.sheet-paper');
  await page.until(() => document.querySelector('.sheet-paper .not-whole') === null, 'the sheet is whole');
  const steps = await agree('the bench sheet', () => page.ask(wordsOf, '.sheet-step h3, .sheet-bites td'));
  assert.ok(steps.length > 30, `${steps.length} lines`);
}

async function guides(page, agree) {
  await goTo(page, 'sheet');
  await page.press('stop-out guides…', '.sheet');
  await page.there('.guide svg');
  const drawn = await agree('the guides, line for line', () => page.ask(() => [...document.querySelectorAll('.guide-paper > svg')].map((svg) => {
    const text = svg.innerHTML.replace(/\s*xmlns(:\w+)?="[^"]*"/g, '');
    let sum = 0;
    for (let i = 0; i < text.length; i++) sum = Math.imul(sum, 31) + text.charCodeAt(i) | 0;
    return `${svg.getAttribute('width')} × ${svg.getAttribute('height')}: ${text.length} ${sum}`;
  })));
  assert.equal(drawn.length, 7, 'a sheet for what stays white and for each of six stop-outs');
}

async function clock(page, agree) {
  await goTo(page, '');
  await page.press('clock…');
  await page.there('.clock-face');
  await agree('the steps of the clock', () => page.ask(wordsOf, '.clock-list li'));
  const bite = (await page.ask(wordsOf, '.clock-list li button > :nth-child(2)')).indexOf('Bite 1');
  await page.click(`.clock-list li:nth-child(${bite + 1}) button`);
  const left = await page.ask(wordsOf, '.clock-face');
  await page.press('Start');
  await eventually(() => page.ask(wordsOf, '.clock-face'), (now) => now.join() !== left.join(), 'the clock goes');
  await page.until(() => /^\d:\d\d Bite 1 – Clock/.test(document.title), 'the tab says what the clock says');
  await page.reload();
  await page.there('.clock-face');
  await page.until(() => /^\d:\d\d Bite 1/.test(document.title), 'it goes on after a reload');
  await page.press('Next');
  await page.says('.clock-name', 'top out');
  await page.says('.clock-list li[data-done=true]', 'Bite 1');
}

async function lesson(page, agree) {
  await goTo(page, 'lesson-half-covered');
  await page.there('.ask-option');
  assert.equal(await page.ask(() => document.querySelector('.lesson-text').checkVisibility()), false, 'nothing is given away before the guess');
  await page.click('.ask-option:first-of-type');
  await page.says('.ask-option', 'your guess');
  await page.until(() => document.querySelectorAll('.lesson-figure canvas').length > 0 && [...document.querySelectorAll('.strip-tone')].every((one) => /\d/.test(one.textContent)), 'its patches are in', { seconds: 90 });
  const tones = await agree('the tones of a lesson', () => page.ask(wordsOf, '.strip-tone'));
  assert.equal(tones.length, 18);
}

async function strip(page, agree) {
  await goTo(page, '');
  await page.press('test strip…');
  await page.says('.strip-progress', '7 patches, ', 120);
  const patches = await agree('the test strip: its patches', () => page.ask(pixelsOf, '.strip-print, .strip-grain canvas'));
  assert.equal(patches.length, 14, 'seven patches, each with its grain');
  await agree('the test strip: its numbers', () => page.ask(wordsOf, '.strip-table th, .strip-line td'));
}

async function states(page, agree) {
  await goTo(page, '');
  await page.click('#states .step-name');
  await page.press('scraper', '#states');
  await page.there('.tool-sheet');
  const box = await page.ask(() => { const { left, top, width, height } = document.querySelector('.proof-frame').getBoundingClientRect(); return { left, top, width, height }; });
  await page.drag([[-0.1, -0.1], [0, 0], [0.1, -0.1]].map(([x, y]) => [box.left + box.width * (0.5 + x), box.top + box.height * (0.3 + y)]));
  await page.until(() => document.querySelectorAll('.states-row input').length === 2 && document.querySelectorAll('.work-list > li').length === 1, 'a stroke begins the second state');
  // Where a hand drew depends on the window; by numbers the work is the same.
  await page.press('undo');
  await page.until(() => document.querySelectorAll('.states-row input').length < 2, 'undone');
  await page.press('A passage by numbers', '#states');
  for (const [label, mm] of [['From the left', 20], ['From the top', 110], ['Width', 60], ['Height', 40]]) await page.write(await page.ask(entryOf, 'states details', label), mm, Key.TAB);
  await page.ask(() => { [...document.querySelectorAll('#states button')].find((one) => /work this passage/.test(one.textContent)).click(); });
  await page.until(() => document.querySelectorAll('.work-list > li').length === 1, 'the passage is worked');
  await agree('a scraped passage: results, table, linen tester, patches', () => all(page));
}

/** Of as few steps as can be read: four constants are found from them. */
const READINGS = [86, 75, 61, 48, 37, 28];

async function calibrate(page, agree) {
  await goTo(page, '');
  await page.press('calibrate…');
  await page.there('.step-guide-plate');
  await page.press(String(READINGS.length), '[aria-label="Steps"]');
  await page.until((count) => document.querySelectorAll('[aria-label^="Reading of step"]').length === count, 'as many steps', { args: [READINGS.length] });
  for (const [i, l] of READINGS.entries()) await page.write(`[aria-label="Reading of step ${i + 1}"]`, l, i + 1 === READINGS.length ? Key.TAB : '');
  await page.press('Find the constants', '.calibrate');
  await page.there('.calibrate-found', 90);
  const found = await agree('constants found from readings', () => page.ask(wordsOf, '.calibrate-found tbody td'));
  assert.ok(found.length >= 8, `values and limits: ${found}`);
}

/** A photograph of a proof whose bath bit slower than planned. As PNG: engines unpack JPEG each in their own way. */
let slowBath;

/** Lays it on the plan that it was pulled from, and gives what is read. */
async function takeProofIn(page, opened) {
  slowBath ??= photographOfProof({ rate_um_per_min: 0.8, size: [48, 64], name: 'three-engines', ending: 'png' });
  const { link, photo } = await slowBath;
  await opened(page, { hash: `#${link}` });
  await page.press('read a real proof…');
  await page.chooseFile('Choose the photograph…', photo);
  await page.there('.pulled-values', 60);
  return () => page.ask(wordsOf, '.pulled-values td');
}

async function realProof(page, agree) {
  const read = await agree('what is read of a real proof', await takeProofIn(page, fresh));
  assert.ok(read.length >= 16, `values: ${read}`);
  await page.there('.pulled-said', 90);
  const [said] = await agree('why it differs', () => page.ask(wordsOf, '.pulled-said'));
  assert.match(said, /lighter than planned: the bath bit/);
  await agree('both prints under the linen tester', () => page.ask(pixelsOf, '.pulled-glass canvas'));
  // What comes after finds the harbour.
  await fresh(page);
}

async function faults(page, agree) {
  await fresh(page, { hash: '#dust' });
  await page.press('What could go wrong here', '#dust');
  await page.there('#dust .faults-kinds button');
  await page.press('dust knocked off', '#dust .faults-kinds');
  await page.there('#dust .faults-list');
  await page.press('look at it under the linen tester', '#dust');
  await agree('a fault in its step: table and linen tester', () => all(page));
  // Paper alone, dry or wet: no other ground is laid. Of the first two each comes up once.
  await goTo(page, 'what-went-wrong-2-22t');
  await page.there('.wrong-option', 90);
  await agree('an exercise: both prints under the linen tester', () => page.ask(pixelsOf, '.compare-glass canvas'));
  await page.press('dry paper', '.wrong-guesses');
  await agree('the answer, and where it is shown', async () => [await page.ask(wordsOf, '.wrong-answer h3'), await page.ask(pixelsOf, '.compare-glass canvas')]);
  await page.there('.wrong-answer h3');
  // What comes after finds the harbour.
  await fresh(page);
}

const paperTone = (page) => page.ask(() => getComputedStyle(document.body).backgroundColor.match(/\d+/g).slice(0, 3).reduce((sum, one) => sum + Number(one) / 3, 0));

async function dim(page, agree) {
  await goTo(page, '');
  const bright = await paperTone(page);
  await page.press('view');
  await page.press('dim', '.menu-list');
  await page.until(() => document.documentElement.dataset.light === 'dim', 'the room is dim');
  await eventually(() => paperTone(page), (tone) => tone < bright / 2, 'the page is dark', 10);
  await page.reload();
  await reckoned(page);
  assert.ok(await paperTone(page) < bright / 2, 'and after a reload');
  // The proof keeps its own tones.
  await unfoldTable(page);
  await agree('the harbour: results, table, linen tester, patches', () => all(page));
  await page.press('view');
  await page.press('daylight', '.menu-list');
}

async function fromDisk(page, agree) {
  await page.open(DISK);
  await reckoned(page);
  assert.match(await page.ask(() => document.title), /Platewright/, 'the tab has a name');
  await unfoldTable(page);
  await agree('the harbour: results, table, linen tester, patches', () => all(page));
}

async function paper(page) {
  if (!page.prints) return;
  const bothPapers = async (name, check) => {
    const paragraphs = await page.ask(`return ${PARAGRAPHS}`);
    for (const [size, mm] of Object.entries(PAPERS)) {
      const pages = read(await page.print(mm), `${page.name}-${name}`, size);
      assertNoWordColumns(pages, paragraphs, `${name}, ${size}`);
      check(pages, `${name}, ${size}`);
    }
  };
  await fresh(page);
  await page.until(() => document.querySelectorAll('.plan .plot').length > 2, 'the plan has its curves');
  // Folded as it opens, and unfolded: the same on paper.
  assert.equal(await page.ask(() => document.querySelectorAll('.step-body:not([hidden])').length), 0, 'all steps are folded');
  await bothPapers('page-folded', assertMain);
  await page.press('unfold every step');
  await page.until(() => document.querySelectorAll('.step-body[hidden]').length === 0, 'all are unfolded');
  await bothPapers('page', assertMain);
  await page.press('bench sheet…');
  await page.there('.sheet-paper');
  await page.until(() => document.querySelector('.sheet-paper .not-whole') === null, 'the sheet is whole');
  const steps = await page.ask(`return ${STEPS}`);
  await bothPapers('sheet', (pages, what) => assertSheet(pages, steps, 'Harbour at dusk', what));
  const file = path.join(ROOT, 'test-results/paper/worked-engines.json');
  await mkdir(path.dirname(file), { recursive: true });
  await writeFile(file, JSON.stringify(worked(JSON.parse(await native('plan')))));
  await page.open(`${DISK}#wall/${(await native('link', 'make', file)).trim()}`);
  await page.until(() => /\d/.test(document.querySelector('.wall-bites td:last-child')?.textContent) && document.querySelector('.wall .qr') !== null, 'the sheet for the wall is whole');
  await bothPapers('wall', (pages, what) => assertWall(pages, what, WORKED_WORDS));
}

/** The linen tester stays in its frame on a tablet, also when that is turned. */
async function tablet(page) {
  await page.size(820, 1024);
  await goTo(page, '');
  await page.press('linen tester', '.pane-words');
  for (const [width, height] of [[820, 1024], [768, 1024], [1440, 900], [768, 900]]) {
    await page.size(width, height);
    const { frame, picture: seen, room } = await eventually(() => page.ask(testerPlace), ({ drawn }) => drawn, `the linen tester shows something at ${width}`, 20);
    assert.ok(seen.left >= frame.left && seen.right <= frame.right && seen.top >= frame.top && seen.bottom <= frame.bottom,
      `at ${width} × ${height} the picture lies in its frame: ${JSON.stringify([seen, frame])}`);
    assert.ok(frame.bottom <= room + 1, `and the frame in its room: ${frame.bottom}, ${room}`);
  }
}

/**
 * The single file takes files in and has them after a reload: engines let a page from disk read and keep less than one from
 * a host. What it leaves in the store is nobody's business, so it comes last.
 */
async function keptFromDisk(page) {
  await page.size(1440, 900);
  await freshFromDisk(page, { steps: 'all' });
  const picture = await drawnPicture();
  await page.chooseFile('Choose a picture…', picture);
  await page.says('.picture-name', 'hills.png');
  // A plan of an earlier flow may still be in hand, and keeps its own name.
  const named = await title(page);
  await page.press('plate record…');
  await page.there('.record-parts');
  await page.chooseFile('choose photographs…', picture, '.record');
  const shown = () => { const one = document.querySelector('.record-photographs img'); return one?.complete && one.naturalWidth; };
  assert.equal(await eventually(() => page.ask(shown), Boolean, 'the photograph is taken in'), 480, 'as wide as it is');
  await page.until(mine, 'the plan is written down');
  await page.reload();
  await reckoned(page);
  if (await hash(page) !== '#record') await page.press('plate record…');
  assert.equal(await eventually(() => page.ask(shown), Boolean, 'the photograph is there after a reload'), 480, 'and as wide');
  await page.ask(() => { location.hash = ''; });
  await page.says('.picture-name', 'hills.png');
  assert.equal(await title(page), named, 'with its plan');
}

/** One after another; what needs no page of its own goes on with the one before. */
export const FLOWS = {
  'the page opens and reckons the plan': opens,
  'the bench sheet': sheet,
  'stop-out guides': guides,
  'the clock': clock,
  'a lesson': lesson,
  'the test strip': strip,
  'calibrating from a step plate': calibrate,
  'a real proof, read and explained': realProof,
  'a fault in a step, and one to be found': faults,
  'dim light': dim,
  'every step of the plan': sections,
  'states of the plate': states,
  'a picture of one’s own': ownPicture,
  'the whole proof of a link, dot for dot': wholeProof,
  'the single file from disk': fromDisk,
  'a link, there and back': link,
  'shelf, comparison, two tabs and a reload': shelfAndReload,
  'on paper, A4 and Letter': paper,
  'the linen tester in its frame': tablet,
  'the single file takes a picture and a photograph in, and keeps them': keptFromDisk,
};
