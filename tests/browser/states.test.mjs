// A plate carried through its states: strokes on the proof, a passage by numbers, a branch, a correction
// asked for in words of tone, an edition; undone, and opened elsewhere from its link.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertNarrow } from './lib/narrow.mjs';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, screenshot } from './lib/page.mjs';
import { eventually } from './lib/waits.mjs';

/** Mean grey of a canvas, or of a part of it (shares of its width and height). */
async function grey(page, selector, part = [0, 0, 1, 1]) {
  return page.locator(selector).first().evaluate((canvas, [x, y, w, h]) => {
    const small = new OffscreenCanvas(32, 32);
    const context = small.getContext('2d');
    context.drawImage(canvas, x * canvas.width, y * canvas.height, w * canvas.width, h * canvas.height, 0, 0, 32, 32);
    const { data } = context.getImageData(0, 0, 32, 32);
    let sum = 0;
    for (let i = 0; i < data.length; i += 4) sum += data[i];
    return (4 * sum) / data.length;
  }, part);
}

const until = (holds, what) => eventually(holds, (so) => so, what);

/** A zigzag drawn over the middle of the sky. */
async function stroke(page, across, down) {
  // The sheet that takes strokes comes with the tool, and brings the proof into view.
  await page.locator('.tool-sheet').waitFor();
  await page.evaluate(() => new Promise((resolve) => { requestAnimationFrame(() => requestAnimationFrame(resolve)); }));
  const box = await page.locator('.proof-frame').boundingBox();
  const at = (x, y) => [box.x + box.width * (0.5 + x), box.y + box.height * (0.3 + y)];
  await page.mouse.move(...at(-across, -down));
  await page.mouse.down();
  await page.mouse.move(...at(0, 0), { steps: 5 });
  await page.mouse.move(...at(across, -down), { steps: 5 });
  await page.mouse.up();
}

const states = (page) => page.locator('.states-row input').count();
const works = (page) => page.locator('.work-list > li').count();

test('a plate goes through its states', () => onPage({ name: 'states' }, async (page) => {
  await reckoned(page);
  await page.getByRole('button', { name: 'States', exact: true }).click();
  await page.getByRole('button', { name: 'scraper', exact: true }).click();
  // Strokes on the first proof begin a second state, and the next goes on in it.
  await stroke(page, 0.1, 0.1);
  await until(async () => (await states(page)) === 2 && (await works(page)) === 1, 'the second state');
  await stroke(page, 0.1, 0.05);
  await until(async () => (await works(page)) === 2, 'the second stroke');
  // The same by numbers, for whoever does not draw; it lightens the tester's field in it.
  await page.locator('summary', { hasText: 'A passage by numbers' }).click();
  for (const [label, value] of [['From the left', '20'], ['From the top', '110'], ['Width', '60'], ['Height', '40']]) {
    await page.locator('details').getByRole('spinbutton', { name: label, exact: true }).fill(value);
  }
  await page.locator('.states-part').getByRole('spinbutton', { name: 'Even passes', exact: true }).first().fill('6');
  const before = await grey(page, '.tester-picture');
  await page.getByRole('button', { name: /work this passage/ }).click();
  await until(async () => (await grey(page, '.tester-picture')) > before + 6, 'a lighter field under the linen tester');
  await screenshot(page, 'states-scraped');

  // From the first proof, try burnishing instead.
  await page.locator('.states-row label').first().click();
  await until(async () => Math.abs((await grey(page, '.tester-picture')) - before) < 2, 'the first proof again');
  await page.getByRole('button', { name: 'new state from the first proof' }).click();
  await page.getByRole('button', { name: 'burnisher', exact: true }).click();
  await page.getByRole('button', { name: /work this passage/ }).click();
  await until(async () => (await states(page)) === 3, 'the branch');
  await until(async () => (await grey(page, '.tester-picture')) > before + 6, 'the burnished field');
  await until(async () => (await page.locator('.side-by-side li').count()) === 3, 'three fields side by side');
  await until(async () => (await grey(page, '.side-by-side li:nth-child(3) canvas')) > (await grey(page, '.side-by-side li:nth-child(1) canvas')) + 4, 'the third lighter than the first');

  // Ask in words of tone.
  await page.getByRole('button', { name: 'outline a passage' }).click();
  await stroke(page, 0.08, 0.08);
  await page.getByRole('button', { name: 'a value lighter' }).click();
  await until(async () => (await page.locator('.ways > li').count()) >= 3, 'the ways');
  const words = await page.locator('.ways > li').first().innerText();
  assert.match(words, /Scrape: down [\d.]+ µm, \d+ even pass.*The pits are gone after [\d.]+ µm/s, 'how far to go, and the most');
  const pieces = await works(page);
  await page.locator('.ways > li').first().getByRole('button', { name: 'do this' }).click();
  await until(async () => (await works(page)) === pieces + 1, 'the work it asks for');

  // As dark as another place: the one under the linen tester.
  // The work just done has changed what is outlined: it is asked anew.
  await until(async () => (await page.locator('.ways').count()) === 0, 'the outline asked anew');
  await page.getByRole('button', { name: 'as under the linen tester' }).click();
  await until(async () => (await page.locator('.ways > li').count()) >= 3, 'the ways to the tone under the linen tester');

  // A new ground, with a dust and a second bite of its own.
  await page.locator('summary', { hasText: 'A new ground' }).click();
  await page.getByRole('button', { name: 'lay a new ground and bite' }).click();
  await until(async () => (await page.locator('.ground-entries').count()) === 1, 'the new ground');
  await page.locator('summary', { hasText: 'Its dust' }).click();
  const wait = page.locator('.ground-entries').getByRole('spinbutton', { name: 'Wait', exact: true });
  await wait.fill('200');
  await wait.press('Enter');
  await page.getByRole('button', { name: 'stop out, and bite again' }).click();
  await until(async () => (await page.locator('.later-bite').count()) === 2, 'a second bite');
  assert.equal(await wait.inputValue(), '200', 'the new ground keeps its own wait');
  assert.equal(await page.locator('.entry', { hasText: 'Wait' }).first().locator('.entry-value').inputValue(), '30', 'the first ground keeps its own');
  await screenshot(page, 'states-ground');
  // A bite taken out of the first ground leaves the later one at the values it meant, and says what gives way.
  const open = () => page.locator('.later-bite').nth(1).evaluate((bite) => [...bite.querySelectorAll('input')].slice(1).map(({ value }) => Number(value)));
  const [from, to] = await open();
  assert.ok(from > 1 && to > from, `values ${from} to ${to} lie open`);
  await page.getByRole('button', { name: 'Remove bite 1', exact: true }).click();
  await until(async () => (await page.locator('.bites > li').count()) === 6, 'a bite less');
  assert.deepEqual(await open(), [from - 1, to - 1], 'the same values under their new numbers');
  const gaveWay = page.locator('.notice', { hasText: 'Bite 1 is removed: the darker values lie in the bath for 1.5 min less.' });
  await gaveWay.waitFor();
  await screenshot(page, 'states-bite-out');
  await gaveWay.getByRole('button', { name: 'undo' }).click();
  await until(async () => (await page.locator('.bites > li').count()) === 7, 'the bite again');
  assert.deepEqual(await open(), [from, to], 'as before');
  assert.equal(await gaveWay.count(), 0, 'the notice has gone');
  // The table says what it is of, and so does all that shows the plate.
  const scope = 'State 3: minutes of the first ground; depth, L* and density after the bites under the second ground as well, away from wherever a tool has worked.';
  await page.locator('.scale-scope', { hasText: scope }).waitFor();
  await fromMenu(page, 'watch it happen…');
  await page.getByText('Your plan, under the linen tester, up to state 3.').waitFor();
  await page.locator('.watch-parts li').first().waitFor({ timeout: 60_000 });
  assert.deepEqual(await page.locator('.watch-parts button').allTextContents(), ['first ground', 'state 3', 'proof'], 'the parts of the work in their order');
  await page.locator('.watch-parts').getByRole('button', { name: 'state 3' }).click();
  const stages = (await page.locator('.watch-stages:not(.watch-parts) .watch-name').allTextContents()).join(', ');
  assert.match(stages, /^burnisher, .*wait, dust, bake, bite 1, bite 2, clean/, 'and the stages of this one');
  await page.getByLabel('Moment of the work').press('End');
  await page.locator('.watch-sentence', { hasText: 'this place prints L*' }).waitFor({ timeout: 60_000 });
  await page.keyboard.press('Escape');
  await fromMenu(page, 'compare…');
  await page.getByLabel('Which plan is A').waitFor();
  assert.equal(await page.getByLabel('Which plan is A').inputValue(), 'this plan, state 3', 'the state in hand is compared');
  await page.getByLabel('Which plan is B').selectOption('this plan, state 1, the first proof');
  await page.getByText('The plans are the same; A is state 3, B is state 1, the first proof.').waitFor();
  await until(async () => (await page.locator('.compare-glass canvas').count()) === 2
    && Math.abs((await grey(page, '.compare-side:nth-child(1) .compare-glass canvas')) - (await grey(page, '.compare-side:nth-child(2) .compare-glass canvas'))) > 4, 'two states of one plan side by side');
  await page.keyboard.press('Escape');

  // The edition.
  await page.getByRole('button', { name: 'plan an edition' }).click();
  await until(async () => (await page.locator('.edition-strip td').count()) > 20, 'the strip of impressions');
  assert.match(await page.locator('.edition').innerText(), /Ink \d+ g.*full sheets.*hours at the press/s, 'what the edition takes');
  await screenshot(page, 'states-edition', { fullPage: true });
  await assertNarrow(page, 'states, their tools and an edition');
  // The bench sheet goes on to the end of the job.
  await fromMenu(page, 'bench sheet…');
  for (const words of ['State 3: work the copper', 'State 3: stir up the dust, then wait', 'State 3: bite 1 under the new ground', 'State 3: rinse, and clean off varnish and grain', 'Print state 3', 'Print the edition: 30']) {
    await page.locator('.bench-sheet, .sheet').getByText(words).first().waitFor();
  }
  await screenshot(page, 'states-sheet', { fullPage: true });
  await page.keyboard.press('Escape');
  // A hollow is knocked up from the back, as far as it takes; the passage's corners are still there.
  const worked = await works(page);
  await page.getByRole('button', { name: 'hammer from the back', exact: true }).click();
  await page.locator('summary', { hasText: 'A passage by numbers' }).click();
  await page.getByRole('button', { name: 'work this passage: until the face is level' }).click();
  await until(async () => (await works(page)) === worked + 1, 'the hammer’s work');
  assert.match(await page.locator('.work-list > li').last().innerText(), /^Hammer from the back, a passage, until the face is level/);
  await screenshot(page, 'states-hammer');
  await page.keyboard.press('Control+z');
  await until(async () => (await works(page)) === worked, 'the hammer’s work undone');
  await page.getByRole('button', { name: 'burnisher', exact: true }).click();
  await page.getByRole('button', { name: 'burnisher', exact: true }).click();
  await assertAccessible(page);

  // Everything can be undone, step by step.
  await page.locator('h2', { hasText: 'States' }).click();
  await page.keyboard.press('Control+z');
  await until(async () => (await page.locator('.edition-strip').count()) === 0, 'the edition undone');
  for (let i = 0; i < 4; i++) await page.keyboard.press('Control+z');
  await until(async () => (await works(page)) === pieces, 'the work undone');
}));

test('strokes on a phone', () => onPage({ name: 'states-phone', size: PHONE }, async (page) => {
  await reckoned(page);
  await page.getByRole('button', { name: 'States', exact: true }).click();
  await page.getByRole('button', { name: 'burnisher', exact: true }).click();
  await stroke(page, 0.15, 0.1);
  await until(async () => (await works(page)) === 1, 'the stroke');
  const wide = await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth + 1);
  assert.ok(wide, 'nothing stands out to the side');
  await screenshot(page, 'states-phone');
}));
