// What goes wrong: a fault chosen in its step, dragged on the proof and undone; what it would cost; the book; an exercise
// from its link, guessed rightly and wrongly; all of it on a phone as well.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertAccessible, fromMenu, onPage, openMenu, PHONE, reckoned, screenshot } from './lib/page.mjs';
import { planInHand } from './lib/plans.mjs';
import { eventually, written } from './lib/waits.mjs';

const dust = (page) => page.locator('#dust .faults-fold', { hasText: 'What could go wrong here' });
/** Some of the light that canvases show; null for one where there is nothing yet. */
const seen = (canvases) => canvases.evaluateAll((all) => all.map((canvas) => {
  if (canvas.width < 50) return null;
  const { data } = canvas.getContext('2d', { willReadFrequently: true }).getImageData(0, 0, canvas.width, canvas.height);
  let sum = 7;
  for (let i = 0; i < data.length; i += 4) sum = (sum * 31 + data[i]) % 1_000_000_007;
  return sum;
}));
const allow = [/willReadFrequently/];
const narrowEnough = (page, what) => page.evaluate(() => Math.max(document.documentElement.scrollWidth, document.querySelector('dialog')?.scrollWidth ?? 0) - innerWidth)
  .then((over) => assert.ok(over <= 0, `${what}: ${over} px stick out sideways`));

test('a fault is chosen in its step, seen, dragged on the proof, moved by keys, and undone', () => onPage({ name: 'faults', steps: 'one', hash: '#dust', allow }, async (page) => {
  await reckoned(page);
  await dust(page).locator('summary').click();
  const kinds = dust(page).locator('.faults-kinds button');
  await kinds.first().waitFor();
  assert.deepEqual(await kinds.allTextContents(), ['draught while dusting', 'dust knocked off', 'greasy fingerprint', 'pinholes in the ground'], 'those of the step alone');
  await kinds.filter({ hasText: 'draught' }).click();
  await dust(page).locator('.faults-list').waitFor();
  const { plan: { faults: [fault] } } = await written(page, ({ faults = [] }) => faults.length === 1);
  assert.equal(fault.kind, 'draught');
  assert.equal(fault.size, 0.5);
  assert.ok(fault.x_mm > 0 && fault.x_mm < 150 && fault.y_mm > 0 && fault.y_mm < 200, 'on the plate');
  await dust(page).getByText('half as bad as it can be').waitFor();
  await dust(page).locator('summary', { hasText: 'one fault in the plan' }).waitFor();

  // The linen tester stands where it is, and shows it: worse, it looks otherwise.
  await dust(page).getByRole('button', { name: 'look at it under the linen tester' }).click();
  await page.locator('.tester-place', { hasText: fault.y_mm.toFixed(1) }).waitFor();
  const tester = page.locator('.tester .tester-picture');
  const before = await eventually(() => seen(tester), ([one]) => one !== null, 'the linen tester shows something');
  const size = dust(page).getByRole('spinbutton', { name: /^How bad/ });
  await size.fill('1');
  await dust(page).getByText('as bad as it can be', { exact: true }).waitFor();
  await eventually(() => seen(tester), ([one]) => one !== null && one !== before[0], 'the grain is another');
  await dust(page).getByRole('button', { name: 'another shape' }).click();
  await written(page, ({ faults: [one] }) => one.seed === fault.seed + 1 && one.size === 1);

  // By the hand, one step of undo; by the keyboard.
  const grip = page.locator('.fault-grip[data-what=place]');
  const box = await grip.boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x - 20, y + 25);
  await page.mouse.move(x - 40, y + 50);
  await page.mouse.up();
  const { plan: dragged } = await written(page, ({ faults: [one] }) => one.x_mm < fault.x_mm - 3 && one.y_mm > fault.y_mm + 3);
  await grip.focus();
  await page.keyboard.press('Shift+ArrowRight');
  await written(page, ({ faults: [one] }) => Math.abs(one.x_mm - dragged.faults[0].x_mm - 10) < 0.01);
  await page.locator('.fault-grip[data-what=reach]').focus();
  await page.keyboard.press('ArrowLeft');
  await written(page, ({ faults: [one] }) => Math.abs(one.radius_mm - fault.radius_mm + 1) < 0.01);
  await screenshot(page, 'faults-plan');
  await assertAccessible(page);
  const undo = page.getByRole('button', { name: 'undo', exact: true });
  for (let i = 0; i < 3; i++) await undo.click();
  await written(page, ({ faults: [one] }) => one.x_mm === fault.x_mm && one.y_mm === fault.y_mm && one.radius_mm === fault.radius_mm);

  // In US units its place is in inches; what mends it is a state; folded with its step it is no longer marked, but told.
  await openMenu(page, 'view');
  await page.locator('.menu-choice .word', { hasText: 'US' }).click();
  await page.keyboard.press('Escape');
  const left = await dust(page).getByRole('spinbutton', { name: /^From the left/ }).inputValue();
  assert.equal(left, (fault.x_mm / 25.4).toFixed(2));
  await dust(page).getByRole('button', { name: 'mend it in a later state' }).click();
  await written(page, ({ states = [] }) => states.length === 1 && 'ground' in states[0].work[0]);
  await page.locator('#dust .step-name').click();
  await page.locator('#dust .step-result', { hasText: 'one fault' }).waitFor();
  assert.equal(await page.locator('.fault-grip').count(), 0);
}));

test('what a fault would cost is weighed beside the plan, without touching it, and can be taken', () => onPage({ name: 'faults-cost', steps: 'one', allow }, async (page) => {
  await reckoned(page);
  const untouched = await planInHand(page);
  await fromMenu(page, 'bench sheet…');
  await page.locator('.sheet-bites').getByRole('button', { name: 'what would it cost if it went wrong? the bites' }).click();
  assert.match(page.url(), /#cost-bites$/, 'an address of its own');
  const kind = page.getByLabel('What goes wrong');
  const said = page.locator('.cost-said');
  await said.filter({ hasText: 'of the plate' }).waitFor({ timeout: 30_000 });
  // What was found of the one before is gone at once, and can no longer be taken.
  const meanwhile = await kind.evaluate(async (choice) => {
    choice.value = 'drip';
    choice.dispatchEvent(new Event('change', { bubbles: true }));
    while (!document.querySelector('.cost-words').textContent.includes('A drip falls')) await new Promise(requestAnimationFrame);
    return [document.querySelector('.cost-said').textContent, [...document.querySelectorAll('.cost .act')].find((act) => act.textContent.startsWith('Take it')).disabled];
  });
  assert.deepEqual(meanwhile, ['Both prints are being weighed …', true]);
  await said.filter({ hasText: /value \d, \d+ mm from the left and \d+ mm from the top: lighter by L\* \d+ over a quarter of a millimetre\. .* of the plate prints otherwise by more than L\* 2\./ }).waitFor({ timeout: 30_000 });
  const half = await said.textContent();
  const glasses = await eventually(() => seen(page.locator('.compare-glass canvas')), (all) => all.length === 2 && all.every((one) => one !== null), 'both linen testers show something');
  assert.notEqual(glasses[0], glasses[1], 'the place is under them');
  assert.ok(await page.locator('.cost-table tbody td').count() >= 2, 'value by value');
  await page.locator('.cost-choose .word', { hasText: 'the worst' }).click();
  await eventually(() => said.textContent(), (words) => words.includes('of the plate') && words !== half, 'the worst costs otherwise');
  await page.getByText('spit-bite').waitFor();
  await screenshot(page, 'faults-cost');
  await assertAccessible(page);
  await page.setViewportSize(PHONE);
  await narrowEnough(page, 'what it costs');
  await screenshot(page, 'faults-cost-phone');
  await page.getByRole('button', { name: 'Take it into the plan' }).click();
  assert.equal(await page.locator('dialog').count(), 0);
  const { plan: taken } = await written(page, ({ faults = [] }) => faults.length === 1);
  assert.deepEqual({ kind: taken.faults[0].kind, size: taken.faults[0].size }, { kind: 'drip', size: 1 });
  assert.deepEqual({ ...taken, faults: undefined }, { ...untouched, faults: undefined }, 'and nothing else');
}));

test('the book draws what is in sight, at three sizes', () => onPage({ name: 'faults-book', steps: 'one', hash: '#faults', allow }, async (page) => {
  const book = page.locator('.book-kind');
  await book.first().locator('.unit', { hasText: 'mm wide' }).first().waitFor({ timeout: 30_000 });
  const kinds = await book.count();
  assert.ok(kinds >= 16, `${kinds} kinds`);
  const [sound, faulty] = await seen(book.first().locator('canvas'));
  assert.notEqual(sound, faulty, 'with and without it');
  const last = book.last();
  assert.deepEqual(await seen(last.locator('canvas')), [null, null], 'what is far off is not drawn');
  await last.scrollIntoViewIfNeeded();
  await last.locator('.unit', { hasText: 'mm wide' }).first().waitFor({ timeout: 30_000 });
  const first = book.first().locator('canvas');
  await page.locator('.word', { hasText: 'a quarter' }).click();
  await eventually(() => seen(first), ([same, other]) => same === sound && other !== null && other !== faulty, 'a quarter as bad looks otherwise, and the sound print the same');
  await page.locator('.word', { hasText: 'the worst' }).click();
  await eventually(() => seen(first), ([same, other]) => same === sound && other === faulty, 'what was drawn is kept', 1);
  await assertAccessible(page);
  await page.setViewportSize(PHONE);
  await narrowEnough(page, 'the book');
  await screenshot(page, 'faults-book-phone');
}));

test('an exercise from its link: the same fault for all, a wrong guess and a right one', () => onPage({ name: 'faults-exercise', steps: 'one', hash: '#what-went-wrong', size: PHONE, allow }, async (page) => {
  // A teacher's set: paper alone.
  for (const step of ['Dust', 'Bake', 'Bites']) await page.getByRole('button', { name: `none of ${step}` }).click();
  for (const name of ['Uneven wiping', 'Plate tone at the edges', 'Blanket missing', 'Over-wet paper']) await page.getByLabel(name).uncheck();
  await page.getByText('Choose two faults at least').waitFor();
  await page.getByLabel('Over-wet paper').check();
  const link = await eventually(() => page.getByLabel('Link to this exercise').inputValue().catch(() => ''), (text) => /#what-went-wrong-[a-z0-9]+-[a-z0-9]+$/.test(text), 'the link of the set');
  assert.ok(!/paper|dry|wet/.test(link.split('#')[1]), 'it tells nothing');
  await narrowEnough(page, 'the choice');
  await page.getByRole('button', { name: 'Begin' }).click();
  const guesses = page.locator('.wrong-guesses li button');
  await guesses.first().waitFor({ timeout: 30_000 });
  assert.equal(page.url(), link);
  assert.deepEqual(await guesses.allTextContents(), ['dry paper', 'over-wet paper'], 'all of the set');
  await eventually(() => seen(page.locator('.compare-glass canvas')), (all) => all.length === 2 && all.every((one) => one !== null), 'both prints are there');
  await page.getByRole('button', { name: 'alone', exact: true }).click();
  assert.equal(await page.locator('.compare-side').count(), 1);
  await narrowEnough(page, 'the question');
  await screenshot(page, 'faults-question-phone');

  // The first two of all exercises on two kinds have each of them once: the same guess is right in one and wrong in the other.
  const firstOfAll = link.replace(/wrong-[a-z0-9]+-/, 'wrong-2-');
  await page.goto(firstOfAll);
  const answer = page.locator('.wrong-answer');
  const guessDry = async () => {
    await guesses.filter({ hasText: /^dry paper$/ }).click({ timeout: 30_000 });
    await answer.locator('h3:focus').waitFor();
    return answer.locator('h3').textContent();
  };
  const first = await guessDry();
  const glasses = await eventually(() => seen(page.locator('.compare-glass canvas')), (all) => all.length === 2 && all.every((one) => one !== null), 'both under the linen tester');
  assert.notEqual(glasses[0], glasses[1], 'the place is shown');
  await assertAccessible(page);
  await page.getByRole('button', { name: 'The next one' }).click();
  await eventually(() => page.url(), (url) => url !== firstOfAll && url.includes('#what-went-wrong-'), 'another address');
  const second = await guessDry();
  assert.deepEqual([first, second].sort(), ['It was something else: over-wet paper', 'Right: dry paper']);
  assert.equal(await page.getByText('would look otherwise').count(), second.startsWith('Right') ? 0 : 1, 'a wrong guess is told why');

  // A spoiled link says so, and the plan is as it was.
  await page.goto(link.replace(/-[a-z0-9]+$/, '-2'));
  await page.getByText('This link holds no exercise').waitFor({ timeout: 30_000 });
  await page.keyboard.press('Escape');
  assert.equal('faults' in await planInHand(page), false);
}));
