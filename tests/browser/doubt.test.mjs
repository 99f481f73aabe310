// "What this plan depends on most": the page's own trial of every constant, against the table that
// the native program wrote for the same plan (docs/constants.md, which a Rust test holds to the code).

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { test } from 'node:test';
import { assertAccessible, onPage, reckoned, ROOT, screenshot } from './lib/page.mjs';
import { openPanel } from './lib/plans.mjs';

/** Rows of the table: meaning, and how far the harbour's palest, middle and darkest value move. */
async function nativeTable() {
  const text = await readFile(path.join(ROOT, 'docs/constants.md'), 'utf8');
  return text.split('\n').filter((line) => line.startsWith('| `')).map((line) => {
    const cells = line.split('|').map((cell) => cell.trim());
    return { meaning: cells[2], spreads: cells.slice(7, 10).map((cell) => Number(cell.split(' ')[0])) };
  });
}

test('the harbour depends on what the native program says it does', { timeout: 240_000 }, async () => {
  const native = (await nativeTable()).sort((a, b) => Math.max(...b.spreads) - Math.max(...a.spreads));
  assert.ok(native.length > 40, `the table lists the constants (${native.length} rows)`);
  await onPage({ name: 'doubt' }, async (page) => {
    await reckoned(page);
    await openPanel(page, 'how sure the numbers are…', 'How sure the numbers are');
    await page.click('summary:has-text("What this plan depends on most")');
    await page.waitForSelector('.doubts li');
    await page.waitForSelector(`.doubts [role=status]:has-text("All ${native.length} constants have been tried")`, { timeout: 200_000 });
    const rows = await page.$$eval('.doubts li', (items) => items.map((item) => ({
      meaning: item.querySelector('.constant-name').textContent,
      spreads: [...item.querySelectorAll('.doubt-values .number')].map((number) => Number(number.textContent)),
    })));
    assert.equal(rows.length, 12, 'the twelve that matter most are shown');
    for (const [i, row] of rows.entries()) {
      const known = native.find(({ meaning }) => meaning === row.meaning);
      assert.ok(known, `${row.meaning} is a constant of the table`);
      assert.equal(row.spreads.length, 3, `${row.meaning}: pale, middle and darkest`);
      for (const [j, spread] of row.spreads.entries()) {
        assert.ok(Math.abs(known.spreads[j] - spread) <= 0.1001, `${row.meaning}: ${row.spreads} here, ${known.spreads} natively`);
      }
      assert.ok(Math.max(...row.spreads) + 0.1001 >= Math.max(...native[i].spreads), `row ${i + 1} is among the most moving`);
    }
    await assertAccessible(page);
    await page.locator('.doubts').scrollIntoViewIfNeeded();
    await screenshot(page, 'doubt');
    // A change begins the trial anew. (No hand reaches the plan under the panel.)
    await page.locator('.title-entry').evaluate((entry) => {
      entry.value = 'Another';
      entry.dispatchEvent(new Event('input', { bubbles: true }));
    });
    await page.waitForSelector('.doubts [role=status]:has-text("Tried ")');
  });
});
