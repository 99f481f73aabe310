// Links: made natively and opened here, made here and opened natively, spoiled in every way, hostile,
// and never over the plan in hand.

import assert from 'node:assert/strict';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { test } from 'node:test';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, screenshot, ROOT, visited } from './lib/page.mjs';
import { shrink } from './lib/shrink.mjs';
import { fingerprint, greyPixels, within } from './lib/png.mjs';
import { linkAndProof, MARGIN_PX } from './lib/sameProof.mjs';
import { dropPicture, native, oldLink, openPanel, planInHand, setNumber } from './lib/plans.mjs';
import { eventually } from './lib/waits.mjs';

const guest = (page) => page.getByRole('region', { name: 'A plan from a link' });

const known = (page) => page.locator('.notice', { hasText: 'is the picture that this plan was made for' });

/** Waits until the crop's width, in per cent of the picture, is as wanted. */
async function crop(page, wanted) {
  await eventually(async () => parseFloat(await page.locator('.crop-frame').evaluate((frame) => frame.style.width)), wanted, 'the crop');
}

/** Comes closer and moves a threshold, once the plan says what its picture is like; gives the plan. */
async function plannedByHand(page) {
  const { thresholds_l } = JSON.parse(await native('plan')).picture;
  await eventually(async () => {
    const { picture } = await planInHand(page);
    return picture.made_for?.length === 18 && String(picture.thresholds_l) !== String(thresholds_l);
  }, (so) => so, 'the plan describes its picture and has values for it');
  for (let i = 0; i < 4; i++) await page.locator('.crop-frame').press('+');
  await page.locator('.crop-frame').press('ArrowRight');
  await page.locator('.thresholds [role=slider]').first().press('ArrowLeft');
  return planInHand(page);
}

/** What stays when a picture comes later: crops to a millionth. */
const rounded = ({ picture: { crop: { left, top, width, height }, thresholds_l } }) =>
  ({ crop: [left, top, width, height].map((part) => part.toFixed(6)), thresholds_l });

/** Writes text to a file for as long as `body` runs. */
async function withFile(name, text, body) {
  const folder = await mkdtemp(path.join(os.tmpdir(), 'platewright-'));
  const file = path.join(folder, name);
  try {
    await writeFile(file, text);
    return await body(file);
  } finally {
    await rm(folder, { recursive: true });
  }
}

test('a link made here reads the same natively, and the other way round', () => onPage({ name: 'link-native' }, async (page) => {
  await reckoned(page);
  await setNumber(page, 'Wait', 47);
  const plan = await planInHand(page);
  await openPanel(page, 'share…', 'Share this plan');
  const whole = await page.getByLabel('The link', { exact: true }).inputValue();
  const shown = Number(await page.locator('.share-length .number').textContent());
  assert.equal(shown, whole.length, 'the length shown is that of the link');
  assert.ok(whole.length <= 300, `the harbour's link has ${whole.length} characters`);
  assert.deepEqual(JSON.parse(await native('link', 'read', whole)), plan, 'natively it is the same plan');
  const made = await withFile('plan.json', JSON.stringify(plan), (file) => native('link', 'make', file));
  assert.equal(made.trim(), whole.split('#')[1], 'natively the same link is made');
  const sides = await page.locator('.qr').getAttribute('viewBox');
  assert.match(sides, /^0 0 (\d+) \1$/, 'the QR code is square');
  await assertAccessible(page);
  await screenshot(page, 'share-wide');
}));

for (const name of ['harbour', 'twelve-bites-and-notes', 'every-last-choice', 'five-states']) {
  test(`a fresh visitor opens on the plan of a link (${name})`, async () => {
    const { link, plan } = await oldLink(name);
    await onPage({ hash: `#${link}`, name: `link-fresh-${name}` }, async (page) => {
      await reckoned(page);
      await page.getByRole('button', { name: 'see the harbour example instead' }).waitFor();
      assert.deepEqual(await planInHand(page), plan, 'the plan is the one that was put in');
      assert.equal(new URL(page.url()).hash, '', 'the address is clean again');
      await page.reload();
      await reckoned(page);
      assert.deepEqual(await planInHand(page), plan, 'a reload keeps it');
    });
  });
}

/** Every fault that there is, on the small plate. */
const everyFault = async () => JSON.parse(await native('faults', '--json'))
  .map(({ kind }, i) => ({ kind, x_mm: 4 + i, y_mm: 6 + 1.5 * i, radius_mm: 7, size: 0.6, seed: i }));

for (const [what, faults] of [['', () => []], [' of a plan with every fault', everyFault]]) {
  test(`a link${what} opens to the very proof that the native program makes`, { timeout: 120_000 }, async () => {
    const { link, proof } = await linkAndProof(await faults());
    await onPage({ from: 'file', hash: `#${link}`, name: 'same-proof' }, async (page) => {
      await reckoned(page);
      await page.waitForSelector('.grain:has-text("Proof complete")', { timeout: 60_000 });
      assert.equal((await planInHand(page)).faults?.length ?? 0, (await faults()).length, 'the faults are kept');
      const saved = page.waitForEvent('download');
      await fromMenu(page, 'save proof');
      const sheet = greyPixels(await readFile(await (await saved).path()));
      assert.equal(fingerprint(within(sheet, MARGIN_PX)), proof, 'dot for dot the same');
    });
  });
}

test('a link never takes the place of the plan in hand', async () => {
  const { link, plan: other } = await oldLink('twelve-bites-and-notes');
  await onPage({ name: 'link-guest' }, async (page) => {
    await reckoned(page);
    await setNumber(page, 'Wait', 47);
    const mine = await planInHand(page);
    await page.evaluate((text) => { location.hash = text; }, link);
    await guest(page).waitFor();
    assert.match(await guest(page).textContent(), /A plan came with the link/, 'it says what came');
    assert.ok(await guest(page).locator('li').count() > 1, 'the differences are listed');
    assert.deepEqual(await planInHand(page), mine, 'the plan in hand is as it was');
    await assertAccessible(page);
    await screenshot(page, 'link-guest-wide');
    await guest(page).getByRole('button', { name: 'dismiss' }).click();
    assert.deepEqual(await planInHand(page), mine, 'dismissed, all is as it was');

    await page.reload();
    await reckoned(page);
    await page.evaluate((text) => { location.hash = text; }, link);
    await guest(page).getByRole('button', { name: 'look at it' }).click();
    await page.locator('.told').waitFor();
    assert.deepEqual((await planInHand(page)).bites, other.bites, 'looked at, it is in hand');
    await openPanel(page, 'shelf…', 'Shelf');
    assert.equal(await page.locator('.shelf-name').count(), 1, 'the former plan stands on the shelf');
    await page.keyboard.press('Escape');
    // Only then the keys are the plan's again.
    await page.getByRole('heading', { name: 'Shelf', exact: true }).waitFor({ state: 'detached' });
    await page.keyboard.press('Control+z');
    assert.deepEqual(await planInHand(page), mine, 'one undo brings it back');
  });
});

test('every way of spoiling a link gives one sentence and changes nothing', async () => {
  const { link } = await oldLink('lines-and-a-name');
  await onPage({ name: 'link-spoiled' }, async (page) => {
    await reckoned(page);
    const mine = await planInHand(page);
    await openPanel(page, 'share…', 'Share this plan');
    const spoiled = [];
    for (let length = 0; length < link.length; length += 7) spoiled.push(link.slice(0, length));
    for (let at = 2; at < link.length; at += 11) {
      const letter = link[at] === 'A' ? 'B' : 'A';
      spoiled.push(link.slice(0, at) + letter + link.slice(at + 1));
    }
    spoiled.push('hello', '99.AAAA', `1.${'A'.repeat(60_000)}p`, 'x'.repeat(300_000), '1.<script>alert(1)</script>p', '%', '1.////p');
    for (const text of spoiled) {
      await page.getByLabel('Open a link').fill(text);
      await page.getByRole('button', { name: 'Open', exact: true }).click();
      const wrong = page.locator('#open-link-wrong.problem');
      await wrong.waitFor();
      assert.match(await wrong.textContent(), /^[A-Z].*[.]$/s, `one sentence for ${text.slice(0, 40)}`);
    }
    await page.keyboard.press('Escape');
    assert.deepEqual(await planInHand(page), mine, 'the plan is as it was');
    await page.evaluate((text) => { location.hash = text; }, link.slice(0, 50));
    await page.locator('.notice', { hasText: 'cut off' }).waitFor();
  });
});

test('a link of a trial version is refused in words', async () => {
  const trial = await readFile(path.join(ROOT, 'crates/plan/tests/links/trial/2-five-states.txt'), 'utf8');
  await onPage({ hash: `#${trial.trim()}`, name: 'link-trial' }, async (page) => {
    await reckoned(page);
    await page.locator('.notice', { hasText: 'made by an early trial version of Platewright' }).waitFor();
    assert.equal((await planInHand(page)).title, 'Harbour at dusk', 'the harbour example instead');
  });
});

test('a plan made with another model says that its print may differ, and is all there', async () => {
  const plan = JSON.parse(await native('plan'));
  const other = { ...plan, title: 'Of another model', model: plan.model + 1 };
  const link = (await withFile('plan.json', JSON.stringify(other), (file) => native('link', 'make', file))).trim();
  const told = (page) => page.locator('.notice', { hasText: 'its print may differ' });
  await onPage({ hash: `#${link}`, name: 'link-model' }, async (page) => {
    await reckoned(page);
    await told(page).waitFor();
    await screenshot(page, 'link-model-wide');
    assert.deepEqual(await planInHand(page), { ...other, model: plan.model }, 'the page goes on with its own model');
    await told(page).getByRole('button', { name: 'dismiss' }).click();
    // The same from a file, over a plan in hand.
    await withFile('older.json', JSON.stringify({ ...other, model: 0 }), async (file) => {
      const [chooser] = await Promise.all([page.waitForEvent('filechooser'), fromMenu(page, 'open…')]);
      await chooser.setFiles(file);
      await told(page).filter({ hasText: 'an earlier model' }).waitFor();
    });
    assert.equal((await planInHand(page)).model, plan.model, 'and so from a file');
  });
});

test('a hostile title stays text', async () => {
  const plan = JSON.parse(await native('plan'));
  plan.title = '<img src=x onerror="window.caught=1">';
  plan.notes = '</textarea><script>window.caught=1</script>';
  const link = (await withFile('plan.json', JSON.stringify(plan), (file) => native('link', 'make', file))).trim();
  await onPage({ hash: `#${link}`, name: 'link-hostile' }, async (page) => {
    await reckoned(page);
    assert.equal(await page.locator('.title-entry').inputValue(), plan.title, 'the title is what was written');
    await page.evaluate(() => { location.hash = ''; });
    assert.equal(await page.evaluate(() => window.caught), undefined, 'nothing ran');
    await page.goto(`${page.url().split('#')[0]}#wall/${link}`);
    await page.getByRole('heading', { level: 1 }).waitFor();
    assert.equal(await page.getByRole('heading', { level: 1 }).textContent(), plan.title, 'on the wall, too');
    assert.equal(await page.evaluate(() => window.caught), undefined, 'nothing ran');
  });
});

test('a small picture travels in the link and is the same everywhere', () => onPage({ name: 'link-picture' }, async (page, { context }) => {
  await reckoned(page);
  await dropPicture(page);
  const sent = await plannedByHand(page);
  await openPanel(page, 'share…', 'Share this plan');
  await page.locator('.share-choice').waitFor();
  const lengths = await page.locator('.share-choice .number').allTextContents();
  assert.equal(lengths.length, 2, 'both lengths are shown');
  await page.getByRole('radio', { name: /small picture/ }).check({ force: true });
  const whole = await page.getByLabel('The link', { exact: true }).inputValue();
  assert.equal(whole.length, Number(lengths[1]), 'the length shown is that of the link');
  assert.ok(whole.length <= 2000, `with its picture the link has ${whole.length} characters`);
  await page.locator('.qr-none', { hasText: 'too long for a QR code' }).waitFor();
  await screenshot(page, 'share-picture-wide');

  const there = await context.browser().newContext();
  try {
    await visited(there);
    const other = await there.newPage();
    await other.goto(whole);
    await reckoned(other);
    await other.locator('.picture-name', { hasText: 'hills.png' }).waitFor();
    await other.locator('.crop-picture canvas').waitFor();
    const folder = await mkdtemp(path.join(os.tmpdir(), 'platewright-'));
    const file = path.join(folder, 'small.png');
    const plan = JSON.parse(await native('link', 'read', whole, '--small-picture', file));
    assert.deepEqual(await planInHand(other), plan, 'the same plan natively');
    const png = (await readFile(file)).toString('base64');
    await rm(folder, { recursive: true });
    // The crop frame keeps a picture in the size it shows: the native one is brought to it, as light.
    await other.evaluate(`window.shrink = ${shrink}`);
    const differing = await other.evaluate(async (base64) => {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      const bitmap = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
      const mine = document.querySelector('.crop-picture canvas');
      const canvas = new OffscreenCanvas(bitmap.width, bitmap.height).getContext('2d');
      canvas.drawImage(bitmap, 0, 0);
      const whole = canvas.getImageData(0, 0, bitmap.width, bitmap.height);
      const a = mine.width === bitmap.width ? whole.data : window.shrink(whole, mine.width, mine.height).data;
      const b = mine.getContext('2d').getImageData(0, 0, mine.width, mine.height).data;
      if (Math.abs(mine.width / mine.height - bitmap.width / bitmap.height) > 0.01 || a.length !== b.length) return -1;
      // In its own size to the bit; a smaller one may round to the code beside.
      const least = mine.width === bitmap.width ? 0 : 1;
      return a.filter((value, i) => Math.abs(value - b[i]) > least).length;
    }, png);
    assert.equal(differing, 0, 'the same picture, pixel by pixel');
    await other.locator('.awaited', { hasText: 'A coarse picture' }).waitFor();
    await other.locator('.notice', { hasText: 'a coarse stand-in' }).waitFor();
    await screenshot(other, 'link-stand-in');
    await dropPicture(other, 'hills.png', { spaced: false });
    await known(other).waitFor();
    assert.equal(await other.locator('.awaited').count(), 0, 'nothing stands in any longer');
    assert.deepEqual(rounded(await planInHand(other)), rounded(sent), 'the real picture has the crop and values of the sender');
  } finally {
    await there.close();
  }
}));

test('a link that only names its picture says so', async () => {
  const plan = JSON.parse(await native('plan'));
  plan.picture.source = { file: 'meadow.jpg' };
  const link = (await withFile('plan.json', JSON.stringify(plan), (file) => native('link', 'make', file))).trim();
  await onPage({ hash: `#${link}`, name: 'link-no-picture' }, async (page) => {
    await reckoned(page);
    await page.locator('.notice', { hasText: '“meadow.jpg”' }).waitFor();
    assert.deepEqual((await planInHand(page)).picture.source, { file: 'meadow.jpg' }, 'the plan still names it');
    await openPanel(page, 'share…', 'Share this plan');
    await page.getByText('whoever opens it is asked for it').waitFor();
    assert.equal(await page.getByText('need not travel').count(), 0, 'passed on, the plan still awaits its picture');
  });
});

test('a plan knows the picture it was made for, and no other', () => onPage({ name: 'awaited' }, async (page) => {
  await reckoned(page);
  await dropPicture(page);
  const sent = await plannedByHand(page);
  const link = (await withFile('plan.json', JSON.stringify(sent), (file) => native('link', 'make', file))).trim();
  await onPage({ hash: `#${link}`, name: 'awaited-there' }, async (there) => {
    await reckoned(there);
    await there.locator('.awaited', { hasText: 'The harbour stands in' }).waitFor();
    await assertAccessible(there);
    await screenshot(there, 'awaited-wide');
    // The same picture as a messenger hands it on: renamed, and pressed hard.
    await dropPicture(there, 'IMG-0001.jpg', { kind: 'image/jpeg', spaced: false });
    await known(there).waitFor();
    assert.deepEqual(rounded(await planInHand(there)), rounded(sent), 'crop and values are those of the plan');
    assert.equal((await planInHand(there)).title, sent.title, 'and the title');
    await screenshot(there, 'awaited-came-wide');
    await known(there).getByRole('button', { name: 'fit them anew' }).click();
    await crop(there, (width) => width > 99);

    await there.keyboard.press('Control+z');
    await there.keyboard.press('Control+z');
    await there.locator('.awaited', { hasText: 'The harbour stands in' }).waitFor();
    await known(there).waitFor({ state: 'detached' });
    await dropPicture(there, 'hills.png', { turned: true, spaced: false });
    const other = there.locator('.notice', { hasText: '“hills.png” is another picture' });
    await other.waitFor();
    await crop(there, (width) => width > 99);
    await screenshot(there, 'awaited-other-wide');
    await other.getByRole('button', { name: 'use the plan’s crop and values' }).click();
    assert.deepEqual(rounded(await planInHand(there)), rounded(sent), 'one press brings crop and values back');
    await there.setViewportSize(PHONE);
    await screenshot(there, 'awaited-phone');
  });
}));

test('without a clipboard, as on plain http, the link is selected to be copied by hand', () => onPage({ name: 'link-no-clipboard' }, async (page) => {
  await page.addInitScript(() => { Object.defineProperty(Navigator.prototype, 'clipboard', { get: () => undefined }); });
  await page.reload();
  await reckoned(page);
  const selected = (label) => page.getByLabel(label, { exact: true })
    .evaluate((field) => document.activeElement === field && field.value.slice(field.selectionStart, field.selectionEnd) === field.value && field.value.length > 10);
  await openPanel(page, 'share…', 'Share this plan');
  await page.getByRole('button', { name: 'Copy the link' }).click();
  await page.locator('.share-copied', { hasText: 'press Ctrl+C' }).waitFor();
  assert.ok(await selected('The link'), 'the whole link is selected');
  await screenshot(page, 'share-no-clipboard');
}));

test('the sheet for the wall prints on one page', async () => {
  const { link } = await oldLink('twelve-bites-and-notes');
  await onPage({ hash: `#wall/${link}`, name: 'wall' }, async (page) => {
    await page.locator('.wall-bites tbody tr').first().waitFor();
    await page.locator('.wall .qr, .wall .qr-none').first().waitFor();
    await eventually(() => page.locator('.wall-bites tbody td:last-child').allTextContents(), (tones) => tones.every((tone) => tone !== ''), 'every value has its tone');
    await eventually(() => page.evaluate(() => performance.getEntriesByName('first-pass').length), (times) => times > 0, 'the proof is printed');
    assert.equal(await page.locator('.head').count(), 0, 'nothing of the bench is shown');
    await assertAccessible(page);
    await screenshot(page, 'wall-wide', { fullPage: true });
    await page.emulateMedia({ media: 'print' });
    await page.setViewportSize({ width: 703, height: 1032 });
    await screenshot(page, 'wall-print', { fullPage: true });
    const pdf = (await page.pdf({ format: 'A4', preferCSSPageSize: true })).toString('latin1');
    assert.equal(pdf.match(/\/Type\s*\/Page\b/g).length, 1, 'one sheet of A4');
    await page.emulateMedia({ media: 'screen' });
    await page.setViewportSize(PHONE);
    await screenshot(page, 'wall-phone', { fullPage: true });
    await page.getByRole('link', { name: 'Open it on the bench' }).click();
    await reckoned(page);
  });
});

test('shares from disk on a phone', () => onPage({ from: 'file', size: PHONE, name: 'share-phone' }, async (page) => {
  await reckoned(page);
  await openPanel(page, 'share…', 'Share this plan');
  await page.locator('.qr').waitFor();
  await page.getByText('leads nowhere for others').waitFor();
  const { wide, inner } = await page.evaluate(() => ({ wide: document.documentElement.scrollWidth, inner: window.innerWidth }));
  assert.ok(wide <= inner, `nothing sticks out sideways: ${wide} px in ${inner} px`);
  await assertAccessible(page);
  await screenshot(page, 'share-phone');
  await page.getByRole('button', { name: 'close' }).click();
  assert.equal(await page.evaluate(() => document.activeElement.textContent), 'plan', 'the keyboard is back at the word of the menu');
}));

test('a link is not called unreadable because a worker is slow to start', () => onPage({ name: 'link-slow' }, async (page, { context }) => {
  await context.addInitScript(() => {
    const own = Worker.prototype.postMessage;
    const held = new Map();
    window.holdWorkers = () => { window.holding = true; };
    window.letGo = () => { window.holding = false; for (const [worker, all] of held) for (const args of all) own.apply(worker, args); held.clear(); };
    Worker.prototype.postMessage = function postMessage(...args) {
      if (!window.holding || !(held.has(this) || args[0] instanceof WebAssembly.Module)) return own.apply(this, args);
      held.set(this, [...held.get(this) ?? [], args]);
    };
  });
  await page.clock.install();
  await page.reload();
  await reckoned(page);
  const { link } = await oldLink('twelve-bites-and-notes');
  await page.evaluate((text) => { window.holdWorkers(); location.hash = text; }, link);
  await page.clock.runFor(15_000);
  await page.evaluate(() => window.letGo());
  await guest(page).waitFor();
}));
