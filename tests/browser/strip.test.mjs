// The test strip: a row, a grid, a choice; taken into the plan; as a picture and as a table that says what
// the native program says; and what is said of ranges that make no strip.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, screenshot } from './lib/page.mjs';
import { native, openPanel, planInHand, setNumber } from './lib/plans.mjs';

/** Waits until so many patches have all their grain. */
const grained = (page, patches) => page.locator('.strip-progress', { hasText: `${patches} patches, ` }).waitFor({ timeout: 120_000 });

async function saved(page, word) {
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: word }).click()]);
  return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
}

async function range(page, label, value) {
  const box = page.getByLabel(label, { exact: true });
  await box.fill(String(value));
  await box.press('Enter');
}

const table = (text) => text.trim().split('\n').map((line) => line.split(','));

/** The page's table must say what the native program's does, to the last digit but one. */
function assertSameTable(page, program) {
  const [own, other] = [table(page), table(program)];
  assert.deepEqual(own[0], other[0], 'the same columns');
  assert.equal(own.length, other.length, 'as many patches');
  for (const [r, row] of own.entries()) {
    for (const [c, cell] of row.entries()) {
      const [a, b] = [Number(cell), Number(other[r][c])];
      assert.ok(cell === other[r][c] || Math.abs(a - b) <= 0.000101, `row ${r}, ${own[0][c]}: ${cell} here, ${other[r][c]} natively`);
    }
  }
}

test('a row: grain, cut and numbers of every patch; one is taken and given back', () => onPage({ name: 'strip' }, async (page) => {
  await reckoned(page);
  await openPanel(page, 'test strip…', 'Test strip');
  await grained(page, 7);
  assert.deepEqual(await page.locator('.strip-table thead th').allTextContents(),
    ['What is shown', ...[10, 20, 30, 40, 50, 60, 70].map((s) => `${s}\u00a0s`)], 'seven waits, the plan’s own among them');
  assert.equal(await page.locator('.strip-table [data-own="true"]').textContent(), '30\u00a0s', 'its own is marked');
  const tones = await page.locator('.strip-print').evaluateAll((all) => all.map((canvas) => {
    const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
    return new Set(data).size;
  }));
  assert.ok(tones.length === 7 && tones.every((many) => many > 40), `patches show grain, not flat tones: ${tones}`);
  assert.equal(await page.locator('.strip-grain canvas').count(), 7, 'a field of grain under each');
  assert.equal(await page.locator('.strip-cut .cut-copper').count(), 7, 'and a cut');
  const row = async (name) => (await page.locator('.strip-line', { hasText: name }).locator('td').allTextContents()).map(Number);
  const [cover, domes] = [await row('cover'), await row('median dome')];
  // Stokes settling: the coarse grains fall first, so a longer wait leaves less and finer dust.
  assert.ok(cover.every((c, i) => i === 0 || c <= cover[i - 1]) && cover[0] > cover[6], `cover falls with the wait: ${cover}`);
  assert.ok(domes.every((d, i) => i === 0 || d < domes[i - 1]), `and the grain gets finer: ${domes}`);
  await screenshot(page, 'strip-row');
  await assertAccessible(page);

  await page.locator('.strip-patch[aria-pressed="true"]').focus();
  await page.keyboard.press('ArrowRight');
  await page.getByRole('heading', { name: 'Wait 40\u00a0s' }).waitFor();
  assert.match(await page.locator(':focus').getAttribute('aria-label'), /^Wait 40\u00a0s: L\*/, 'arrow keys move the focus along');
  await page.getByRole('radio', { name: 'cover %' }).check({ force: true });
  await page.getByRole('img', { name: 'cover % against wait' }).waitFor();

  const csv = await saved(page, 'Save as a table (CSV)');
  assert.match(csv.name, /strip-wait\.csv$/, 'named after what was varied');
  assertSameTable(csv.bytes.toString(), await native('strip', '--vary', 'dust.wait_s=10..70:7', '--value', '4'));
  const png = await saved(page, 'Save as one picture');
  assert.equal(png.bytes.subarray(1, 4).toString(), 'PNG', 'a picture');
  assert.ok(png.bytes.readUInt32BE(16) > 7 * 280 && png.bytes.readUInt32BE(20) > 1000, 'with every patch at its own pixels');

  await page.getByRole('button', { name: 'Take into the plan: Wait 50\u00a0s' }).click();
  assert.equal(await page.locator('dialog').count(), 0, 'the strip makes way for the plan');
  assert.equal((await planInHand(page)).dust.wait_s, 50, 'which has the patch’s wait');
  const undo = page.getByRole('button', { name: 'undo', exact: true });
  await page.locator('button[title*="30"]', { hasText: 'undo' }).waitFor();
  assert.match(await undo.getAttribute('title'), /wait 30 s → 50 s/i, 'one step, with its name');
  await undo.click();
  assert.equal((await planInHand(page)).dust.wait_s, 30, 'and back again');
}));

test('opened by its address, before the plan has its numbers, the strip is printed as soon as they are in', () => onPage({ name: 'strip-address', steps: 'one', hash: '#strip' }, async (page) => {
  await page.getByRole('heading', { name: 'Test strip' }).waitFor({ timeout: 30_000 });
  await grained(page, 7);
}));

test('a grid, a choice, a bite; ranges that make no strip', () => onPage({ name: 'strip-grid', size: PHONE }, async (page) => {
  await reckoned(page);
  await fromMenu(page, 'test strip…');
  await page.getByLabel('Along', { exact: true }).waitFor();
  const offered = await page.getByLabel('Along', { exact: true }).locator('option').evaluateAll((all) => all.map((one) => one.textContent.replace(/, .*/, '')));
  for (const none of ['Width', 'Height', 'Bevel', 'Corner radius', 'Narrowest place', 'Exposure', 'Contrast', 'Margin']) assert.ok(!offered.includes(none), `${none} changes no patch: ${offered}`);
  for (const some of ['Copper', 'Wait', 'Room', 'Movement', 'Bite 1', 'Paper white']) assert.ok(offered.includes(some), `${some} does: ${offered}`);
  await page.getByLabel('Patches along').selectOption('3');
  await page.getByLabel('Down', { exact: true }).selectOption('bake.bake_min');
  await page.getByLabel('Patches down').selectOption('2');
  await range(page, 'Wait, from', 30);
  await range(page, 'Wait, to', 90);
  await range(page, 'Bake, from', 6);
  await range(page, 'Bake, to', 20);
  await grained(page, 6);
  const csv = await saved(page, 'Save as a table (CSV)');
  assertSameTable(csv.bytes.toString(), await native('strip', '--vary', 'dust.wait_s=30..90:3', '--by', 'bake.bake_min=6..20:2', '--value', '4'));
  const { wide, inner } = await page.evaluate(() => ({ wide: document.querySelector('dialog').scrollWidth, inner: window.innerWidth }));
  assert.ok(wide <= inner, `nothing sticks out sideways: ${wide} px in ${inner} px`);
  await page.locator('.strip-patch').first().focus();
  await page.keyboard.press('ArrowDown');
  await page.getByRole('heading', { name: 'Wait 30\u00a0s, Bake 20\u00a0min' }).waitFor();
  await page.locator('.strip-facts svg').waitFor();
  await screenshot(page, 'strip-grid');

  // A range is looked at where it is typed, and the strip before it stays.
  const alert = page.locator('.strip-controls .problem');
  for (const [from, to, words] of [
    [30, 30, 'begins and ends at 30 s'], [30, 2000, 'Wait is 2000 s; it must lie between 0 s and 900 s.'],
    [30, 31, 'narrower than the 5 s a plan can tell apart'], ['', 90, 'Type numbers for the range of wait.'],
  ]) {
    await range(page, 'Wait, from', from);
    await range(page, 'Wait, to', to);
    await page.locator('.strip-controls .problem', { hasText: words }).waitFor();
    assert.equal(await alert.count(), 1, `one sentence: ${words}`);
  }
  await range(page, 'Wait, from', 30);
  await alert.waitFor({ state: 'detached' });

  await page.getByLabel('Down', { exact: true }).selectOption('');
  await page.getByLabel('Along', { exact: true }).selectOption('ink.wipe');
  await grained(page, 3);
  const light = (await page.locator('.strip-line', { hasText: 'lightness' }).locator('td').allTextContents()).map(Number);
  assert.ok(light[0] < light[1] && light[1] < light[2], `tarlatan leaves most ink, hard wiping least: ${light}`);
  await page.getByLabel('Along', { exact: true }).selectOption('bites.1.bite_min');
  await page.getByLabel('Patches along').selectOption('7');
  await range(page, 'Bite 2, from', 1);
  await range(page, 'Bite 2, to', 2);
  await grained(page, 5);
  const quarters = await page.locator('.strip-table thead th').allTextContents();
  assert.deepEqual(quarters.slice(1), ['1', '1.25', '1.5', '1.75', '2'].map((min) => `${min}\u00a0min`), 'steps a plan can keep, none twice');
  await page.keyboard.press('Escape');
  await setNumber(page, 'Wait', 50);
  assert.equal((await planInHand(page)).dust.wait_s, 50, 'the plan in hand is as free as before');
}));
