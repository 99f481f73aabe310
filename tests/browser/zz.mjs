import { test } from 'node:test';
import { onPage, reckoned, PHONE, WIDE } from './lib/page.mjs';
const shot = (page, n) => page.screenshot({ path: `/work/tmp/shots/${n}.png` });
const only = (process.env.ONLY ?? '').split(',').filter(Boolean);
for (const [size, at] of [['wide', WIDE], ['phone', PHONE]]) {
  if (!only.length || only.includes('plan')) test(`plan ${size}`, { timeout: 90000 }, () => onPage({ name: 'zz', steps: 'one', size: at, hash: '#dust', allow: [/willRead/] }, async (page) => {
    await reckoned(page);
    await page.locator('#dust .faults-fold summary').click();
    await page.locator('#dust .faults-kinds').waitFor();
    await page.locator('#dust .faults-fold').scrollIntoViewIfNeeded();
    await shot(page, `plan1-${size}`);
    await page.locator('#dust .faults-kinds').getByRole('button', { name: 'draught while dusting' }).click();
    await page.locator('#dust .faults-list').waitFor();
    await page.waitForTimeout(3500);
    await shot(page, `plan2-${size}`);
    if (size === 'phone') { await page.evaluate(() => scrollTo(0, 0)); await page.waitForTimeout(300); await shot(page, `plan3-${size}`); }
  }));
  if (!only.length || only.includes('cost')) test(`cost ${size}`, { timeout: 90000 }, () => onPage({ name: 'zz', steps: 'one', size: at, hash: '#cost-bites', allow: [/willRead/] }, async (page) => {
    await page.locator('.cost-table').waitFor({ timeout: 60000 });
    await page.waitForTimeout(4000);
    await shot(page, `cost1-${size}`);
    await page.locator('.cost-kind select').selectOption('drip');
    await page.waitForTimeout(6000);
    await shot(page, `cost2-${size}`);
    await page.locator('.cost-words').scrollIntoViewIfNeeded(); await shot(page, `cost3-${size}`);
  }));
  if (!only.length || only.includes('book')) test(`book ${size}`, { timeout: 90000 }, () => onPage({ name: 'zz', steps: 'one', size: at, hash: '#faults', allow: [/willRead/] }, async (page) => {
    await page.locator('.book-kind').first().waitFor({ timeout: 60000 });
    const t = Date.now();
    await page.waitForFunction ? null : null;
    await page.locator('.book-pair .unit', { hasText: 'wide' }).first().waitFor({ timeout: 60000 });
    console.log('first picture', Date.now() - t);
    await page.waitForTimeout(6000);
    await shot(page, `book1-${size}`);
    await page.locator('dialog').evaluate((d) => d.scrollBy(0, 1500));
    await page.waitForTimeout(9000);
    await shot(page, `book2-${size}`);
  }));
  if (!only.length || only.includes('ex')) test(`ex ${size}`, { timeout: 120000 }, () => onPage({ name: 'zz', steps: 'one', size: at, hash: '#what-went-wrong', allow: [/willRead/] }, async (page) => {
    await page.locator('.wrong-link').waitFor({ timeout: 60000 });
    await shot(page, `ex1-${size}`);
    await page.goto(page.url().replace(/#.*/, '#what-went-wrong-7-zzz'));
    await page.locator('.wrong-guesses').waitFor({ timeout: 60000 });
    await page.waitForTimeout(7000);
    await shot(page, `ex2-${size}`);
    await page.locator('.wrong-guesses li button').first().click();
    await page.waitForTimeout(5000);
    await shot(page, `ex3-${size}`);
    await page.locator('dialog').evaluate((d) => d.scrollTo(0, 9999));
    await shot(page, `ex4-${size}`);
    console.log(page.url());
  }));
}
