// What of a shop is uneven on every plate stands folded in its step, off at first: constants of the plan.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertAccessible, onPage, openMenu, reckoned, screenshot } from './lib/page.mjs';
import { eventually, written } from './lib/waits.mjs';

/** What the value table says of every value's lightness. */
const lightness = (page) => page.locator('.scale-table tbody tr', { hasText: 'L*' }).first().innerText();

test('a box that dusts unevenly, a hot plate with cooler edges, and a bath that cools are set, told, and taken back', () => onPage({ name: 'own-shop', steps: 'one', hash: '#dust' }, async (page) => {
  await reckoned(page);
  const own = (step) => page.locator(`#${step} details`, { hasText: 'this shop’s' });
  const entry = (name) => page.getByRole('spinbutton', { name, exact: true });
  await own('dust').locator('summary').click();
  await entry('Less at the edges').fill('40');
  await written(page, ({ calibration }) => calibration?.['dust.wall_loss'] === 0.4);
  await own('dust').getByText('dust a sheet of glass and compare its places').first().waitFor();
  await assertAccessible(page);
  await screenshot(page, 'own-shop');
  // Beyond what is plausible it is refused in words, and what held holds.
  await entry('Less at the edges').fill('95');
  await own('dust').getByRole('alert').waitFor();
  await entry('Less at the edges').press('Escape');
  // Off again, nothing of it is left in the plan.
  await entry('Less at the edges').fill('0');
  await written(page, ({ calibration }) => calibration === undefined);

  await page.locator('#bath .step-name').click();
  await own('bath').locator('summary').click();
  const before = await lightness(page);
  await entry('Nearer to the room’s warmth').fill('150');
  await written(page, ({ calibration }) => calibration?.['bite.cooling_per_h'] === 1.5);
  await entry('Temperature').fill('28');
  await page.locator('#bath', { hasText: 'Bath at the last bite' }).waitFor();
  await eventually(() => lightness(page), (now) => now !== before, 'a colder bath prints otherwise');

  await openMenu(page, 'view');
  await page.getByRole('radio', { name: /^US/ }).check({ force: true });
  await page.keyboard.press('Escape');
  await page.locator('#bake .step-name').click();
  await own('bake').locator('summary').click();
  await entry('The plate’s edges').fill('18');
  await written(page, ({ calibration }) => Math.abs(calibration?.['bake.edge_cooler_c'] - 10) < 0.05);
  await own('bake').getByText('°F less').waitFor();
}));
