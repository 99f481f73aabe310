// The plan as it opens: steps that fold, each with what it comes to in a line and a mark where something is wrong; the
// way from a mark to its entry; the value table and the proof beside them.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { fromMenu, onPage, openMenu, PHONE, reckoned, screenshot, unfoldTable, unfoldWarnings, WIDE } from './lib/page.mjs';
import { drop, muchToSay, planInHand, setNumber } from './lib/plans.mjs';
import { eventually } from './lib/waits.mjs';

const STEPS = ['picture', 'dust', 'bake', 'bath', 'bites', 'ink', 'states'];

/** Presses the name of a step. */
const press = (page, step) => page.locator(`#${step} .step-name`).click();
/** Steps that stand open, by what is to be seen of them. */
const open = (page) => page.locator('.section:has(> .step-body)').evaluateAll((all) => all.filter((one) => one.querySelector('.step-body').checkVisibility()).map(({ id }) => id));
const results = (page) => page.locator('.step-result').evaluateAll((all) => Object.fromEntries(all.filter((one) => one.isConnected).map((one) => [one.closest('.section').id, one.textContent.replaceAll('\u00a0', ' ')])));
/** Marks by their step. */
const marks = (page) => page.locator('.step-mark').evaluateAll((all) => Object.fromEntries(all.filter((one) => one.isConnected).map((one) => [one.closest('.section').id, one.dataset.kind])));
/** What a step's name is described by, as it is heard. */
const heard = (page, step) => page.locator(`#${step} .step-name`).evaluate((on) => on.getAttribute('aria-describedby').split(' ').map((id) => document.getElementById(id)?.textContent ?? '').join(' '));
const entry = (page, name) => page.getByRole('spinbutton', { name, exact: true });
/** Cells of a row of the value table that are to be seen, as numbers. */
const row = (page, name) => page.locator('.scale-table tr', { has: page.locator('th', { hasText: new RegExp(`^${name.replace('*', '[*]')}`) }) }).locator('td')
  .evaluateAll((all) => all.filter((cell) => cell.checkVisibility()).map((cell) => Number(cell.querySelector('input')?.value ?? cell.textContent)));

/** What has the keyboard: its step, the field it is for, and whether it is in sight and under nothing. */
const focused = (page) => page.evaluate(() => {
  const on = document.activeElement;
  const { left, right, top, bottom } = on.getBoundingClientRect();
  const hit = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
  return { step: on.closest('.section')?.id, field: on.closest('[data-field]')?.dataset.field, named: on.getAttribute('aria-label'), seen: hit !== null && on.contains(hit) };
});

test('each step says in a line what it comes to; one is open at a time, or all', () => onPage({ name: 'steps', steps: 'one' }, async (page) => {
  await reckoned(page);
  assert.deepEqual(await open(page), [], 'all are folded as the page opens');
  assert.deepEqual(await page.locator('.section').evaluateAll((all) => all.map(({ id }) => id)), STEPS, 'in the order of the bench');
  const first = await results(page);
  const tones = await row(page, 'L*');
  assert.match(first.picture, /^harbour at dusk, 150 mm × 200 mm, 7 values$/);
  assert.match(first.dust, /^\d+ % covered from above$/);
  assert.match(first.bake, /^\d+ % of the copper covered, \d+ islands per mm²$/);
  assert.match(first.bath, /^40\.0 °Bé, 20 °C, \d\.\d µm a minute$/);
  assert.equal(first.bites, '7, 18 min in all');
  assert.equal(first.ink, `L* ${tones[0]} to ${tones.at(-1)}`, 'as the table has it');
  assert.equal(first.states, 'the first proof');
  assert.deepEqual(await marks(page), {}, 'nothing is wrong with the harbour');

  // One after another, and none.
  for (const step of STEPS) {
    await press(page, step);
    assert.deepEqual(await open(page), [step], `${step} alone`);
    assert.deepEqual(await page.locator('.step-name[aria-expanded=true]').evaluateAll((all) => all.map((one) => one.closest('.section').id)), [step], 'and told so');
    assert.equal(await page.locator(`#${step} .step-result`).isVisible(), false, 'its line makes way for its entries');
    const box = await page.locator(`#${step} .step-head`).boundingBox();
    assert.ok(box.y >= 0 && box.y + box.height <= WIDE.height, `its name is in sight: ${box.y} px`);
  }
  await press(page, 'states');
  assert.deepEqual(await open(page), [], 'folded again by the same press');

  // The lines follow what is typed, in the table as well.
  await page.locator('.scale-table').getByRole('spinbutton', { name: 'Minutes of bite 7' }).fill('8');
  await eventually(() => results(page), ({ bites, ink }) => bites === '7, 20 min in all' && ink !== first.ink, 'minutes and darkest tone follow');
  await press(page, 'dust');
  await entry(page, 'Wait').fill('200');
  await eventually(() => results(page), ({ dust, bake }) => dust !== first.dust && bake !== first.bake, 'dust and ground follow');
  await openMenu(page, 'view');
  await page.locator('.menu-choice .word', { hasText: 'US' }).click();
  const us = await results(page);
  assert.match(us.picture, /5\.91 in × 7\.87 in/);
  assert.match(us.bath, /^40\.0 °Bé, 68 °F, /);
  await page.locator('.menu-choice .word', { hasText: 'metric' }).click();
  await page.keyboard.press('Escape');

  // What is seldom set is folded once more; everything unfolds at once, and stays so.
  await press(page, 'ink');
  const margin = page.locator('#ink .more [data-field="paper.margin_mm"]');
  assert.equal(await margin.isVisible(), false);
  await page.locator('#ink .more summary').click();
  assert.equal(await margin.isVisible(), true);
  const all = page.getByRole('button', { name: 'unfold every step' });
  await all.click();
  assert.equal(await all.getAttribute('aria-pressed'), 'true');
  assert.deepEqual(await open(page), STEPS);
  assert.ok((await page.locator('.plan .entry').evaluateAll((every) => every.filter((one) => one.checkVisibility()).length)) > 30, 'with what is seldom set');
  await page.getByRole('button', { name: 'scraper', exact: true }).waitFor();
  await page.reload();
  await reckoned(page);
  assert.deepEqual(await open(page), STEPS, 'after a reload, too');
  await all.click();
  assert.deepEqual(await open(page), ['ink'], 'the one that was open stands open');
  await page.reload();
  await reckoned(page);
  assert.deepEqual(await open(page), ['ink'], 'and after a reload');
}));

for (const [name, size] of [['wide', WIDE], ['phone', PHONE]]) {
  test(`a step is marked where something is wrong, and led to however it is folded (${name})`, () => onPage({ name: `steps-wrong-${name}`, steps: 'one', size }, async (page) => {
    await reckoned(page);
    await press(page, 'bake');
    await entry(page, 'Bake').fill('200');
    await eventually(() => marks(page), ({ bake }) => bake === 'wrong', 'the bake is marked');
    assert.deepEqual(await marks(page), { bake: 'wrong' }, 'and nothing else');
    assert.match(await heard(page, 'bake'), /something here holds the plan up/, 'for the ear as well');
    await press(page, 'bake');
    assert.deepEqual(await open(page), []);
    assert.ok(await page.locator('#bake .step-mark').isVisible(), 'the mark stands at the folded step');
    assert.equal(await page.locator('.step-result[data-stale=false]').count(), 0, 'no line passes for new');
    await page.locator('.proof-foot').getByRole('button', { name: 'go to it: Bake' }).click();
    await page.locator('[aria-label="Bake"][aria-invalid="true"]:focus').waitFor();
    assert.deepEqual(await open(page), ['bake']);
    assert.deepEqual(await focused(page), { step: 'bake', field: 'bake.bake_min', named: 'Bake', seen: true });
    assert.equal(new URL(page.url()).hash, '#bake');
    await screenshot(page, `steps-wrong-${name}`);
    await page.locator('#bake .ways-out button').first().click();
    await eventually(() => marks(page), (all) => Object.keys(all).length === 0, 'mended, the mark has gone');

    // What is folded once more within its step.
    await press(page, 'ink');
    await page.locator('#ink .more summary').click();
    await entry(page, 'Margin').fill('9000');
    await eventually(() => marks(page), ({ ink }) => ink === 'wrong', 'the margin is marked');
    await page.locator('#ink .more summary').click();
    await press(page, 'ink');
    await page.locator('.proof-foot').getByRole('button', { name: 'go to it: Margin' }).click();
    await page.locator('[aria-label="Margin"][aria-invalid="true"]:focus').waitFor();
    assert.deepEqual(await focused(page), { step: 'ink', field: 'paper.margin_mm', named: 'Margin', seen: true });
  }));

  test(`all that deserves a look is told in one line, and each leads to its entry (${name})`, { timeout: 120_000 }, () => onPage({ name: `steps-look-${name}`, steps: 'one', size }, async (page) => {
    await reckoned(page);
    await drop(page, 'much.json', JSON.stringify(muchToSay(await planInHand(page))));
    const summary = page.locator('.scale-warnings summary');
    await summary.waitFor({ timeout: 60_000 });
    const looks = page.locator('.scale-warnings li');
    assert.equal(await looks.first().isVisible(), false, 'folded');
    const count = await looks.count();
    assert.ok(count > 10 && (await summary.textContent()) === `${count} things deserve a look`, `${count}: ${await summary.textContent()}`);
    await unfoldWarnings(page);
    const steps = new Set();
    for (let i = 0; i < count; i++) {
      const act = looks.nth(i).getByRole('button');
      const named = (await act.getAttribute('aria-label')).replace('go to it: ', '');
      await act.click();
      const there = await eventually(() => focused(page), ({ step }) => step !== undefined, `“${named}” is gone to`);
      assert.ok(there.seen, `“${named}” is in sight: ${JSON.stringify(there)}`);
      assert.ok(there.named === named || there.named === `Minutes of ${named.toLowerCase()}`, `“${named}” leads to ${JSON.stringify(there)}`);
      assert.deepEqual(await open(page), [there.step]);
      steps.add(there.step);
      await press(page, there.step);
    }
    assert.deepEqual(await marks(page), Object.fromEntries([...steps].map((step) => [step, 'look'])), 'just those steps are marked');
    for (const step of steps) assert.match(await heard(page, step), /something here deserves a look/);
  }));
}

test('the value table shows minutes and lightness, and the rest when it is asked', () => onPage({ name: 'steps-table', steps: 'one' }, async (page) => {
  await reckoned(page);
  const rows = () => page.locator('.scale-table tbody th').evaluateAll((all) => all.filter((one) => one.checkVisibility()).map((one) => one.firstElementChild.textContent.trim()));
  assert.deepEqual(await rows(), ['Bite', 'L*']);
  await unfoldTable(page);
  assert.deepEqual(await rows(), ['Bite', 'L*', 'In the bath', 'Stop out', 'Depth', 'Density', 'Of the plate']);
  assert.deepEqual((await row(page, 'Bite')).slice(1), [1.5, 1.5, 1.5, 1.5, 2.5, 3.5, 6]);
  assert.deepEqual((await row(page, 'In the bath')).slice(1), [1.5, 3, 4.5, 6, 8.5, 12, 18], 'minutes add up');
  // Copper is what can be typed.
  const [typed, told] = await page.locator('.scale-table').evaluate((table) => ['input', 'td:not(:has(input))'].map((cells) =>
    [...new Set([...table.querySelectorAll(cells)].filter((cell) => cell.textContent !== '–').map((cell) => getComputedStyle(cell).color))]));
  assert.ok(typed.length === 1 && told.length === 1 && typed[0] !== told[0], `minutes that can be typed are ${typed}, numbers that are told ${told}`);
  await page.getByRole('button', { name: 'fewer numbers' }).click();
  assert.deepEqual(await rows(), ['Bite', 'L*']);
  // Words are answered beneath, though the step of the bites is folded.
  const bite = page.locator('.scale-table').getByRole('spinbutton', { name: 'Minutes of bite 3' });
  await bite.fill('long');
  await page.locator('.scale .problem[role=alert]', { hasText: '“long” is not a number: bite 3 still takes 1.5 min' }).waitFor();
}));

/** Width of the plate on the screen, css pixels, by the bar that shows a length. */
const plateWidth = (page, mm) => page.locator('.scale-bar').evaluate((bar, wide) => (wide * parseFloat(bar.querySelector('.scale-bar-rule').style.width)) / parseFloat(bar.querySelector('.number').textContent), mm);
const pressed = (page) => page.locator('.proof-foot button[aria-pressed=true]').allTextContents();

for (const [name, size, least] of [['wide', WIDE, 460], ['phone', PHONE, 340]]) {
  test(`the proof opens on the plate, at least ${least} px wide (${name})`, () => onPage({ name: `steps-proof-${name}`, steps: 'one', size }, async (page) => {
    await reckoned(page);
    assert.deepEqual(await pressed(page), ['plate']);
    const opened = await plateWidth(page, 150);
    const frame = await page.locator('.proof-frame').boundingBox();
    assert.ok(opened >= least && opened <= frame.width, `${opened.toFixed(0)} px of ${frame.width}`);
    assert.ok((opened * 200) / 150 <= frame.height, `the whole plate is in its frame: ${((opened * 200) / 150).toFixed(0)} px of ${frame.height}`);
    // As drawn: the plate's dark foot ends where the bare strip of paper begins.
    const dark = await page.locator('.proof-frame canvas').first().evaluate((canvas) => {
      const { data } = canvas.getContext('2d').getImageData(0, Math.round(canvas.height * 0.86), canvas.width, 1);
      const row = Array.from({ length: canvas.width }, (_, x) => data[4 * x] < 160 && data[4 * x + 3] === 255);
      return (row.lastIndexOf(true) - row.indexOf(true) + 1) / devicePixelRatio;
    });
    assert.ok(Math.abs(dark - opened) < 12, `drawn ${dark} px wide`);

    await page.getByRole('button', { name: 'whole sheet' }).click();
    assert.deepEqual(await pressed(page), ['whole sheet']);
    const sheet = await plateWidth(page, 150);
    assert.ok(sheet < 0.9 * opened, `with its margins the plate is smaller: ${sheet.toFixed(0)} px`);
    await page.getByRole('button', { name: 'plate', exact: true }).and(page.locator('.proof-foot button')).click();
    assert.ok(Math.abs(await plateWidth(page, 150) - opened) < 1, 'and back');
    await page.locator('.proof-look').focus();
    for (const [key, shown, wide] of [['0', 'whole sheet', sheet], ['9', 'plate', opened], ['1', 'at size', (150 / 25.4) * 96]]) {
      await page.keyboard.press(key);
      assert.deepEqual(await pressed(page), [shown], `key ${key}`);
      assert.ok(Math.abs(await plateWidth(page, 150) - wide) < 1.5, `key ${key}: ${await plateWidth(page, 150)} px, not ${wide}`);
    }
    await page.keyboard.press('9');
    // Fitted, it stays so in another window.
    await page.setViewportSize({ width: size.width - 40, height: size.height - 150 });
    await eventually(() => plateWidth(page, 150), (now) => now < opened - 20, 'a smaller window shows it smaller');
    assert.deepEqual(await pressed(page), ['plate']);
    await page.setViewportSize(size);
    await eventually(() => plateWidth(page, 150), (now) => Math.abs(now - opened) < 1, 'and as before in the window as before');
  }));

  test(`few stops of the keyboard lead to the first step (${name})`, () => onPage({ name: `steps-stops-${name}`, steps: 'one', size }, async (page) => {
    await reckoned(page);
    const at = () => page.evaluate(() => document.activeElement.textContent || document.activeElement.getAttribute('aria-label'));
    await page.keyboard.press('Tab');
    assert.equal(await at(), 'Go to the plan', 'the first stop leads past the head and the proof');
    await page.keyboard.press('Enter');
    let stops = 1;
    for (; stops < 10 && await at() !== 'Picture and plate'; stops++) await page.keyboard.press('Tab');
    assert.ok(await at() === 'Picture and plate', `within ten stops: at “${await at()}”`);
    await page.keyboard.press('Enter');
    assert.deepEqual(await open(page), ['picture']);
    await page.keyboard.press('Enter');
    // All there are, once round.
    await page.evaluate(() => document.activeElement.blur());
    const seen = await page.evaluate(() => [...document.querySelectorAll('a[href], button:enabled, input, textarea, select, summary, [tabindex="0"]')]
      .filter((one) => one.tabIndex >= 0 && one.checkVisibility({ visibilityProperty: true }) && !(one.type === 'radio' && !one.checked)).length);
    assert.ok(seen <= 45, `${seen} stops on the page as it opens`);
  }));
}

test('who spares a battery has only those grains reckoned that are looked at', () => onPage({ name: 'steps-grain', grain: 'every' }, async (page) => {
  await reckoned(page);
  const foot = page.locator('.proof-foot .grain');
  await foot.filter({ hasText: /^Every grain/ }).waitFor();
  // A small plate: all its grains will be asked for.
  for (const [side, mm] of [['Width', 45], ['Height', 60]]) await setNumber(page, side, mm);
  await openMenu(page, 'view');
  await page.getByRole('radio', { name: 'where I look' }).check({ force: true });
  await foot.filter({ hasText: 'Grain where you look' }).waitFor();
  await page.reload();
  await reckoned(page);
  await foot.filter({ hasText: 'Grain where you look' }).waitFor();
  await openMenu(page, 'plan');
  assert.match(await page.locator('.menu-act', { hasText: 'save proof' }).innerText(), /choose it under “view”/);
  await page.keyboard.press('Escape');
  const whole = () => page.evaluate(() => performance.getEntriesByName('every-grain').length);
  assert.equal(await whole(), 0);
  await foot.getByRole('button', { name: 'every grain' }).click();
  await eventually(whole, (times) => times === 1, 'the whole proof', 120);
  await foot.filter({ hasText: 'Proof complete' }).waitFor();
}));

test('the menus hold every act of the head, and none is there twice', () => onPage({ name: 'steps-acts', steps: 'one' }, async (page) => {
  await reckoned(page);
  const acts = await page.locator('.menu').evaluateAll((all) => Object.fromEntries(all.map((menu) => [
    menu.querySelector('.menu-word').textContent, [...menu.querySelectorAll('.menu-act')].map((act) => (act.firstElementChild ?? act).textContent),
  ])));
  assert.deepEqual(acts, {
    plan: ['open…', 'save plan', 'shelf…', 'share…', 'save proof', 'print'],
    try: ['test strip…', 'compare…', 'plan backwards…', 'watch it happen…'],
    bench: ['bench sheet…', 'clock…', 'plate record…', 'read a real proof…', 'book of faults…', 'guides…', 'risk form…', 'bath book…', 'calibrate…'],
    learn: ['lessons…', 'what went wrong?…', 'your own lessons…', 'glossary…', 'how sure the numbers are…'],
    view: [],
  });
  assert.deepEqual(await page.locator('.head').getByRole('button').allTextContents(), ['plan', 'try', 'bench', 'learn', 'view', 'undo', 'redo'], 'and only these words are seen');
  await fromMenu(page, 'share…');
  await page.getByRole('heading', { name: 'Share this plan' }).waitFor();
  assert.equal(await page.locator('.menu-list:not([hidden])').count(), 0, 'a choice folds the list');
}));
