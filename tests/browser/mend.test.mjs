// What holds a plan up is named, marked and told, with the way to it and the ways out beside it; by the keyboard alone.

import assert from 'node:assert/strict';
import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, ROOT, screenshot, WIDE } from './lib/page.mjs';
import { native, planInHand } from './lib/plans.mjs';

const IMPOSSIBLE = { platewright: 1, title: 'Wrong rate', dust: { wait_s: 33 }, calibration_name: 'tray', calibration: { 'bite.rat': 1, 'bite.rate_um_per_min': -1 } };

/** Drops a plan file; `text` may be bytes. */
const drop = (page, text, name) => page.evaluate(([bytes, called]) => {
  const data = new DataTransfer();
  data.items.add(new File([new Uint8Array(bytes)], called, { type: 'application/json' }));
  window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
}, [[...Buffer.from(text)], name]);

const entryNamed = (page, name) => page.getByRole('spinbutton', { name, exact: true });
const described = (entry) => entry.evaluate((on) => on.getAttribute('aria-describedby').split(' ').map((id) => document.getElementById(id)?.textContent ?? '').join(' '));
const focused = (page) => page.evaluate(() => document.activeElement.getAttribute('aria-label') ?? document.activeElement.textContent);
const told = (page, words) => page.locator('.notices[role=status][aria-live=polite]', { hasText: words }).waitFor({ state: 'attached' });
const calculated = (page) => page.locator('.grain-held').waitFor({ state: 'detached' });

for (const [name, size] of [['wide', WIDE], ['phone', PHONE]]) test(`an entry that can’t be used is marked, told and mended (${name})`, () => onPage({ name: `mend-${name}`, size }, async (page) => {
  await reckoned(page);
  const bake = entryNamed(page, 'Bake');
  await bake.focus();
  await page.keyboard.type('12');
  await page.keyboard.press('Enter');
  await page.keyboard.press('ControlOrMeta+a');
  await page.keyboard.type('200');
  await page.locator('.proof-foot', { hasText: 'Bake holds everything up' }).waitFor();
  assert.equal(await bake.getAttribute('aria-invalid'), 'true', 'the entry is marked');
  assert.match(await described(bake), /Bake is 200 min; it must lie between 0\.5 and 60 min/, 'and described by the sentence');
  await told(page, 'Bake is 200 min');
  await assertAccessible(page);

  // Far away from it, the foot leads there with one press, and the next stop but the entry's own is a way out.
  await page.locator('.title-entry').focus();
  await page.locator('.proof-foot button', { hasText: 'go to it' }).focus();
  await page.keyboard.press('Enter');
  await page.locator('[aria-label="Bake"][aria-invalid="true"]:focus').waitFor();
  const [box, strip, menus] = await Promise.all([bake, page.locator('.scale-scroll'), page.locator('.head-groups')].map((one) => one.boundingBox()));
  assert.ok(box.y >= 0 && box.y + box.height <= size.height, 'the entry is in sight');
  if (size === PHONE) {
    assert.ok(strip.y >= 0 && box.y >= strip.y + strip.height, `and not under the value strip: ${box.y} px, the strip ends at ${strip.y + strip.height}`);
    assert.ok(box.y + box.height <= menus.y, `nor under the menus: ${box.y + box.height} px, they begin at ${menus.y}`);
  }
  await screenshot(page, `mend-${name}-led`);
  const ways = page.locator('[data-field="bake.bake_min"] .ways-out button');
  assert.deepEqual(await ways.allTextContents(), ['put back 12.0\u00a0min', 'take the usual 10.0\u00a0min']);
  for (let stops = 0; stops < 4 && !/^put back/.test(await focused(page)); stops++) await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await calculated(page);
  assert.equal((await planInHand(page)).bake.bake_min, 12, 'as it last was');
  await told(page, 'The plan is calculated again.');

  // Words stay as they were typed, with a sentence; Escape takes them back.
  await bake.focus();
  await page.keyboard.press('ControlOrMeta+a');
  await page.keyboard.type('hot');
  await page.keyboard.press('Tab');
  assert.equal(await bake.inputValue(), 'hot', 'not snapped back');
  assert.match(await described(bake), /“hot” is not a number: 12\.0\s+min still holds/);
  assert.equal((await planInHand(page)).bake.bake_min, 12, 'the plan keeps its number');
  await bake.focus();
  await page.keyboard.press('Escape');
  assert.equal(await bake.inputValue(), '12.0');

  // A bite is mended in the list and in the table of values alike.
  const bite = page.locator('.scale-table').getByRole('spinbutton', { name: 'Minutes of bite 2' });
  await bite.fill('-3');
  await page.locator('.scale .ways-out button', { hasText: 'put back' }).waitFor();
  assert.equal(await bite.getAttribute('aria-invalid'), 'true');
  assert.match(await described(bite), /Bite 2 is -3 min/);

  // Side by side says at once why there is nothing to see.
  await fromMenu(page, 'compare…');
  await page.locator('.compare-side [role=alert]', { hasText: 'Bite 2 is -3 min' }).waitFor();
  await page.locator('.compare-differ li', { hasText: 'bite 2' }).waitFor();
  await page.keyboard.press('Escape');
  await page.locator('.bites .ways-out button', { hasText: 'put back' }).click();
  await calculated(page);
}));

test('an impossible calibration is refused by name, and mended where it is taken all the same', () => onPage({ name: 'mend-calibration' }, async (page) => {
  await reckoned(page);
  const text = JSON.stringify(IMPOSSIBLE);
  await drop(page, text, 'wrong.json');
  const notice = page.locator('.notice', { hasText: 'wrong.json' });
  await notice.waitFor();
  const sentences = await notice.locator('li').allTextContents();
  const file = path.join(ROOT, 'test-results/wrong.json');
  await mkdir(path.dirname(file), { recursive: true });
  await writeFile(file, text);
  const answer = await native('check', file).then(() => 'sound', ({ stderr }) => stderr);
  for (const sentence of sentences) assert.ok(answer.includes(sentence), `the native check says so, too: ${sentence}\n${answer}`);
  assert.match(sentences.join(' '), /“bite\.rat”, which is no constant.*“bite\.rate_um_per_min”.*must lie between/, 'both keys are named');

  await page.getByRole('button', { name: 'open it all the same, to correct it here' }).click();
  await page.locator('.proof-foot', { hasText: '“bite.rat” in the calibration and 1 more hold everything up' }).waitFor();
  // A reload finds the plan as it was, a proof of what of it can be calculated, and the same ways out.
  while (!await page.evaluate(() => JSON.stringify(localStorage).includes('bite.rat'))) await page.evaluate(() => new Promise(requestAnimationFrame));
  await page.reload();
  await reckoned(page);
  await page.locator('.proof-foot', { hasText: 'hold everything up' }).waitFor();
  assert.equal(await page.locator('.title-entry').inputValue(), 'Wrong rate');
  assert.equal(await entryNamed(page, 'Wait').inputValue(), '33');
  await page.locator('.proof-foot button', { hasText: 'go to it' }).focus();
  await page.keyboard.press('Enter');
  await page.locator('[data-field=calibration] button:focus', { hasText: 'leave out “bite.rat”' }).waitFor();
  await screenshot(page, 'mend-calibration');
  await page.keyboard.press('Enter');
  await page.locator('.proof-foot', { hasText: '“bite.rate_um_per_min” in the calibration holds everything up' }).waitFor();
  await page.getByRole('button', { name: 'leave out “bite.rate_um_per_min”' }).click();
  await calculated(page);
  const { calibration, title, dust } = await planInHand(page);
  assert.deepEqual([calibration, title, dust.wait_s], [undefined, 'Wrong rate', 33], 'all else is as it was');

  // Text as some editors save it is read as the native program reads it.
  const other = JSON.stringify({ platewright: 1, title: 'Ätzgrund' });
  await drop(page, Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(other, 'utf16le')]), 'utf16.json');
  await page.locator('.told', { hasText: 'put on the shelf' }).waitFor();
  assert.equal(await page.locator('.title-entry').inputValue(), 'Ätzgrund');
}));
