// Where one is: every step, panel, lesson and state has an address; Back and Forward move through them, a reload comes
// back to them, the tab's title says them; the menus by keyboard and by mouse.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { fromMenu, onPage, openMenu, PHONE, reckoned, WIDE } from './lib/page.mjs';
import { oldLink, planInHand } from './lib/plans.mjs';
import { eventually } from './lib/waits.mjs';

const hash = (page) => new URL(page.url()).hash;

/** What is to be seen: the step that stands open, the heading of what lies over the page, the state that is looked at. */
const seen = (page) => page.evaluate(() => {
  const over = document.querySelector('dialog[open], .view');
  return {
    step: [...document.querySelectorAll('.section')].filter((one) => one.querySelector('.step-body')?.checkVisibility()).map(({ id }) => id).join(' '),
    over: over?.querySelector('h2')?.textContent ?? null,
    state: document.querySelector('.states-row input:checked')?.closest('.word')?.textContent ?? null,
  };
});

/** Waits until the page is at an address and shows this, and the title says it. */
async function assertAt(page, address, { step = '', over = null, state, titled }, how) {
  const now = await eventually(async () => ({ at: hash(page), ...await seen(page) }), (it) => it.at === address && it.step === step && it.over === over && (state === undefined || it.state === state),
    `${how}: ${address || 'the page as it opens'}, ${JSON.stringify({ step, over, state })}`, 20);
  assert.equal(now.at, address);
  const title = await page.locator('.title-entry').inputValue();
  await eventually(() => page.title(), (words) => words === [titled, title, 'Platewright'].filter(Boolean).join(' – '), `${how}: the title of ${address || 'the page'}`, 5);
}

test('Back and Forward lead through step, panel, lesson and state, and a reload comes back to each', { timeout: 240_000 }, async () => {
  const { link } = await oldLink('five-states');
  await onPage({ name: 'places', steps: 'one', hash: `#${link}` }, async (page) => {
    await reckoned(page);
    await page.getByRole('button', { name: 'dismiss' }).first().click();
    const way = [['', {}]];
    const go = async (address, what, act) => {
      await act();
      way.push([address, what]);
      await assertAt(page, address, what, 'gone to');
    };
    await assertAt(page, '', {}, 'opened');
    await go('#dust', { step: 'dust', titled: 'Dust' }, () => page.locator('#dust .step-name').click());
    await go('#lessons', { step: 'dust', over: 'Lessons', titled: 'Lessons' }, () => fromMenu(page, 'lessons…'));
    await go('#lesson-the-bake', { step: 'dust', over: 'Under-baked and over-baked', titled: 'Lessons' }, () => page.getByRole('button', { name: 'Under-baked and over-baked' }).click());
    await go('#dust', { step: 'dust', titled: 'Dust' }, () => page.getByRole('button', { name: 'close', exact: true }).click());
    await go('#states', { step: 'states', titled: 'States' }, () => page.locator('#states .step-name').click());
    await page.locator('.states-row input').first().waitFor({ state: 'attached' });
    const second = await page.locator('.states-row .word').nth(1).textContent();
    await go('#states-2', { step: 'states', state: second, titled: 'States' }, () => page.locator('.states-row .word').nth(1).click());
    await go('#clock', { step: 'states', over: 'Clock', titled: 'Clock' }, () => fromMenu(page, 'clock…'));
    await go('#states-2', { step: 'states', state: second, titled: 'States' }, () => page.keyboard.press('Escape'));
    await go('#bites', { step: 'bites', titled: 'Bites' }, () => page.locator('#bites .step-name').click());

    const long = await page.evaluate(() => history.length);
    for (const [address, what] of way.slice(0, -1).reverse()) {
      await page.evaluate(() => history.back());
      await assertAt(page, address, what, 'Back');
    }
    for (const [address, what] of way.slice(1)) {
      await page.evaluate(() => history.forward());
      await assertAt(page, address, what, 'Forward');
    }
    assert.equal(await page.evaluate(() => history.length), long, 'neither adds a place of its own');

    const base = page.url().split('#')[0];
    for (const [address, what] of way.slice(2, 9)) {
      await page.goto(base + address);
      // Until what lay over the page has gone, an address is on its way.
      await eventually(() => seen(page), ({ over }) => hash(page) === address && over === (what.over ?? null), 'gone to again', 20);
      await page.reload();
      await reckoned(page);
      await assertAt(page, address, what.over === null || what.over === undefined ? what : { ...what, step: '' }, 'reloaded');
    }
  });
});

/** Every panel by its address, with its heading, which the title says, too. */
const PANELS = [
  ['share', 'Share this plan'], ['shelf', 'Shelf'], ['compare', 'Side by side'], ['strip', 'Test strip'], ['backwards', 'Plan backwards'], ['baths', 'Bath book'],
  ['calibrate', 'Calibrate from a step plate'], ['sheet', 'Bench sheet'], ['guides', 'Stop-out guides'], ['lessons', 'Lessons'], ['glossary', 'Glossary'],
  ['glossary-stop-out', 'Glossary'], ['watch', 'Watch it happen'], ['numbers', 'How sure the numbers are'], ['record', 'Plate record'], ['pulled', 'Read a real proof'], ['clock', 'Clock'],
  ['teach', 'Your own lessons'], ['risks', 'Form for a risk assessment'],
  ['faults', 'Book of faults'], ['cost-bites', 'What would it cost?'], ['what-went-wrong', 'What went wrong here?'],
];

test('every panel opens from its address, and closing it leaves the page', { timeout: 240_000 }, () => onPage({ name: 'places-panels', steps: 'one' }, async (page) => {
  await reckoned(page);
  const base = page.url();
  for (const [i, [address, heading]] of PANELS.entries()) {
    await page.goto(`${base}#${address}`);
    // Beginning there leads through the same few lines for all; a page takes seconds to begin.
    if (i % 4 === 0) {
      await page.reload();
      await reckoned(page);
    }
    await assertAt(page, `#${address}`, { over: heading, titled: heading }, 'opened by its address');
    if (address.startsWith('glossary-')) await page.locator('#term-stop-out:focus').waitFor();
    await page.keyboard.press('Escape');
    await assertAt(page, '', {}, 'closed');
  }
  await page.goto(`${base}#lesson-the-bake/present`);
  await page.reload();
  await page.locator('.present-question').waitFor({ timeout: 30_000 });
  assert.equal(hash(page), '#lesson-the-bake/present');
}));

test('a link is offered where one is, and leaves the address to say it', async () => {
  const { link, plan: other } = await oldLink('twelve-bites-and-notes');
  await onPage({ name: 'places-link', steps: 'one' }, async (page) => {
    await reckoned(page);
    const mine = await planInHand(page);
    await page.locator('#bath .step-name').click();
    await page.evaluate((text) => { location.hash = text; }, link);
    const guest = page.getByRole('region', { name: 'A plan from a link' });
    await guest.waitFor();
    await assertAt(page, '#bath', { step: 'bath', titled: 'Bath' }, 'offered a plan');
    assert.deepEqual(await planInHand(page), mine);
    await guest.getByRole('button', { name: 'look at it' }).click();
    await eventually(() => page.locator('.title-entry').inputValue(), (title) => title === other.title, 'the plan of the link');
    await assertAt(page, '#bath', { step: 'bath', titled: 'Bath' }, 'with the other plan');
    // The link was a place of its own; it says now where one was all the time.
    await page.evaluate(() => history.back());
    await assertAt(page, '#bath', { step: 'bath', titled: 'Bath' }, 'Back from the link');
    await page.evaluate(() => history.back());
    await assertAt(page, '', {}, 'Back from the step');
    // Words that are neither place nor link.
    await page.evaluate(() => { location.hash = 'nowhere'; });
    await page.locator('.notice', { hasText: 'Your own plan is as it was.' }).waitFor();
    assert.equal(hash(page), '');
  });
});

test('the tab says what the clock says; a running clock comes back after a reload', { timeout: 120_000 }, () => onPage({ name: 'places-clock', steps: 'one' }, async (page) => {
  await page.clock.install();
  await reckoned(page);
  const title = () => page.title();
  await page.locator('#dust .step-name').click();
  await fromMenu(page, 'clock…');
  await page.getByRole('button', { name: /^\d+\s*Bite 1/ }).click();
  assert.equal(await title(), 'Clock – Harbour at dusk – Platewright', 'not while nothing runs');
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  await page.clock.runFor(5_000);
  await eventually(title, (words) => /^1:2[45] Bite 1 – Clock – Harbour at dusk – Platewright$/.test(words), 'the time that is left', 5);
  await page.keyboard.press('Escape');
  await page.clock.runFor(10_000);
  await eventually(title, (words) => /^1:1[45] Bite 1 – Dust – Harbour at dusk – Platewright$/.test(words), 'wherever one is', 5);
  await page.clock.runFor(80_000);
  await eventually(title, (words) => /^\+0:0[456] Bite 1 – Dust – /.test(words), 'and by how much it is over', 5);
  await page.reload();
  await page.locator('.clock-face').waitFor({ timeout: 60_000 });
  await eventually(title, (words) => /^\+0:\d\d Bite 1 – Clock – /.test(words), 'after a reload', 10);
  await page.keyboard.press('Escape');
  await eventually(async () => (await seen(page)).step, (step) => step === 'dust', 'over the step that one was at');
  await page.locator('.notice', { hasText: 'The clock goes on: Bite 1.' }).waitFor();
}));

const word = (page, name) => page.locator('.menu-word', { hasText: new RegExp(`^${name}$`) });
/** What has the keyboard, by its first words. */
const focused = (page) => page.evaluate(() => {
  const on = document.activeElement;
  return (on.firstElementChild ?? on).textContent;
});
const unfoldedMenus = (page) => page.locator('.menu').evaluateAll((all) => all.filter((menu) => menu.querySelector('.menu-list').checkVisibility()).map((menu) => menu.querySelector('.menu-word').textContent));

for (const [name, size] of [['wide', WIDE], ['phone', PHONE]]) {
  test(`a menu obeys keys and presses (${name})`, () => onPage({ name: `menus-${name}`, steps: 'one', size }, async (page) => {
    await reckoned(page);
    await word(page, 'plan').focus();
    await page.keyboard.press('Enter');
    assert.deepEqual(await unfoldedMenus(page), ['plan']);
    assert.equal(await word(page, 'plan').getAttribute('aria-expanded'), 'true');
    const box = await page.locator('.menu-list:not([hidden])').boundingBox();
    assert.ok(box.x >= 0 && box.y >= 0 && box.x + box.width <= size.width && box.y + box.height <= size.height, `it lies in the window: ${JSON.stringify(box)}`);

    // Arrows go round, past what cannot be pressed; Escape folds and gives the keyboard back.
    const round = [];
    for (let i = 0; i < 6; i++) {
      await page.keyboard.press('ArrowDown');
      round.push(await focused(page));
    }
    assert.ok(await page.getByRole('button', { name: 'save proof', exact: true }).isDisabled(), 'not every grain is in yet');
    assert.deepEqual(round, ['open…', 'save plan', 'shelf…', 'share…', 'print', 'open…']);
    await page.keyboard.press('ArrowUp');
    assert.equal(await focused(page), 'print');
    await page.keyboard.press('Escape');
    assert.deepEqual([await unfoldedMenus(page), await focused(page)], [[], 'plan']);
    assert.equal(await word(page, 'plan').getAttribute('aria-expanded'), 'false');
    await page.keyboard.press('Space');
    await page.keyboard.press('ArrowUp');
    assert.equal(await focused(page), 'print', 'upwards from the word is the last');

    // Chosen by Enter: the panel has the keyboard, and gives it back to the word.
    await page.keyboard.press('ArrowUp');
    assert.equal(await focused(page), 'share…', 'past what cannot be pressed, upwards as well');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'Share this plan' }).waitFor();
    await page.keyboard.press('Escape');
    await page.locator('dialog').waitFor({ state: 'detached' });
    assert.deepEqual([await unfoldedMenus(page), await focused(page)], [[], 'plan']);

    // The keyboard that leaves a list folds it.
    await page.keyboard.press('Enter');
    await page.keyboard.press('Shift+Tab');
    assert.deepEqual(await unfoldedMenus(page), [], 'left backwards');
    await word(page, 'learn').focus();
    await page.keyboard.press('Enter');
    for (let i = 0; i < 6; i++) await page.keyboard.press('Tab');
    assert.deepEqual([await unfoldedMenus(page), await focused(page)], [[], 'view'], 'and forwards');

    // By hand: a second press, another word, a press elsewhere.
    await word(page, 'try').click();
    await word(page, 'try').click();
    assert.deepEqual(await unfoldedMenus(page), []);
    await word(page, 'try').click();
    await word(page, 'bench').click();
    assert.deepEqual(await unfoldedMenus(page), ['bench'], 'one at a time');
    const stage = await page.locator('.proof-frame').boundingBox();
    await page.mouse.click(stage.x + stage.width - 20, stage.y + 20);
    assert.deepEqual(await unfoldedMenus(page), [], 'a press elsewhere');

    // Choices stay in sight, and arrows choose.
    await openMenu(page, 'view');
    await page.keyboard.press('Tab');
    await page.keyboard.press('ArrowRight');
    assert.deepEqual(await unfoldedMenus(page), ['view']);
    assert.match((await page.locator('#picture .step-result').textContent()), /5\.91 in/, 'the units are US now');
    await page.keyboard.press('Escape');
    assert.deepEqual([await unfoldedMenus(page), await focused(page)], [[], 'view']);
  }));
}

test('the address of a state that the plan has not leads to the last it has', () => onPage({ name: 'places-no-state', steps: 'one', hash: '#states-7' }, async (page) => {
  await reckoned(page);
  await assertAt(page, '#states-7', { step: 'states', state: '1, first proof', titled: 'States' }, 'opened');
}));
