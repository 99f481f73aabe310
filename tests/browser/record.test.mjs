// The plate's record: what the clock ran stands in it by itself; photographs, impressions, notes; on paper, out as a file and in again.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, screenshot, WIDE } from './lib/page.mjs';
import { inChromium, PAPERS, read, says } from './lib/paper.mjs';
import { drop, dropPicture, native, openPanel, setNumber } from './lib/plans.mjs';
import { eventually } from './lib/waits.mjs';

const table = (page) => page.locator('.record-job').first().locator('tbody tr').evaluateAll((all) => all.map((tr) =>
  [...tr.children].map((cell) => (cell.querySelector('input')?.value ?? cell.textContent).replaceAll('\u00a0', ' ').trim())));

/** Everything that stands in the record as it is shown, words and entries. */
const shown = (page) => page.locator('.record-parts').evaluate((parts) => [
  parts.innerText, ...[...parts.querySelectorAll('input:not([type="radio"]), textarea, select')].map((one) => one.value),
  ...[...parts.querySelectorAll('img')].map(({ naturalWidth, naturalHeight }) => `${naturalWidth} × ${naturalHeight}`),
]);

/** A photograph of so many pixels, drawn by the browser and dropped. */
async function dropPhotograph(page, name, width, height) {
  await page.evaluate(async ([called, wide, high]) => {
    const canvas = new OffscreenCanvas(wide, high);
    const on = canvas.getContext('2d');
    for (let i = 0; i < 40; i++) {
      on.fillStyle = `rgb(${(i * 67) % 256} ${(i * 67) % 256} ${(i * 61) % 200})`;
      on.fillRect((i * 97) % wide, (i * 89) % high, wide / 3, high / 5);
    }
    const data = new DataTransfer();
    data.items.add(new File([await canvas.convertToBlob({ type: 'image/jpeg' })], called, { type: 'image/jpeg', lastModified: new Date('2026-05-04T10:00:00').getTime() }));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
  }, [name, width, height]);
}

const inRecord = (page, words) => page.locator('.record-parts').getByText(words);

async function savedFile(page) {
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'save as one file' }).click()]);
  assert.match(download.suggestedFilename(), /-record\.json$/);
  return readFile(await download.path(), 'utf8');
}

async function writeDown(page, kind, how = {}) {
  await page.getByRole('radio', { name: kind, exact: true }).check({ force: true });
  if (how.of) { await page.getByLabel('edition of').fill(how.of); await page.getByLabel('edition of').press('Enter'); }
  if (how.many) { await page.getByLabel('how many').fill(how.many); await page.getByLabel('how many').press('Enter'); }
  if (how.paper) await page.locator('.record-paper-entry input').fill(how.paper);
  await page.getByRole('button', { name: /^write down/ }).click();
}

test('what the clock ran stands in the record without a press, beside the plan as it was then', () => onPage({ name: 'record-clock' }, async (page) => {
  await page.clock.install();
  await reckoned(page);
  await fromMenu(page, 'clock…');
  await page.getByRole('button', { name: /^13\s*Bite 1/ }).click();
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  await page.clock.runFor(140_000);
  await page.getByRole('button', { name: 'Next', exact: true }).click();
  await page.getByRole('button', { name: 'plate’s record…' }).click();
  await page.getByRole('heading', { name: 'Plate record' }).waitFor();
  await page.locator('.record-job').waitFor();
  const row = async (name) => (await table(page)).find(([step]) => step === name);
  const [, planned, ran, over] = await eventually(() => row('Bite 1'), Boolean, 'the first bite stands in the record');
  assert.equal(planned, '1½ min', 'as planned');
  assert.match(ran, /^2:2\d$/, 'as it ran');
  assert.match(over, /^\+0:5\d$/);
  assert.deepEqual((await row('Bite 2')).slice(1), ['1½ min', '', ''], 'nothing else ran');
  // By hand: what came too late to the clock, and what it never saw.
  await page.getByRole('textbox', { name: 'Bite 1 ran' }).fill('2:20');
  await page.getByRole('textbox', { name: 'Bite 1 ran' }).press('Enter');
  await page.getByRole('textbox', { name: 'Plate in the box ran' }).fill('6 min');
  await page.getByRole('textbox', { name: 'Plate in the box ran' }).press('Enter');
  await eventually(() => row('Plate in the box'), (cells) => cells.slice(1).join() === '5 min,6:00,+1:00', 'written by hand');
  await inRecord(page, 'The plan has not been changed since.').waitFor();

  // The plan changes, the record does not.
  await page.keyboard.press('Escape');
  await page.keyboard.press('Escape');
  await setNumber(page, 'Wait', 47);
  await openPanel(page, 'plate record…', 'Plate record');
  await inRecord(page, 'Since then the plan was changed: wait 30 s → 47 s.').waitFor();
  assert.deepEqual((await row('Bite 1')).slice(1), ['1½ min', '2:20', '+0:50']);
  await page.reload();
  await inRecord(page, 'Since then the plan was changed: wait 30 s → 47 s.').waitFor({ timeout: 30_000 });
  assert.deepEqual((await row('Bite 1')).slice(1), ['1½ min', '2:20', '+0:50'], 'after a reload');
  assert.equal((await row('Wait for the coarse grains to fall') ?? await row('Wait') ?? (await table(page))[0])[1], '30 s', 'the plan as it was');
  await page.getByRole('button', { name: 'open the plan as it was then' }).click();
  await page.locator('.told', { hasText: 'was put on the shelf' }).waitFor();
  await openPanel(page, 'plate record…', 'Plate record');
  await inRecord(page, 'The plan has not been changed since.').waitFor();
  // Another plate has another record, and the shelf leads back to this one.
  await page.keyboard.press('Escape');
  await openPanel(page, 'shelf…', 'Shelf');
  await page.getByRole('button', { name: /^Duplicate/ }).first().click();
  await page.getByRole('button', { name: /^Record of .*\(copy\)/ }).click();
  await page.locator('.record-parts').waitFor();
  assert.equal(await page.locator('.record-job').count(), 0, 'nothing has been done to a copy’s copper');
  await page.goBack();
  await page.getByRole('button', { name: 'Record of Harbour at dusk', exact: true }).click();
  await page.locator('.record-job').waitFor();
}));

test('photographs, impressions and notes print on one side, go out as one file and come in again; a bad file harms nothing', () => onPage({ name: 'record' }, async (page) => {
  await reckoned(page);
  await openPanel(page, 'plate record…', 'Plate record');
  await dropPhotograph(page, 'second-pull.jpg', 3000, 2000);
  await page.locator('.record-photographs img').waitFor();
  const about = page.locator('.record-about');
  assert.equal(await about.locator('.record-text').inputValue(), 'second-pull', 'called as its file');
  assert.equal(await about.locator('.record-day').inputValue(), '2026-05-04', 'of the day it was taken');
  await writeDown(page, 'bon à tirer', { paper: 'Rag, 250 g' });
  await writeDown(page, 'artist’s proof', { many: '2' });
  await writeDown(page, 'edition', { of: '20', many: '12' });
  await inRecord(page, 'Bon à tirer, 2 artist’s proofs, 12 of 20 of the edition.').waitFor();
  await page.getByRole('button', { name: '3/20: destroyed' }).click();
  await page.getByRole('button', { name: 'Remove 12/20' }).click();
  await page.getByRole('button', { name: 'put it back' }).click();
  await page.getByLabel('A word on 4/20').fill('a little light at the quay');
  await page.getByRole('button', { name: 'add a note' }).click();
  await page.locator('.record-notes textarea:focus').waitFor();
  // What is being typed is kept, also where the record is closed in the middle of it.
  await page.keyboard.type('The bath was colder than planned.');
  await page.keyboard.press('Escape');
  await openPanel(page, 'plate record…', 'Plate record');
  assert.equal(await page.locator('.record-notes textarea').inputValue(), 'The bath was colder than planned.');
  await page.getByRole('button', { name: 'the plate is cancelled…' }).click();
  await page.getByRole('button', { name: /^Yes, cancelled/ }).click();
  await inRecord(page, 'No more is pulled from it.').waitFor();
  assert.equal(await page.getByRole('button', { name: /^write down \d/ }).count(), 0, 'nor written down');
  await page.locator('.record-photographs img').evaluate((img) => img.decode());
  const before = await shown(page);
  assert.ok(before.includes('1600 × 1067'), 'the photograph is made smaller');
  await assertAccessible(page);
  await screenshot(page, 'record-wide');
  await page.setViewportSize(PHONE);
  const { wide, inner } = await page.evaluate(() => ({ wide: document.querySelector('.view').scrollWidth, inner: window.innerWidth }));
  assert.ok(wide <= inner, `nothing sticks out sideways: ${wide} px in ${inner} px`);
  await screenshot(page, 'record-phone');
  await page.setViewportSize(WIDE);

  await page.evaluate(() => { window.print = () => { window.printed = true; }; });
  await page.getByRole('button', { name: 'Print it' }).click();
  await eventually(() => page.evaluate('window.printed'), Boolean, 'it prints when its photographs and its code are in');
  for (const paper of Object.keys(PAPERS)) {
    const pages = read(await inChromium(page, paper), 'record', paper);
    assert.equal(pages.length, 1, `${paper}: one side`);
    for (const words of [
      'Harbour at dusk', 'Bites: 1.5 · 1.5 · 1.5 · 1.5 · 2.5 · 3.5 · 6 min', 'second-pull', 'bon à tirer', 'A.P. 1 to A.P. 2', '3/20', 'destroyed', '5/20 to 12/20',
      'a little light at the quay', 'The bath was colder than planned.', 'The plate was cancelled on',
    ]) assert.ok(says(pages, words), `${paper} says “${words}”`);
    for (const words of ['Print it', 'Printed before', 'Left out', 'remove']) assert.ok(!says(pages, words), `${paper} has no “${words}”`);
  }

  const file = await savedFile(page);
  // Damaged on its way: each is refused in a sentence, and what is here stays.
  const odd = JSON.parse(file);
  odd.records[0].impressions[0].number = 'first';
  for (const [text, sentence] of [
    [JSON.stringify(odd), '1 record could not be read'], [file.slice(0, -200), 'was not opened'], [JSON.stringify({ platewright_shelf: 1, plans: [], records: 'none' }), '1 record could not be read'],
  ]) {
    await drop(page, 'bad.json', text);
    await page.locator('.notice, .shelf-said').filter({ hasText: sentence }).first().waitFor();
    await page.keyboard.press('Escape');
    await openPanel(page, 'plate record…', 'Plate record');
    await page.locator('.record-photographs img').evaluate((img) => img.decode());
    assert.deepEqual(await shown(page), before, `${sentence}: the record is as it was`);
  }

  // Forgotten, and brought back by the file.
  await page.getByRole('button', { name: 'forget this record…' }).click();
  await page.getByRole('button', { name: 'Yes, forget it' }).click();
  await page.locator('.record-photographs:empty').waitFor({ state: 'attached' });
  assert.equal(await page.locator('.record-impressions').count(), 0);
  await drop(page, 'record.json', file);
  await page.locator('.shelf-said', { hasText: '1 record came in.' }).waitFor();
  await page.keyboard.press('Escape');
  await openPanel(page, 'plate record…', 'Plate record');
  await page.locator('.record-photographs img').evaluate((img) => img.decode());
  assert.deepEqual(await shown(page), before, 'the same as before');

  // The same file once more changes nothing; one that says otherwise is laid beside.
  await drop(page, 'record.json', file);
  await page.locator('.shelf-said', { hasText: 'A plan with this very record stands here already.' }).waitFor();
  await page.keyboard.press('Escape');
  await openPanel(page, 'plate record…', 'Plate record');
  await page.locator('.record-notes textarea').fill('Warmer than planned, in truth.');
  await page.keyboard.press('Escape');
  await drop(page, 'record.json', file);
  await page.locator('.shelf-said', { hasText: 'another record is here already: nothing of yours was changed' }).waitFor();
  await page.getByRole('button', { name: 'Record of Harbour at dusk', exact: true }).first().click();
  await eventually(() => page.locator('.record-notes textarea').inputValue(), (text) => text === 'The bath was colder than planned.', 'the one from the file');
  await page.getByRole('button', { name: 'to the record of the plan in hand' }).click();
  await eventually(() => page.locator('.record-notes textarea').inputValue(), (text) => text === 'Warmer than planned, in truth.', 'mine');
}));

test('two tabs write in one record, a full store is told, and a worked plate keeps its record when another picture comes', () => onPage({ name: 'record-tabs' }, async (page, { context }) => {
  await reckoned(page);
  await openPanel(page, 'plate record…', 'Plate record');
  const write = async (on, words) => {
    await on.getByRole('button', { name: 'add a note' }).click();
    await on.locator('.record-notes textarea').last().and(on.locator(':focus')).waitFor();
    await on.keyboard.type(words);
  };
  const notes = (on) => on.locator('.record-notes textarea').evaluateAll((all) => all.map(({ value }) => value).sort());
  await write(page, 'first tab');
  const plate = await eventually(() => page.evaluate(() => JSON.parse(localStorage.getItem(`platewright.draft.${sessionStorage.getItem('platewright.tab')}`))?.plate), Boolean, 'the plate is known again');
  const other = await context.newPage();
  await other.goto(`${page.url().split('#')[0]}#record-${plate}`);
  await eventually(() => notes(other), (all) => all.join() === 'first tab', 'what the first has written');
  await write(other, 'second tab');
  await eventually(() => notes(page), (all) => all.join() === 'first tab,second tab', 'both see both');
  await write(page, 'first again');
  await eventually(() => notes(other), (all) => all.join() === 'first again,first tab,second tab', 'and go on');
  await other.close();

  await page.evaluate(() => {
    const { put } = IDBObjectStore.prototype;
    IDBObjectStore.prototype.put = function full(...what) {
      if (window.room) return put.apply(this, what);
      throw new DOMException('full', 'QuotaExceededError');
    };
  });
  await write(page, 'no room');
  await page.locator('.notice', { hasText: 'This browser does not keep the record of the plate' }).waitFor();
  assert.ok((await notes(page)).includes('no room'), 'it is still there');
  assert.ok((await savedFile(page)).includes('no room'), 'and goes into the file');
  await page.evaluate(() => { window.room = true; });
  await write(page, 'room again');
  await page.locator('.record-notes textarea').last().blur();
  await eventually(() => page.evaluate(async () => {
    const opened = indexedDB.open('platewright.records');
    const store = await new Promise((resolve) => { opened.onsuccess = () => resolve(opened.result); });
    const asked = store.transaction('records').objectStore('records').getAll();
    const all = await new Promise((resolve) => { asked.onsuccess = () => resolve(asked.result); });
    store.close();
    return all.flatMap((one) => one.notes.map(({ text }) => text));
  }), (all) => ['no room', 'room again', 'second tab'].every((words) => all.includes(words)), 'the store has what it refused before');

  await page.keyboard.press('Escape');
  await dropPicture(page, 'hills.png', { spaced: false });
  await openPanel(page, 'plate record…', 'Plate record');
  await page.locator('.record-parts').waitFor();
  assert.deepEqual(await notes(page), [], 'another picture, another plate');
  // What another version of the page has written is no room for this one.
  const fresh = await page.evaluate(() => JSON.parse(localStorage.getItem(`platewright.draft.${sessionStorage.getItem('platewright.tab')}`)).plate);
  const stored = (write) => page.evaluate(async ([id, odd]) => {
    const opened = indexedDB.open('platewright.records');
    const store = await new Promise((resolve) => { opened.onsuccess = () => resolve(opened.result); });
    const records = store.transaction('records', 'readwrite').objectStore('records');
    const asked = odd ? records.put({ id, from: 'another version' }) : records.get(id);
    const found = await new Promise((resolve) => { asked.onsuccess = () => resolve(asked.result); });
    store.close();
    return found;
  }, [fresh, write]);
  await stored(true);
  await page.keyboard.press('Escape');
  await openPanel(page, 'plate record…', 'Plate record');
  await page.locator('.record-top', { hasText: 'was written by another version of the page' }).waitFor();
  await write(page, 'over it');
  await page.locator('.record-said', { hasText: 'is left as it is' }).waitFor();
  assert.deepEqual(await stored(false), { id: fresh, from: 'another version' }, 'it is left as it is');
  await page.keyboard.press('Escape');
  await openPanel(page, 'shelf…', 'Shelf');
  await page.getByRole('button', { name: 'Record of Harbour at dusk' }).click();
  await eventually(() => notes(page), (all) => all.includes('second tab'), 'the worked plate stands on the shelf with its record');
}));

test('a long record keeps to one side by its oldest notes; a long edition is never cut, and goes on with its head', () => onPage({ name: 'record-long' }, async (page) => {
  await reckoned(page);
  const plan = JSON.parse(await native('plan'));
  const none = { plan, jobs: [], photographs: [], notes: [], impressions: [], edition_of: null, cancelled: null };
  const notes = Array.from({ length: 40 }, (_, i) => ({ id: `n${i}`, at: `2026-${String(1 + Math.floor(i / 28)).padStart(2, '0')}-${String(1 + (i % 28)).padStart(2, '0')}`, text: `Note ${i}: ${'the copper looked as it should. '.repeat(8)}` }));
  const impressions = Array.from({ length: 190 }, (_, i) => ({ id: `i${i}`, kind: 'edition', number: i + 1, of: 190, at: '2026-05-04', paper: 'rag', word: `to buyer ${i + 1}`, destroyed: false }));
  await drop(page, 'long.json', JSON.stringify({
    platewright_shelf: 1, plans: ['talked', 'printed'].map((name) => ({ name, plan, picture: null, plate: name })),
    records: [{ ...none, id: 'talked', title: 'talked', notes }, { ...none, id: 'printed', title: 'printed', notes: notes.slice(0, 9), impressions }],
  }));
  await page.locator('.shelf-said', { hasText: '2 records came in.' }).waitFor();
  const printed = async (name) => {
    await page.getByRole('button', { name: `Record of ${name}`, exact: true }).click();
    await page.locator('.record-title', { hasText: name }).waitFor();
    await page.evaluate(() => { window.printed = false; window.print = () => { window.printed = true; }; });
    await page.getByRole('button', { name: 'Print it' }).click();
    await eventually(() => page.evaluate('window.printed'), Boolean, 'ready to print');
    const pages = read(await inChromium(page, 'Letter'), `record-${name}`, 'Letter');
    await page.goBack();
    return pages;
  };
  const talked = await printed('talked');
  assert.equal(talked.length, 1, 'one side');
  assert.ok(says(talked, 'Left out for want of room: the ') && says(talked, 'oldest notes'), 'it says what is not on it');
  // By its lines: what `says` compares has no figures.
  const text = (pages) => pages.flatMap(({ lines }) => lines.map(({ words }) => words)).join(' ');
  assert.match(text(talked), /Note 39:/, 'the newest stand');
  assert.doesNotMatch(text(talked), /Note 0:/, 'the oldest do not');
  const edition = await printed('printed');
  assert.ok(edition.length > 1, `${edition.length} pages`);
  for (const number of [1, 77, 190]) assert.match(text(edition), new RegExp(`\\b${number}/190 .*to buyer ${number}\\b`), `impression ${number} is on it`);
  for (const { lines } of edition.slice(1)) assert.equal(lines.find(({ words }) => !/^\d+ \/ \d+$/.test(words)).words, 'printed · plate record', 'every page says what it belongs to');
}));
