// Planning backwards, the minutes for today's bath, the bath book and the bands: asked in the page, and
// held to what the page's own forward reckoning then prints.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, screenshot, unfoldTable } from './lib/page.mjs';
import { eventually } from './lib/waits.mjs';

const rows = (page) => page.$$eval('.back-table tbody tr:not(.back-why)', (all) => all.map((row) => {
  const cells = [...row.querySelectorAll('td')];
  return { wanted: Number(cells[0].querySelector('input').value), minutes: Number(cells[2].textContent), prints: Number(cells[3].textContent) };
}));

/** L* of every value in the page's value scale, paper left out. */
const printed = (page) => page.$$eval('.scale-table tr', (all) => all.flatMap((row) =>
  (/L\*/.test(row.querySelector('th')?.textContent ?? '') ? [...row.querySelectorAll('td')].map((cell) => Number(cell.textContent)) : [])).slice(1));

/** Minutes of the darkest value in the bath, as the value scale has them. */
const inTheBath = (page) => page.locator('.scale-table tr', { hasText: 'In the bath' }).locator('td').last().textContent().then(Number);

const minutesNow = (page) => page.$$eval('.bites .minutes-value', (all) => all.map((input) => Number(input.value)));

test('values become minutes that print them; another bath and the bath book follow', { timeout: 300_000 }, async () => {
  await onPage({ name: 'backwards' }, async (page) => {
    await reckoned(page);
    await unfoldTable(page);
    const before = await minutesNow(page);
    await fromMenu(page, 'plan backwards…');
    await page.waitForSelector('.back-table', { timeout: 90_000 });
    const even = await rows(page);
    assert.equal(even.length, before.length, 'one row for each value');
    const steps = even.slice(1).map((row, i) => even[i].wanted - row.wanted);
    assert.ok(Math.max(...steps) - Math.min(...steps) <= 0.21, `even steps in L*: ${steps}`);
    for (const { wanted, prints, minutes } of even) {
      assert.ok(Math.abs(wanted - prints) <= 2, `asked L* ${wanted}, ${minutes} min print ${prints}`);
      assert.equal((minutes * 4) % 1, 0, `${minutes} min is timed in quarters at least`);
    }
    await assertAccessible(page);
    await screenshot(page, 'backwards');

    // What can't be a wish stays as it was typed, with a sentence; so does a wish while its answer is sought.
    const wish = page.locator(`[aria-label="L* asked of value ${even.length}"]`);
    const asked = await wish.inputValue();
    for (const [typed, sentence] of [['dark', /“dark” is not a number\. Type one from 0 to 100/], ['-5', /-5 is out of range/]]) {
      await wish.fill(typed);
      await wish.press('Tab');
      await page.locator('.back-why [role=alert]', { hasText: sentence }).waitFor();
      assert.deepEqual([await wish.inputValue(), await wish.getAttribute('aria-invalid')], [typed, 'true'], 'it is not swallowed');
    }
    await assertAccessible(page);
    await screenshot(page, 'backwards-word');
    await page.locator('.back-why button', { hasText: 'put back' }).click();
    assert.equal(await wish.inputValue(), asked, 'one press puts back what was asked');

    // Darker than this ground can: said, with the nearest and what would carry it.
    await wish.fill('5');
    await wish.press('Enter');
    await page.locator('.backwards [role=status] .waiting').waitFor();
    assert.equal(await wish.inputValue(), '5.0', 'the wish stands while its answer is sought');
    const why = page.locator('.back-why').last();
    await why.waitFor({ timeout: 90_000 });
    assert.match(await why.textContent(), /before L\* 5|no darker than L\*/, 'why L* 5 is not to be had');
    await page.click('.backwards .word:has-text("even steps")');
    await page.waitForSelector('.back-answer[data-busy=false]:not(:has(.back-why))', { timeout: 90_000 });

    // How sure: bands grow, in a sentence and a plot.
    await page.click('button:has-text("Show likely variation")');
    await page.waitForSelector('.back-bands li', { timeout: 120_000 });
    const band = /L\* (\d+) to (\d+)/.exec(await page.locator('.back-bands li').nth(3).textContent());
    assert.ok(Number(band[1]) < Number(band[2]), `value 4 has a band: ${band[0]}`);
    await page.locator('.back-sure').scrollIntoViewIfNeeded();
    await screenshot(page, 'backwards-sure');

    await page.click('button:has-text("Take these minutes")');
    await page.waitForSelector('.backwards', { state: 'detached' });
    assert.deepEqual(await minutesNow(page), even.map((row) => row.minutes), 'the minutes are in the plan');
    const inAll = even.reduce((sum, { minutes }) => sum + minutes, 0);
    await eventually(() => inTheBath(page), (minutes) => Math.abs(minutes - inAll) < 0.01, 'the numbers are those of these minutes');
    const forwards = await printed(page);
    for (const [i, l] of forwards.entries()) {
      assert.ok(Math.abs(l - even[i].wanted) <= 2, `value ${i + 1}: asked ${even[i].wanted}, the proof has ${l}`);
    }
    await page.click('.head-undo button:has-text("undo")');
    assert.deepEqual(await minutesNow(page), before, 'one undo takes them out again');

    // 17 °C today.
    await page.locator('.entry:has(.entry-label:text-is("Temperature")) input.entry-value').fill('17');
    const offer = page.locator('.same-values');
    await offer.waitFor({ timeout: 60_000 });
    assert.match(await offer.textContent(), /same values take/, 'minutes for the colder bath are offered');
    await offer.scrollIntoViewIfNeeded();
    await screenshot(page, 'backwards-todays-bath');
    await offer.locator('button').click();
    const colder = await minutesNow(page);
    const sum = (all) => all.reduce((a, b) => a + b, 0);
    // exp(22 kJ/mol / R · (1/290.15 − 1/293.15)) = 1.098 (bite.md §2.1), give or take the rounding.
    assert.ok(Math.abs(sum(colder) / sum(before) - 1.098) < 0.05, `${sum(colder)} min instead of ${sum(before)}`);

    // The bath book.
    await fromMenu(page, 'bath book…');
    await page.click('button:has-text("Write down the bath of this plan")');
    await page.waitForSelector('.bath-card [role=status]', { timeout: 60_000 });
    await page.click('button:has-text("This plate has been bitten")');
    await page.waitForSelector('.bath-plates');
    await page.fill('.bath-card label:has-text("Hydrometer") input', '41');
    await page.waitForSelector('.bath-card button:has-text("write that down")');
    await assertAccessible(page);
    await screenshot(page, 'bath-book');
    await page.fill('.bath-card label:has-text("Copper at first") input', '98');
    await page.press('.bath-card label:has-text("Copper at first") input', 'Enter');
    await page.waitForSelector('.bath-card .problem:has-text("tired")');
    const volume = page.locator('.bath-card label:has-text("Volume") input');
    await volume.fill('much');
    await volume.press('Tab');
    await page.locator('.bath-card [role=alert]', { hasText: '“much” is not a number. Type one from 0.2 to 100' }).waitFor();
    assert.equal(await volume.inputValue(), 'much', 'the bath book keeps what was typed');
    await page.locator('.bath-card button', { hasText: 'put back 2' }).click();
    await page.click('button:has-text("Bite this plan in it")');
    await page.click('.bath-book .panel-head button');
    const copper = Number(await page.locator('.entry:has(.entry-label:text-is("Copper in the bath")) input.entry-value').inputValue());
    assert.ok(copper >= 49, `the plan has the book's copper: ${copper} g/L`);
    await page.locator('.same-values').waitFor({ timeout: 60_000 });
    await page.reload();
    await reckoned(page);
    await page.locator('.same-values').waitFor({ timeout: 60_000 });
    await page.locator('#bath').getByRole('button', { name: 'Bath book…' }).click();
    await page.waitForSelector('.bath-plates');
    await page.click('.bath-book .panel-head button');
    // Out with the shelf.
    await fromMenu(page, 'shelf…');
    await page.click('button:has-text("Keep this plan")');
    await page.waitForSelector('.shelf-plan');
    const [download] = await Promise.all([page.waitForEvent('download'), page.click('button:has-text("Take all out as one file")')]);
    const file = JSON.parse(await readFile(await download.path(), 'utf8'));
    assert.equal(file.baths[0].plates.length, 1, 'the book goes out with the shelf');
  });
});

test('from disk and on a phone', { timeout: 200_000 }, async () => {
  await onPage({ name: 'backwards-phone', from: 'file', size: PHONE, dark: true }, async (page) => {
    await reckoned(page);
    await fromMenu(page, 'plan backwards…');
    await page.waitForSelector('.back-table', { timeout: 90_000 });
    await page.locator('.back-grain').scrollIntoViewIfNeeded();
    await page.fill('.back-grain-line input >> nth=0', '40');
    await page.click('button:has-text("Find settings")');
    await page.waitForSelector('.back-grain p:has-text("min in the box")', { timeout: 120_000 });
    await assertAccessible(page);
    await screenshot(page, 'backwards-phone', { fullPage: false });
    const wide = await page.evaluate(() => document.querySelector('.backwards').scrollWidth - document.querySelector('.backwards').clientWidth);
    assert.ok(wide <= 0, `nothing runs off the side (${wide} px)`);
  });
});
