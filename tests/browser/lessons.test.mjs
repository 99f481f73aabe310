// Lessons and glossary: opened from a link, guessed before anything is shown, shown to a class without
// scrolling, printed as a handout; terms explained by the word, by keyboard and by touch.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertAccessible, onPage, PHONE, reckoned, screenshot } from './lib/page.mjs';
import { planInHand, setNumber } from './lib/plans.mjs';
import { eventually, written } from './lib/waits.mjs';

const PROJECTOR = { width: 1280, height: 720 };
const LARGE_PROJECTOR = { width: 1920, height: 1080 };

/** Every patch and every close look is in: the handout can be printed. */
const whole = (page) => page.getByRole('button', { name: 'print the handout', disabled: false }).waitFor({ timeout: 90_000 });
const store = (page) => page.evaluate(() => localStorage.getItem('platewright.guesses'));

async function noWider(page) {
  const { wide, inner } = await page.evaluate(() => ({
    wide: Math.max(document.documentElement.scrollWidth, ...[...document.querySelectorAll('dialog[open]')].map((one) => one.scrollWidth)), inner: innerWidth,
  }));
  assert.ok(wide <= inner, `nothing sticks out sideways: ${wide} px in ${inner} px`);
}

test('a lesson opens from its link over the plan in hand, asks first, and keeps the guess', () => onPage({ name: 'lesson' }, async (page) => {
  await reckoned(page);
  await setNumber(page, 'Wait', 47);
  await written(page, ({ dust }) => dust.wait_s === 47);
  const mine = await planInHand(page);
  await page.evaluate(() => { location.hash = 'lesson-half-covered'; });
  await page.getByRole('heading', { name: 'Why half the copper stays covered' }).waitFor();
  assert.equal(await page.locator('.lesson-text').isVisible(), false, 'nothing is given away before the guess');
  assert.equal(await page.locator('.lesson-plate').isVisible(), false, 'nor shown');
  await assertAccessible(page);
  await page.getByRole('button', { name: /^one with hardly any dust/ }).click();
  await page.locator('.ask-option', { hasText: 'your guess' }).waitFor();
  assert.match(await page.locator('.ask-option[data-right=true]').first().textContent(), /half covered.*what happens/, 'what happens is marked');
  await whole(page);
  const tones = await page.locator('.strip-tone').allTextContents();
  assert.equal(tones.length, 18, 'nine patches, bitten for twelve minutes and for twenty-four');
  const upper = tones.slice(0, 9).map((words) => Number(words.replace('L*', '')));
  assert.equal(upper.indexOf(Math.min(...upper)), 1, `the second is darkest: ${tones.join(', ')}`);
  assert.match(await page.locator('.strip-patch[aria-pressed=true]').getAttribute('aria-label'), /\b30\b.*\b12\b/, 'the answer’s patch is looked at');
  await page.getByRole('button', { name: /Look at the patch: .*\b170\b.*\b12\b/ }).click();
  await page.getByRole('heading', { name: /\b170\b/ }).waitFor();
  await assertAccessible(page);
  await screenshot(page, 'lesson-wide');

  await page.reload();
  await page.locator('.ask-option', { hasText: 'your guess' }).waitFor({ timeout: 30_000 });
  assert.equal(new URL(page.url()).hash, '#lesson-half-covered', 'a reload comes back to the lesson');
  assert.equal(await store(page), '{"half-covered":{"0":0}}', 'the guess is kept on this device');
  await page.getByRole('button', { name: 'Forget my answers' }).click();
  assert.equal(await store(page), null, 'and forgotten when asked');
  await page.getByRole('button', { name: 'close', exact: true }).click();
  await eventually(() => new URL(page.url()).hash, (hash) => hash === '', 'the address is clean again');
  await reckoned(page);
  assert.deepEqual(await planInHand(page), mine, 'the plan in hand is as it was');
}));

test('a lesson on a phone, with a store that is forbidden; its link and code; no such lesson', () => onPage({ size: PHONE, name: 'lesson-phone' }, async (page, { context }) => {
  await context.addInitScript(() => {
    Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('forbidden', 'SecurityError'); } });
  });
  await page.goto(`${page.url().split('#')[0]}#lesson-fine-grain`);
  await page.reload();
  await page.getByRole('heading', { name: 'Why a fine grain can’t print black' }).waitFor({ timeout: 30_000 });
  await page.getByRole('button', { name: 'link and code' }).click();
  await page.locator('.lesson-link .qr').waitFor();
  assert.match(await page.getByLabel('Link to this lesson').inputValue(), /^http.*#lesson-fine-grain$/, 'the link opens this lesson');
  await page.getByRole('button', { name: 'show me without a guess' }).click();
  await page.locator('.lesson-figure').first().waitFor();
  await noWider(page);
  await assertAccessible(page);
  await whole(page);
  await screenshot(page, 'lesson-phone');
  // Terms by touch, over the sheet.
  await page.locator('.lesson-text .term').first().click();
  const note = page.locator('.term-note');
  await note.waitFor();
  const box = await note.boundingBox();
  assert.ok(box.x >= 0 && box.x + box.width <= PHONE.width, 'the note stays in the window');
  await page.evaluate(() => { location.hash = 'lesson-of-gold'; });
  await page.getByRole('alert').filter({ hasText: 'no lesson of that name' }).waitFor();
  assert.equal(await page.locator('.lesson-list li').count(), 16, 'all are listed');
  await noWider(page);
}));

// With one worker: no page is waited for until its strip is whole, and whatever is reckoned meanwhile is for nothing.
test('the class view: keys turn it, nothing scrolls on any page of any lesson', { timeout: 320_000 }, () => onPage({ size: PROJECTOR, hash: '#lesson-the-bake/present', device: { cores: 2, memory_gb: 2 }, name: 'present' }, async (page) => {
  await page.locator('.present-question').waitFor({ timeout: 30_000 });
  await page.locator('.present-code .qr').waitFor();
  await assertAccessible(page);
  await page.keyboard.press('ArrowRight');
  await page.locator('.present .strip-tone', { hasText: /L\*/ }).first().waitFor({ timeout: 30_000 });
  await page.locator('.present-cut svg').waitFor({ timeout: 30_000 });
  await assertAccessible(page);
  await screenshot(page, 'present-projector');
  await page.keyboard.press('ArrowLeft');
  await page.locator('.present-question').waitFor();
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'all lessons' }).click();
  const titles = await page.locator('.lesson-open').allTextContents();
  for (const title of titles) {
    await page.locator('.lesson-open').getByText(title, { exact: true }).click();
    await page.getByRole('button', { name: 'show to a class' }).click();
    const count = Number((await page.locator('.present-head .unit').textContent()).replace(/\D/g, ''));
    assert.ok(count >= 8, `${title} has ${count} pages`);
    let cautioned = 0;
    let asked = '';
    for (let at = 1; at <= count; at++) {
      await page.locator('.present-head .number', { hasText: new RegExp(`^Page ${at} /`) }).waitFor();
      for (const size of at % 2 ? [PROJECTOR, LARGE_PROJECTOR] : [LARGE_PROJECTOR]) {
        await page.setViewportSize(size);
        assert.deepEqual(await page.evaluate(sticksOut), [], `${title}, page ${at} at ${size.width} × ${size.height}`);
      }
      assert.deepEqual(await page.evaluate(smallType, LEAST_PX), [], `${title}, page ${at}: type smaller than ${LEAST_PX} px`);
      const question = await page.locator('.present-question, .present-asked').allTextContents();
      if (await page.locator('.present-right').count() > 0) assert.deepEqual(question, [asked], `${title}, page ${at}: the question stands with its answer`);
      asked = question[0];
      cautioned += await page.locator('.present-caution').count();
      await page.keyboard.press('ArrowRight');
    }
    assert.equal(cautioned, 1, `${title} shows its caution to the class`);
    await page.getByRole('button', { name: 'leave' }).click();
    await page.getByRole('button', { name: 'all lessons' }).click();
  }
}));

/** Smallest type on a projector of 1920 pixels. */
const LEAST_PX = 20;

/** Type of the class view that is smaller. Runs in the page. */
function smallType(least_px) {
  const said = [...document.querySelectorAll('.present *')].filter((one) => one.checkVisibility() && !one.closest('.unseen') && [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim()));
  return said.flatMap((one) => {
    const drawing = one.ownerSVGElement;
    const scale = drawing ? drawing.getBoundingClientRect().width / drawing.viewBox.baseVal.width : 1;
    const px = scale * Number.parseFloat(getComputedStyle(one).fontSize);
    return px < least_px ? [`${one.textContent}: ${px.toFixed(1)}`] : [];
  });
}

/** What of the class view scrolls, leaves the window or lies over something else. Runs in the page. */
function sticksOut() {
  const found = [];
  const on = document.querySelector('.present');
  if (on.scrollHeight > on.clientHeight + 1 || on.scrollWidth > on.clientWidth + 1) found.push('the view scrolls');
  const foot = on.querySelector('.present-foot').getBoundingClientRect();
  if (foot.bottom > innerHeight) found.push('the foot');
  for (const one of on.querySelectorAll('.present-words p, .present-question, .present-options, .present-grain, .present-cut > *, .present-strip table, .present-code')) {
    const { left, right, bottom } = one.getBoundingClientRect();
    if (left < 0 || right > innerWidth + 1 || bottom > foot.top + 1) found.push(`${one.className || one.tagName}: ${Math.round(right)}, ${Math.round(bottom)} over ${Math.round(foot.top)}`);
  }
  return found;
}

test('on a phone a thumb finds what leads on, and the answer’s patch is in view', { timeout: 120_000 }, () => onPage({ size: PHONE, hash: '#lessons', name: 'lesson-thumb' }, async (page) => {
  await page.locator('.lesson-open').first().waitFor({ timeout: 30_000 });
  assert.deepEqual(await page.evaluate(lowTargets, '.lesson-open, .lesson-own button'), [], 'in the list of lessons');
  await page.getByRole('button', { name: 'Why stop-out goes from light to dark' }).click();
  await page.locator('.ask-option').first().waitFor();
  assert.deepEqual(await page.evaluate(lowTargets, '.lesson button:not(.term)'), [], 'before the guess');
  // At once: before the strip is laid, perhaps.
  await page.getByRole('button', { name: 'every one' }).click();
  const chosen = page.locator('.lesson-plate .strip-patch[aria-pressed=true]');
  await page.locator('.lesson-plate .strip-patch[aria-pressed=true][aria-label^="Bite 1 of 5.5\u00a0min: L*"]').waitFor({ timeout: 30_000 });
  const inView = () => chosen.evaluate((patch) => {
    const [its, room] = [patch, patch.closest('.strip-scroll')].map((one) => one.getBoundingClientRect());
    return its.left >= room.left - 1 && its.right <= room.right + 1 && its.right <= innerWidth;
  });
  await eventually(inView, (so) => so, 'the patch that answers is on the screen', 10);
  await page.getByRole('heading', { name: 'Bite 1 of 5.5\u00a0min' }).waitFor();
  assert.deepEqual(await page.evaluate(lowTargets, '.lesson button:not(.term, .strip-patch)'), [], 'after it');
  // The strip is far above the last question: its patch stands with the answer.
  await page.getByRole('button', { name: 'like the first value' }).click();
  const figure = page.locator('.ask .lesson-figure', { hasText: 'Bite 1 of 1.5\u00a0min' });
  await figure.waitFor();
  assert.ok(await figure.locator('canvas').evaluate((canvas) => canvas.checkVisibility()));
  await noWider(page);
  await screenshot(page, 'lesson-thumb', { fullPage: true });
}));

/** Targets that a thumb of 44 pixels does not find at their middle, above or below it. Runs in the page. */
function lowTargets(selector) {
  return [...document.querySelectorAll(selector)].filter((one) => one.checkVisibility()).flatMap((one) => {
    one.scrollIntoView({ block: 'center' });
    const { left, top, width, height } = one.getBoundingClientRect();
    const found = [-21, 0, 21].every((y) => { const at = document.elementFromPoint(left + width / 2, top + height / 2 + y); return at !== null && one.contains(at); });
    return found ? [] : [`${one.textContent}: ${Math.round(height)}`];
  });
}

test('bar and words of a section’s scale stand out from ink', { timeout: 60_000 }, () => onPage({ size: LARGE_PROJECTOR, hash: '#lesson-half-covered/present', name: 'present-scale' }, async (page) => {
  await page.locator('.present-question').waitFor({ timeout: 30_000 });
  await page.keyboard.press('ArrowRight');
  const drawing = page.locator('.present-cut svg');
  await drawing.waitFor({ timeout: 30_000 });
  // The bar stands higher than the floor of the pit, which is full of ink.
  const png = (await drawing.screenshot()).toString('base64');
  const contrast = await page.evaluate(barContrast, png);
  assert.ok(contrast.length > 30 && Math.min(...contrast) > 60, `the bar is seen against what lies beside it, all along: ${contrast}`);
}));

/** How much the upright bar of the scale differs from the pixels beside it, along its length, of 255. Runs in the page. */
async function barContrast(png) {
  const shot = await createImageBitmap(new Blob([Uint8Array.from(atob(png), (byte) => byte.charCodeAt(0))]));
  const on = new OffscreenCanvas(shot.width, shot.height).getContext('2d');
  on.drawImage(shot, 0, 0);
  const { data } = on.getImageData(0, 0, shot.width, shot.height);
  const drawing = document.querySelector('.present-cut svg').getBoundingClientRect();
  const bar = [...document.querySelectorAll('.present-cut .cut-scale line:not(.cut-scale-edge)')].map((one) => one.getBoundingClientRect()).find(({ width, height }) => height > width);
  const grey = (x, y) => data[4 * (Math.round(y) * shot.width + Math.round(x))];
  const found = [];
  for (let y = bar.top - drawing.top + 1; y < bar.bottom - drawing.top - 1; y++) {
    const x = bar.left + bar.width / 2 - drawing.left;
    found.push(Math.abs(Math.min(grey(x - 1, y), grey(x, y)) - Math.max(grey(x - 3, y), grey(x + 2, y))));
  }
  return found;
}

test('the handout is one or two sheets with its pictures', () => onPage({ hash: '#lesson-wiping', name: 'handout' }, async (page) => {
  await page.getByRole('heading', { name: 'Wiping' }).waitFor({ timeout: 30_000 });
  await whole(page);
  const sheets = (await page.pdf({ format: 'A4', preferCSSPageSize: true })).toString('latin1').match(/\/Type\s*\/Page\b/g).length;
  assert.ok(sheets <= 2, `${sheets} sheets`);
  await page.emulateMedia({ media: 'print' });
  await page.setViewportSize({ width: 703, height: 1032 });
  assert.ok(await page.locator('.lesson-text').isVisible(), 'the words are on it, though nothing was guessed');
  assert.equal(await page.locator('.lesson-figure canvas').count(), 5, 'a picture for each paragraph');
  assert.ok(await page.locator('.handout-answers').isVisible(), 'the answers are at its foot');
  const blank = await page.evaluate(() => [...document.querySelectorAll('.lesson-figure canvas, .strip-print')].filter((one) => !(one.width > 1)).length);
  assert.equal(blank, 0, 'no picture is missing');
  assert.equal(await page.locator('.head').isVisible(), false, 'nothing of the bench');
  await screenshot(page, 'handout', { fullPage: true });
}));

test('terms explain themselves by keyboard, and lead to the glossary', () => onPage({ name: 'glossary' }, async (page) => {
  await reckoned(page);
  const word = page.locator('.section-why .term', { hasText: 'stopped out' });
  await word.focus();
  await page.keyboard.press('Enter');
  const note = page.getByRole('dialog', { name: 'stop out' });
  await note.waitFor();
  assert.equal(await word.getAttribute('aria-expanded'), 'true', 'the word says that it is open');
  await assertAccessible(page);
  await page.keyboard.press('Escape');
  await note.waitFor({ state: 'detached' });
  assert.equal(await page.evaluate(() => document.activeElement.textContent), 'stopped out', 'the keyboard is back at the word');
  await page.keyboard.press('Enter');
  await note.waitFor();
  await page.locator('[popover]:focus').waitFor();
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { name: 'Glossary' }).waitFor();
  await page.locator('#term-stop-out:focus').waitFor();
  assert.ok(await page.locator('.glossary-entry').count() >= 45, 'every term is there');
  await page.getByLabel('Search the glossary').fill('open bite');
  await page.locator('#term-open-bite').waitFor();
  await page.locator('.glossary-picture svg').first().waitFor({ timeout: 30_000 });
  await assertAccessible(page);
  await screenshot(page, 'glossary-wide');
}));
