// The shelf: keep, name, search, duplicate, delete and put back, out to files and in again.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';
import { assertAccessible, onPage, PHONE, reckoned, screenshot, visited } from './lib/page.mjs';
import { dropPicture, openPanel, planInHand, setNumber } from './lib/plans.mjs';
import { written } from './lib/waits.mjs';

const names = (page) => page.locator('.shelf-name').evaluateAll((all) => all.map((one) => one.value));

async function keepHand(page) {
  await openPanel(page, 'shelf…', 'Shelf');
  await page.getByRole('button', { name: 'Keep this plan' }).click();
  await page.locator('.shelf-said', { hasText: 'is on the shelf' }).waitFor();
}

async function taken(page, button) {
  const [download] = await Promise.all([page.waitForEvent('download'), button.click()]);
  return download.path();
}

test('plans are kept, named, found, copied, deleted and put back', () => onPage({ name: 'shelf' }, async (page) => {
  await reckoned(page);
  await keepHand(page);
  await page.getByLabel('Name of Harbour at dusk').fill('First harbour');
  await page.getByLabel(/^Name of/).press('Enter');
  await page.getByRole('button', { name: 'Duplicate First harbour', exact: true }).click();
  await page.getByLabel('Name of First harbour (copy)').waitFor();
  await page.getByRole('img', { name: 'Small proof of First harbour', exact: true }).waitFor({ timeout: 30_000 });
  await page.getByLabel('Search the shelf').fill('copy');
  assert.deepEqual(await names(page), ['First harbour (copy)'], 'found by its name');
  await page.getByLabel('Search the shelf').fill('');
  await assertAccessible(page);
  await screenshot(page, 'shelf-wide');
  await page.getByRole('button', { name: 'Delete First harbour (copy)' }).click();
  assert.deepEqual(await names(page), ['First harbour'], 'deleted');
  await page.getByRole('button', { name: 'Put it back' }).click();
  assert.equal((await names(page)).length, 2, 'put back');
  await page.reload();
  await reckoned(page);
  // The address says that it was open.
  await page.getByRole('heading', { name: 'Shelf' }).waitFor();
  await page.getByLabel('Name of First harbour (copy)').waitFor();
  await page.setViewportSize(PHONE);
  const { wide, inner } = await page.evaluate(() => ({ wide: document.documentElement.scrollWidth, inner: window.innerWidth }));
  assert.ok(wide <= inner, `nothing sticks out sideways: ${wide} px in ${inner} px`);
  await screenshot(page, 'shelf-phone');
}));

test('pictures stay with their plans, also through a file', () => onPage({ name: 'shelf-picture' }, async (page, { context }) => {
  await reckoned(page);
  await keepHand(page);
  await page.keyboard.press('Escape');
  await dropPicture(page);
  await setNumber(page, 'Wait', 47);
  await written(page, ({ dust }) => dust.wait_s === 47);
  const mine = await planInHand(page);
  await keepHand(page);
  const file = await taken(page, page.getByRole('button', { name: 'Take all out as one file' }));
  // The harbour comes from the shelf, and the picture goes with its plan.
  await page.getByRole('button', { name: 'Open Harbour at dusk', exact: true }).last().click();
  await page.locator('.picture-name', { hasText: 'Harbour' }).waitFor();

  const there = await context.browser().newContext({ acceptDownloads: true });
  try {
    await visited(there);
    const other = await there.newPage();
    await other.goto(page.url());
    await reckoned(other);
    const text = await readFile(file, 'utf8');
    const drop = (words, name) => other.evaluate(([content, called]) => {
      const data = new DataTransfer();
      data.items.add(new File([content], called, { type: 'application/json' }));
      window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
    }, [words, name]);
    await drop(text, 'shelf.json');
    await other.locator('.shelf-said', { hasText: '2 plans were laid on the shelf.' }).waitFor();
    await other.getByRole('button', { name: /^Open/ }).first().waitFor();
    const both = other.locator('.shelf-plan', { hasText: 'hills.png' });
    await both.getByRole('button', { name: /^Open/ }).click();
    await other.locator('.picture-name', { hasText: 'hills.png' }).waitFor();
    assert.deepEqual(await planInHand(other), mine, 'plan and picture have come through the file');

    const broken = JSON.parse(text);
    broken.plans[0].plan.dust.wait_s = -1e9;
    for (const picture of broken.pictures) { picture.width = 1e9; picture.lightness = 'no base64 at all'; }
    await drop(JSON.stringify(broken), 'broken.json');
    await other.locator('.shelf-said', { hasText: '1 could not be used' }).waitFor();
    assert.deepEqual(await planInHandBehind(other), mine, 'the plan in hand is as it was');
  } finally {
    await there.close();
  }
}));

async function planInHandBehind(page) {
  await page.keyboard.press('Escape');
  return planInHand(page);
}
