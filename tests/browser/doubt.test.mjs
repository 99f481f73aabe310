// "What this plan depends on most": the page's own trial of every constant, against the table that
// the native program wrote for the same plan (docs/constants.md, which a Rust test holds to the code).

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { assertAccessible, onPage, reckoned, ROOT, screenshot } from './lib/page.mjs';

/**
 * Rows of the table: meaning, and how far the harbour's middle value moves. Without those of tools and wear: the
 * harbour has no later states, and the module that opens the page knows nothing of them.
 */
async function nativeTable() {
  const text = await readFile(path.join(ROOT, 'docs/constants.md'), 'utf8');
  return text.split('\n').filter((line) => line.startsWith('| `') && !line.startsWith('| `work.')).map((line) => {
    const cells = line.split('|').map((cell) => cell.trim());
    return { meaning: cells[2], spread: Number(cells[7].split(' ')[0]) };
  });
}

test('the harbour depends on what the native program says it does', { timeout: 240_000 }, async () => {
  const native = (await nativeTable()).sort((a, b) => b.spread - a.spread);
  assert.ok(native.length > 40, `the table lists the constants (${native.length} rows)`);
  await onPage({ name: 'doubt' }, async (page) => {
    await reckoned(page);
    await page.click('summary:has-text("What this plan depends on most")');
    await page.waitForSelector('.doubts li');
    await page.waitForSelector(`.doubts [role=status]:has-text("All ${native.length} constants have been tried")`, { timeout: 200_000 });
    const rows = await page.$$eval('.doubts li', (items) => items.map((item) => ({
      meaning: item.querySelector('.constant-name').textContent,
      spread: Number(/moves it by ([\d.]+)/.exec(item.querySelector('.doubt-bar').getAttribute('aria-label'))[1]),
    })));
    assert.equal(rows.length, 12, 'the twelve that matter most are shown');
    for (const [i, row] of rows.entries()) {
      const known = native.find(({ meaning }) => meaning === row.meaning);
      assert.ok(known, `${row.meaning} is a constant of the table`);
      assert.ok(Math.abs(known.spread - row.spread) <= 0.1001, `${row.meaning}: ${row.spread} here, ${known.spread} natively`);
      assert.ok(row.spread + 0.1001 >= native[i].spread, `row ${i + 1} is among the most moving`);
    }
    await assertAccessible(page);
    await page.locator('.doubts').scrollIntoViewIfNeeded();
    await screenshot(page, 'doubt');
    // A change begins the trial anew.
    await page.fill('.title-entry', 'Another');
    await page.waitForSelector('.doubts [role=status]:has-text("Tried ")');
  });
});
