// A teacher's own lesson: written, shared as a link, opened elsewhere with the guess first, printed; what spoils its link;
// and the form for the shop's own assessment of risks.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertAccessible, onPage, PHONE, reckoned, screenshot } from './lib/page.mjs';
import { inChromium, read, says } from './lib/paper.mjs';
import { planInHand, setNumber } from './lib/plans.mjs';
import { written } from './lib/waits.mjs';

/** What a browser would make of it, were it more than text. */
const HTML = '<img src=x onerror="document.title=1"> & <b>bold</b>';
const TITLE = 'Why we wait';
const ASK = 'After which wait does value 4 print darkest?';
const BECAUSE = `The coarsest grains have gone by, and enough dust is still to come. ${HTML}`;
const PARAGRAPH = 'Look at the box from the side: the coarse grains are down within a few breaths.';
/** That lesson's link, as the first test's page wrote it once. */
const LINK = '1.EeABExX5xiECITnP010rsxym7C7GmzUFxQHJAuqwY3N69MbkW8JpVEd8R4Dogm38y8bbILkvmUsrA5U1_hgyOnIEuCCpLGfbsxlebPlyZh77nmZcZOUukG_AEVJqNkOAQflLtWJxrXwBn3X_FZWg5HfRD1XktymDYcl8O3sH0CpW5v8iYZAyPXU-5JAIVDqUIYkC4SCsvcDeKKuxl5ppYKQTmA_iE0BMYNEDXRw4DxhyjCsRe0U-JhvFZloxOo3dEUDFpEPoiHo07fqFaYaFbycRYHEARadZzv6xAptugKH3pTwp';

const body = (page) => page.locator('.panel.lesson');
const given = (page) => page.getByRole('heading', { name: TITLE, exact: true }).waitFor({ timeout: 30_000 });

test('a lesson is written, stays as a draft, and its link opens elsewhere with the guess first', async () => {
  // Written on a page of its own, opened in a browser that has never been here.
  const link = await onPage({ hash: '#teach', name: 'teach' }, async (page) => {
    const text = (name, exact = true) => page.getByRole('textbox', { name, exact });
    await page.getByRole('button', { name: 'Write a lesson', exact: true }).click({ timeout: 30_000 });
    await page.getByLabel('Patches along').selectOption('3', { timeout: 30_000 });
    await page.locator('.teach-link .warning', { hasText: 'The title is still empty.' }).waitFor();
    await text('Title').fill('x'.repeat(121));
    assert.match(await page.locator('.teach-count[data-over=true]').textContent(), /^121 of 120$/, 'how long it is is counted');
    await text('Title').fill(TITLE);
    await text('Question').fill(ASK);
    await page.getByRole('button', { name: 'Take the patches for answers' }).click();
    const options = await page.locator('.teach-options textarea').evaluateAll((all) => all.map((one) => one.value));
    assert.deepEqual(options, ['Wait 0 s', 'Wait 30 s', 'Wait 60 s'], 'the patches as answers');
    await page.getByRole('radio', { name: 'Answer 2 is right' }).check();
    await text('What is said after the guess').fill(BECAUSE);
    await page.getByLabel('The patch that shows it:').selectOption({ index: 1 });
    await text('Paragraph 1').fill(PARAGRAPH);
    const field = page.getByLabel('Link to your lesson');
    await field.waitFor();
    await page.locator('.teach-link [role=status]', { hasText: /^\d+ characters: short enough for a code that a phone reads, and for every chat\.$/ }).waitFor();
    await assertAccessible(page);
    await screenshot(page, 'teach');
    const made = await field.inputValue();
    await page.reload();
    await text('Title').waitFor({ timeout: 30_000 });
    assert.equal(await text('Title').inputValue(), TITLE, 'a reload comes back to the draft');
    await page.getByRole('button', { name: 'all your lessons' }).click();
    await page.getByRole('button', { name: `Delete ${TITLE}` }).click();
    await page.getByRole('button', { name: 'Put it back' }).click();
    assert.equal(await page.locator('.teach-list li').count(), 1, 'kept');
    return made;
  });
  await onPage({ hash: link.slice(link.indexOf('#')), size: PHONE, name: 'given' }, async (page) => {
    await given(page);
    assert.equal(await page.locator('.lesson-plate').isVisible(), false, 'nothing is shown before the guess');
    assert.equal(await page.locator('.lesson-text').isVisible(), false, 'nor told');
    await page.getByRole('button', { name: /^Wait 0/ }).click();
    await page.locator('.ask-option', { hasText: 'your guess' }).waitFor();
    assert.match(await page.locator('.ask-option[data-right=true]').textContent(), /Wait 30.*the lesson’s answer/, 'the answer is marked');
    assert.equal(await page.locator('.ask-because').textContent(), BECAUSE, 'text is text');
    assert.equal(await body(page).locator('img, .lesson-text b').count(), 0, 'nothing of it is made of it');
    assert.match(await page.title(), /Platewright/, 'and nothing runs');
    await page.locator('.lesson-plate .strip-tone', { hasText: 'L*' }).nth(2).waitFor({ timeout: 30_000 });
    const { wide, inner } = await page.evaluate(() => ({ wide: document.querySelector('dialog[open]').scrollWidth, inner: innerWidth }));
    assert.ok(wide <= inner, `nothing sticks out sideways: ${wide} px in ${inner} px`);
    assert.equal(await page.evaluate(() => location.hash), link.slice(link.indexOf('#')), 'its link is its address');
    await assertAccessible(page);
    await screenshot(page, 'given-phone');
  });
});

test('a lesson leaves the plan in hand as it was; taken to the bench, its plan takes the place of one that is kept', () => onPage({ name: 'given-plan' }, async (page) => {
  await reckoned(page);
  await setNumber(page, 'Wait', 47);
  await written(page, ({ dust }) => dust.wait_s === 47);
  const mine = await planInHand(page);
  await page.evaluate((link) => { location.hash = link; }, LINK);
  await given(page);
  await page.getByRole('button', { name: 'show to a class' }).click();
  await page.locator('.present-question', { hasText: ASK }).waitFor();
  assert.ok(await page.evaluate(() => location.hash.endsWith('/present')), 'the class view has an address, too');
  await page.keyboard.press('ArrowRight');
  await page.locator('.present-right', { hasText: 'Wait 30' }).waitFor();
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'close', exact: true }).click();
  assert.deepEqual(await planInHand(page), mine, 'the plan in hand is as it was');

  // Damaged ones: told in a sentence, and nothing else happens.
  for (const [spoilt, words] of [[LINK.slice(0, -40), /cut off/], [`${LINK.slice(0, 90)}${LINK[90] === 'A' ? 'B' : 'A'}${LINK.slice(91)}`, /A character of this link is wrong or missing/]]) {
    await page.evaluate((link) => { location.hash = link; }, spoilt);
    await page.locator('.notices', { hasText: words }).waitFor();
    assert.equal(await page.locator('dialog[open]').count(), 0, 'no lesson opens');
  }
  await page.evaluate((link) => { location.hash = link; }, LINK);
  await given(page);
  await page.getByRole('button', { name: 'show me without a guess' }).click();
  await page.getByRole('button', { name: 'Take this plan to the bench' }).click();
  await page.locator('.told', { hasText: 'was put on the shelf as it was' }).waitFor();
  await written(page, ({ dust }) => dust.wait_s === 30, 'the lesson’s plan is in hand');
}));

test('the handout has boxes and lines and gives no answer away; the risk form is for others to complete', { timeout: 60_000 }, () => onPage({ hash: `#${LINK}/handout`, name: 'teacher-paper' }, async (page) => {
  await page.locator('.handout .qr').waitFor({ timeout: 30_000 });
  const early = page.locator('.handout .not-whole');
  await early.waitFor({ state: 'detached', timeout: 30_000 });
  const handout = read(await inChromium(page, 'A4'), 'handout', 'A4');
  assert.equal(handout.length, 1, 'one page');
  for (const words of [TITLE, ASK, 'Wait 60', 'Because', 'What I see', PARAGRAPH]) assert.ok(says(handout, words), `it says “${words}”`);
  assert.ok(!says(handout, 'coarsest grains have gone by'), 'not the answer');
  assert.equal(await page.locator('.handout-box').count(), 3, 'a box to tick for each answer');
  const blank = await page.evaluate(() => [...document.querySelectorAll('.handout canvas')].filter((one) => !(one.width > 1)).length);
  assert.equal(blank, 0, 'no picture is missing');
  await page.getByLabel('answer on a page of its own').check();
  await assertAccessible(page);
  const both = read(await inChromium(page, 'A4'), 'handout-answer', 'A4');
  assert.equal(both.length, 2);
  assert.ok(says(both.slice(1), 'coarsest grains have gone by') && !says(both.slice(0, 1), 'coarsest grains have gone by'), 'the answer on a page of its own');

  await page.keyboard.press('Escape');
  await reckoned(page);
  await page.evaluate(() => { location.hash = 'risks'; });
  const waits = page.locator('.risks .not-whole');
  await waits.waitFor({ state: 'detached', timeout: 30_000 });
  await assertAccessible(page);
  await screenshot(page, 'risks');
  for (const [paper, chosen] of [['A4', 'metric'], ['Letter', 'US']]) {
    await page.evaluate(() => { location.hash = 'sheet'; });
    await page.getByRole('radiogroup', { name: 'Units on the sheet' }).getByText(chosen, { exact: true }).click();
    await page.getByRole('button', { name: 'risk form…' }).click();
    await waits.waitFor({ state: 'detached', timeout: 30_000 });
    const form = read(await inChromium(page, paper), 'risks', paper, true);
    assert.ok(form.length <= 3, `${paper}: ${form.length} pages`);
    for (const words of [
      'To be completed by the responsible person', 'knows nothing of your shop', 'Safety data sheets at hand', 'Edition or date', 'Local rules', 'Signature', 'Next review',
      'Ferric chloride burns skin', 'What we do already', chosen === 'US' ? '257 °F' : '125 °C', chosen === 'US' ? '(7.5 g) of rosin powder' : '7.5 g of rosin powder',
    ]) assert.ok(says(form, words), `${paper}: “${words}” is on it`);
    for (const [i, one] of form.entries()) assert.ok(says([one], `${i + 1} / ${form.length}`) && says([one], 'Harbour at dusk'), `${paper}, page ${i + 1}: title and number`);
  }
}));
