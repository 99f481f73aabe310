// The bench sheet on paper and the clock beside the tray: one list of steps, printed and run.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertAccessible, fromMenu, onPage, PHONE, reckoned, screenshot, WIDE } from './lib/page.mjs';
import { pageModule } from './lib/pageModule.mjs';
import { native, planInHand } from './lib/plans.mjs';
import { eventually } from './lib/waits.mjs';

/** What a step tells to do, and what its caution must then speak of. */
const HAZARDS = [
  [/powder|dust|in the box/i, /respirator/],
  [/hot plate (on|at)|warm the plate/i, /hot|Burns|heat/],
  [/ferric|etchant|as the bath closes|drain over/i, /goggles/i],
  [/bath closes/i, /tongs|sling/],
  [/varnish|solvent|alcohol/i, /burn[^.]*harm|varnish and solvent/i],
  [/tarlatan|wipe and print/i, /catch fire/],
  [/the thick one over it|wipe and print|one even run|print the proof of it/i, /rollers/],
  [/scraper|burnisher|score|file the edges/i, /cut/],
  [/start with the spray/i, /mist/],
  [/transfer paper/i, /fixative/],
  [/vinegar and a pinch of salt over/i, /bleach/],
  [/back into its labelled container/i, /drain/],
  [/into clean water/i, /slippery/],
  [/steel-faced now/i, /electroplating/],
];

test('every step with a hazard carries its caution, and the hot plate is never on beside dust or varnish', async () => {
  const { benchList } = await pageModule('steps/list.ts');
  const plan = JSON.parse(await native('plan'));
  const ground = { seed: 8, dust: plan.dust, bake: plan.bake, bath: plan.bath, outline_mm: [[10, 10], [60, 10], [60, 60]], bites: [{ bite_min: 2, from_value: 1, to_value: 7 }] };
  const tool = { tool: 'scraper', passage: false, width_mm: 4, take_um: 3, points_mm: [[10, 10], [40, 40]] };
  const full = {
    ...plan, states: [{ name: '', from_state: 1, work: [{ tool }, { ground }] }],
    edition: { impressions: 30, steel_faced: true, paper_reflectance: 0.85, sheet_width_mm: 760, sheet_height_mm: 560, minutes_each: 25 },
  };
  const bites = plan.bites.map(({ bite_min }, i) => ({ bite: { first: i + 1, last: i + 1, bite_min }, name: `Bite ${i + 1}`, joined: '' }));
  const order = {
    planned: 7, whites: true, bites, dropped: '', line: [2], spits: [{ name: 'sky', spit_min: 2, fade_mm: 5, middle_mm: [30, 40] }],
    later: [{ state: 2, work: 1, dropped: '', bites: [{ ...bites[0], cover: 'the whites', uncover: '', open: 'values 1 to 7' }] }],
  };
  const summary = {
    dust: { loose_cover: 0.2, low_angle_cover: 0.8, cloud_start_g_per_m3: 40, explosible_g_per_m3: 15 }, bake: { softening_c: 76, plate_end_c: 110, doneness: 'good', sentence: '' },
    ground: { cover: 0.5, islands_per_mm2: 40, domes_per_mm2: 90, median_footprint_um: 70 }, bath: { rate_um_per_min: [1.5], copper_end_g_per_l: 0.7, dissolved_g: 0.4 },
    values: Array.from({ length: 8 }, (_, i) => ({ lightness: 95 - 10 * i, density: 0.1 * i })), order,
  };
  for (const agitation of ['rocked', 'bubbled', 'sprayed']) {
    const steps = benchList({
      plan: {
        ...full, bath: { ...plan.bath, agitation },
        states: [{ ...full.states[0], work: [{ tool }, { ground: { ...ground, bath: { ...ground.bath, agitation } } }] }],
      },
      summary, amounts: null, units: 'metric',
      shop: { begin_min: 540, between_min: 30, floor_cm: [50, 50], impressions: 5 },
    });
    assert.equal(new Set(steps.map(({ id }) => id)).size, steps.length, 'every step has a name of its own');
    for (const { id, name, todo, caution } of steps) {
      assert.ok(caution, `${id} carries a caution`);
      for (const [does, mustSay] of HAZARDS) {
        if (does.test(`${name} ${todo.join(' ')}`)) assert.match(caution, mustSay, `${id}, which says ${does}`);
      }
      if (agitation !== 'rocked' && /^bite-|^ground-.*-bite-|bath$/.test(id)) assert.match(caution, /mist: tank shut/, `${id} of a ${agitation} bath`);
      assert.doesNotMatch(`${todo.join(' ')} ${caution}`, /\b(is|are) safe\b|dust mask|dry it warm/i, id);
    }
    // Twice: the first ground and the later one.
    let hot = false;
    let times = 0;
    for (const { id, todo } of steps) {
      const words = todo.join(' ');
      if (/switch the hot plate on/i.test(words)) { hot = true; times += 1; }
      if (/switch the hot plate off/i.test(words)) hot = false;
      if (/powder at once|varnish|solvent/i.test(words)) assert.ok(!hot, `the hot plate is off at ${id}`);
    }
    assert.equal(times, 2, 'switched on once for each ground');
    const at = (id) => steps.findIndex((one) => one.id === id);
    assert.ok(at('dusting') < at('heat') && at('cool') < at('back') && at('back') < at('whites'), 'the back is covered after the bake, before the whites');
    assert.ok(at('bath') < at('spit-1') && at('spit-1') < at('whites') && at('whites') < at('bite-1'), 'spit-bite before the whites are varnished');
    assert.equal(steps[at('ground-2-1-dusting')].seconds, plan.dust.dusting_min * 60, 'a later ground’s minutes are timed, too');
    for (const [id, seconds] of [['wait', plan.dust.wait_s], ['bake', plan.bake.bake_min * 60], ['bite-1', bites[0].bite.bite_min * 60]]) {
      assert.equal(steps[at(`ground-2-1-${id}`)].seconds, seconds, `so is its ${id}`);
    }
    assert.ok(at('degrease') < at('transfer') && at('transfer') < at('box'), 'the drawing is transferred to clean copper, before the dust');
    assert.ok(at('strip') < at('brighten') && at('soak') < at('wipe') && at('blankets') < at('ink') && at('wipe') < at('press') && at('press') < at('dry'), 'from the bath to the proof');
    assert.ok(at('bat') < at('edition') && at('edition') < at('sign') && at('sign') < at('cancel') && at('cancel') < at('clean'), 'to the plate that prints no more');
    assert.ok(at('ground-2-1-bite-1') < at('ground-2-1-strip') && at('ground-2-1-strip') < at('proof-2'), 'and its varnish and rosin come off');
  }
});

/** Waits until no number of the sheet is missing. */
async function wholeSheet(page) {
  await page.waitForSelector('.sheet-qr .qr');
  await page.waitForSelector('.sheet-paper:not(:has-text("…"))', { timeout: 60_000 });
}

async function pagesOf(page, format) {
  const pdf = await page.pdf({ format });
  return pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g).length;
}

test('the bench sheet prints the whole job', { timeout: 240_000 }, () => onPage({ name: 'bench-sheet' }, async (page) => {
  await reckoned(page);
  await fromMenu(page, 'bench sheet…');
  await wholeSheet(page);
  const text = async () => (await page.locator('.sheet-paper').innerText()).replaceAll('\u00a0', ' ');
  const metric = await text();
  const numbers = await page.$$eval('.sheet-paper .sheet-number', (all) => all.map((one) => Number(one.textContent)));
  const bites = await page.$$eval('.sheet-bites tbody tr td:first-child', (all) => all.map((one) => Number(one.textContent)));
  assert.deepEqual([...new Set([...numbers, ...bites])].sort((a, b) => a - b), Array.from({ length: 38 }, (_, i) => i + 1), 'numbered from the supplier’s film to the plate put away');
  for (const words of [
    'Weigh out 7.5 g of rosin powder: 30 g/m² for a floor of 50 × 50 cm', 'Stir up the dust, then wait 30 s', 'Plate in the box 5 min',
    'Hot plate at 125 °C; the plate on a sheet of paper', '2.0 L of ferric chloride, mixed at 40 °Bé, at 20 °C', 'about 0.6 g/L of copper',
    'Pull the supplier’s film off', 'transfer paper free of wax', 'pinch of salt', 'Try the pressure before the plate is inked', 'dauber', 'bon à tirer', 'artist’s proof', 'Cancel the plate',
    'no need to stop out again what is covered already', 'hazardous waste', 'Mix the ink', 'ml of black', 'nothing here says that a step is safe',
    'fitted respirator', 'Etchant into water, never water into etchant',
  ]) assert.ok(metric.includes(words), `the sheet says “${words}”`);
  const row = async (n) => (await page.locator('.sheet-bites tbody tr').nth(n - 1).locator('th, td').allInnerTexts()).map((cell) => cell.trim());
  assert.deepEqual((await row(3)).slice(1, 6), ['3', '13:39', '1½', '13:40', '4½'], 'bite 3 of the plan: in, minutes, out, in all');
  await page.getByLabel('Begin at').fill('10:00');
  await page.getByLabel('Between bites, min').fill('20');
  await page.getByLabel('Between bites, min').press('Enter');
  await eventually(async () => (await row(3)).slice(2, 5).join(' '), (shown) => shown === '14:19 1½ 14:20', 'an hour later, ten minutes less between bites');
  await page.getByLabel('Ink for, impressions').fill('50');
  await page.getByLabel('Ink for, impressions').press('Enter');
  await page.waitForSelector('.sheet-paper:has-text("27 ml of black")');
  await page.getByRole('radio', { name: 'US', exact: true }).last().check({ force: true });
  const us = await text();
  for (const words of ['Hot plate at 257 °F', '2.1 qt', '0.26 oz (7.5 g)', '5.91 × 7.87 in', 'a floor of 20 × 20 in', 'Bath, °F']) assert.ok(us.includes(words), `in US units: “${words}”`);
  await assertAccessible(page);
  await page.emulateMedia({ media: 'print' });
  assert.ok(!(await page.locator('.head').isVisible()) && !(await page.locator('.shop').isVisible()), 'only the sheet is printed');
  const long = [];
  for (const format of ['A4', 'Letter']) {
    long.push(await pagesOf(page, format));
    assert.ok(long.at(-1) >= 1 && long.at(-1) <= 6, `${long.at(-1)} pages of ${format}`);
  }

  // For those who know: times, weights and marks; and it stays so.
  await page.emulateMedia({ media: null });
  const ticks = await page.locator('.sheet-tick').count();
  assert.equal(ticks, 38, 'a box to tick for every step');
  await page.getByRole('radio', { name: 'short: times, weights, marks' }).check({ force: true });
  await page.reload();
  await reckoned(page);
  await wholeSheet(page);
  const short = (await page.locator('.sheet-paper').innerText()).replaceAll('\u00a0', ' ');
  for (const words of ['0.26 oz (7.5 g) of rosin', 'Plate in the box 5 min', 'Bake 10 min 257 °F, on paper', '2.1 qt, 40 °Bé, 68 °F', 'respirator, no flame or spark', 'goggles, gloves, apron; tongs', 'nothing here says that a step is safe']) {
    assert.ok(short.includes(words), `the short sheet says “${words}”`);
  }
  for (const words of ['Look:', 'Weigh out', 'Caution:']) assert.ok(!short.includes(words), `the short sheet has no “${words}”`);
  assert.equal(await page.locator('.sheet-tick').count(), ticks, 'and the same boxes');
  assert.ok(await page.locator('.sheet-ran-line').count() > 7, 'with room for what really ran');
  await assertAccessible(page);
  await screenshot(page, 'bench-sheet-short');
  await page.emulateMedia({ media: 'print' });
  for (const format of ['A4', 'Letter']) {
    const pages = await pagesOf(page, format);
    assert.ok(pages <= 2, `${pages} pages of ${format}, short`);
  }
  await page.emulateMedia({ media: null });
  await page.getByRole('radio', { name: 'long', exact: true }).check({ force: true });
  await page.keyboard.press('Escape');
  await page.waitForSelector('.sheet', { state: 'detached' });
  assert.equal(await page.locator('[inert]').count(), 0, 'the page is free again');
  await page.emulateMedia({ media: 'print' });
  assert.ok(await page.locator('.proof-paper').isVisible(), 'without the sheet the page prints as ever');
}));

/** What an overrun comes to is seen without scrolling, on a desk and in the hand. */
async function onFirstScreen(page) {
  for (const size of [PHONE, WIDE]) {
    await page.setViewportSize(size);
    const { y, height } = await page.locator('.clock-slip').boundingBox();
    const over = await page.evaluate(() => [...document.querySelectorAll('.head, .head-groups, .head-undo')].map((one) => getComputedStyle(one).zIndex));
    assert.deepEqual(over.filter((z) => z !== 'auto'), [], 'nothing of the page’s own head lies over the view');
    assert.ok(y >= 0 && y + height <= size.height, `at ${size.width} × ${size.height} it reaches from ${y} to ${y + height} px`);
    await screenshot(page, `clock-slip-${size.width}`);
  }
}

const digits = (page) => page.locator('.clock-face span').innerText();

async function showsDigits(page, wanted) {
  await eventually(() => digits(page), (shown) => wanted.test(shown), 'the big display', 5);
}

test('the clock keeps true time and reckons with what really ran', { timeout: 240_000 }, () => onPage({ name: 'clock' }, async (page) => {
  await page.clock.install();
  await reckoned(page);
  await page.evaluate(() => {
    Object.defineProperty(navigator, 'wakeLock', { value: { request: () => Promise.reject(new Error('refused')) } });
    // What is to be heard, s from now; and what is felt.
    window.heardAt = [];
    window.felt = [];
    const { start } = AudioScheduledSourceNode.prototype;
    AudioScheduledSourceNode.prototype.start = function set(when) {
      window.heardAt.push(Math.round(when - this.context.currentTime));
      start.call(this, when);
    };
    navigator.vibrate = (pattern) => window.felt.push(pattern);
  });
  await fromMenu(page, 'clock…');
  await page.getByRole('heading', { name: 'Make the plate ready' }).waitFor();
  await page.getByRole('button', { name: /^13\s*Bite 1/ }).click();
  await page.keyboard.press('Escape');
  await fromMenu(page, 'clock…');
  await page.getByRole('heading', { name: 'Bite 1' }).waitFor();
  assert.equal(await digits(page), '1:30', 'the set time before the start');
  await page.locator('.clock-face').click();
  await page.keyboard.press('Space');
  await page.getByText('does not let the page keep the screen awake').waitFor();
  const heardAt = await page.evaluate(() => [...new Set(window.heardAt)]);
  assert.deepEqual(heardAt.filter((at) => at <= 91), [30, 80, 90, 91], 'a minute and ten seconds before the end and at the end, set ahead in the audio clock');
  assert.ok(heardAt.some((at) => at >= 100), `told again until somebody comes: ${heardAt}`);
  await page.clock.runFor(20_000);
  await showsDigits(page, /^1:(10|09|08)$/);
  await page.getByRole('button', { name: 'Hold' }).click();
  await page.clock.runFor(30_000);
  await showsDigits(page, /^1:(10|09|08|07)$/);
  await page.getByRole('button', { name: 'Go on' }).click();
  await assertAccessible(page);

  // A hidden tab: ten minutes pass without one tick.
  await page.clock.fastForward('10:00');
  await showsDigits(page, /^\+8:5\d$/);
  assert.match(await page.locator('.clock-about').innerText(), /^over by 8:5\d: time was up at \d\d:\d\d:\d\d$/, 'by how much, and since when');
  assert.match(await page.locator('.view [role=status]').innerText(), /time was up 8 minutes \d+ seconds? ago/, 'said aloud');
  assert.equal(await page.evaluate(() => window.felt.length), 1, 'and felt');
  // What that comes to stands on the first screen, while there is still something to be done about it.
  const slip = async (pattern, what) => eventually(async () => (await page.locator('.clock-slip').innerText()).replaceAll('\u00a0', ' '), (words) => pattern.test(words), what);
  await page.locator('.clock-slip').waitFor({ timeout: 60_000 });
  await slip(/^Take the plate out now\. Value 1 already prints about L\* \d\d; it was to print 85\. Values 1, 2, 3, 4 and 5 can no longer be parted: stop them out together\. Next is bite 6/, 'ten minutes too long');
  await onFirstScreen(page);
  await page.evaluate(() => { window.heardAt = []; });
  await page.getByRole('button', { name: 'sound on' }).click();
  assert.equal(await page.evaluate(() => window.heardAt.length), 0, 'silent when it shall be');
  await page.getByRole('button', { name: 'sound off' }).click();
  await screenshot(page, 'clock-over');

  // A reload: the clock comes back by itself and has gone on.
  await page.reload();
  await page.locator('.clock-face').waitFor({ timeout: 60_000 });
  await showsDigits(page, /^\+(8:5|9:[0-2])\d$/);

  // It really ran 2:20; what the rest should be.
  await page.keyboard.press('n');
  // Once it is worked out what ten minutes too long have made alike, the step stops that out together.
  await page.getByRole('heading', { name: /^Rinse, dry, stop out values? 1/ }).waitFor();
  await page.keyboard.press('b');
  await showsDigits(page, /^\+(8:5|9:[0-2])\d$/);
  await page.keyboard.press('n');
  const entry = page.getByRole('textbox', { name: 'Bite 1 ran' });
  await entry.fill('2:20');
  await entry.press('Enter');
  await page.waitForSelector('.ran th:has-text("better now")', { timeout: 60_000 });
  await slip(/^Value 1 now prints about L\* \d\d; it was to print 85\. Next is bite 2, 45 s instead of 1½ min\.\s*The clock has these minutes loaded/, 'what to do next');
  await page.waitForSelector('.clock-list li:has-text("Bite 2"):has-text("45 s")');
  await page.getByRole('button', { name: 'keep the plan’s' }).click();
  await page.waitForSelector('.clock-list li:has-text("Bite 2"):has-text("1½ min")');
  await page.getByRole('button', { name: 'load these' }).click();
  await page.waitForSelector('.clock-list li:has-text("Bite 2"):has-text("45 s")');
  const rows = async () => (await page.locator('.ran tbody tr').evaluateAll((all) => all.map((tr) =>
    [...tr.children].map((cell) => (cell.querySelector('input')?.value ?? cell.textContent).replaceAll('\u00a0', ' ').trim()))));
  const ran = await rows();
  assert.deepEqual(ran[0].slice(0, 3), ['1', '1½ min', '2:20'], 'the first bite');
  assert.ok(Number(ran[0][4]) < Number(ran[0][3]), `value 1 prints darker: ${ran[0]}`);
  assert.deepEqual(ran.slice(1).map((cells) => cells[5]), ['45 s', '1½ min', '1½ min', '2½ min', '3½ min', '6 min'], 'bite 2 gives back what bite 1 took');
  assert.ok(Number(ran[6][4]) < Number(ran[6][3]) + 1, 'with the plan’s minutes the last prints no lighter');
  await page.locator('.ran').scrollIntoViewIfNeeded();
  await screenshot(page, 'clock-ran');
  await page.getByRole('button', { name: 'Take these bites into the plan' }).click();
  await page.waitForSelector('.clock-list li:has-text("Bite 2"):has-text("45 s")');
  await page.getByRole('button', { name: 'Take these bites into the plan' }).waitFor({ state: 'detached' });
  assert.equal(await page.getByRole('button', { name: 'Take what ran into the plan' }).count(), 0, 'what is in the plan is not offered again');
  await page.getByRole('button', { name: 'see the proof as bitten' }).click();
  await page.waitForSelector('.compare-side >> nth=1');
  await page.getByText('The clock goes on: Rinse, dry, stop out value 1.').waitFor();
  await page.keyboard.press('Escape');
  const bites = async () => (await planInHand(page)).bites.map(({ bite_min }) => bite_min);
  assert.deepEqual(await bites(), [2.25, 0.75, 1.5, 1.5, 2.5, 3.5, 6], 'in the plan, to the quarter minute');
  await page.getByRole('button', { name: 'undo' }).click();
  assert.deepEqual(await bites(), [1.5, 1.5, 1.5, 1.5, 2.5, 3.5, 6], 'one undo takes it out');

  // Held in the hand.
  await page.getByRole('button', { name: 'show the clock' }).click();
  for (const size of [PHONE, { width: 844, height: 390 }, WIDE]) {
    await page.setViewportSize(size);
    const { wide, inner } = await page.evaluate(() => ({ wide: document.querySelector('.view').scrollWidth, inner: window.innerWidth }));
    assert.ok(wide <= inner, `nothing sticks out sideways: ${wide} px in ${inner} px`);
    const key = await page.getByRole('button', { name: 'Next' }).boundingBox();
    assert.ok(key.y + key.height <= size.height && key.height >= 44, `the key for the next step is in reach at ${size.width} px`);
  }
  await page.getByRole('button', { name: 'begin anew…' }).click();
  await page.getByRole('button', { name: 'Yes, begin anew' }).click();
  await page.getByRole('heading', { name: 'Make the plate ready' }).waitFor();
  assert.equal(await page.locator('.ran').count(), 0, 'nothing has run');
}));

const outline = (left, top, right, bottom) => [{ kind: 'outline', points_mm: [left, top, right, top, right, bottom, left, bottom] }];

test('values that an overrun has made alike are stopped out together; a bite cut short goes back in', { timeout: 240_000 }, () => onPage({ name: 'clock-slip' }, async (page) => {
  await page.clock.install();
  await reckoned(page);
  await fromMenu(page, 'clock…');
  const names = async () => (await page.locator('.clock-list li').allInnerTexts()).map((one) => one.replace(/\s+/g, ' '));
  await page.getByRole('heading', { name: 'Make the plate ready' }).waitFor();
  const before = (await names()).length;
  await page.getByRole('button', { name: /^13\s*Bite 1/ }).click();
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  await page.clock.runFor(40_000);
  await page.keyboard.press('n');
  // Forty seconds of ninety: too light.
  const slip = page.locator('.clock-slip');
  await slip.filter({ hasText: 'Is it not varnished yet?' }).waitFor({ timeout: 60_000 });
  await page.getByRole('button', { name: 'back in for' }).click();
  await showsDigits(page, /^0:(50|49|48)$/);
  await page.clock.runFor(51_000);
  await page.keyboard.press('n');
  await slip.waitFor({ state: 'detached' });

  // In truth it was four minutes and a quarter.
  const entry = page.getByRole('textbox', { name: 'Bite 1 ran' });
  await entry.fill('4:15');
  await entry.press('Enter');
  await slip.filter({ hasText: 'Values 1, 2 and 3 can no longer be parted: stop them out together.' }).waitFor({ timeout: 60_000 });
  await page.getByRole('heading', { name: 'Rinse, dry, stop out values 1, 2 and 3 together' }).waitFor();
  assert.equal((await names()).length, before - 4, 'two bites and two stop-outs less');
  await onFirstScreen(page);
  await page.reload();
  await page.getByRole('heading', { name: 'Rinse, dry, stop out values 1, 2 and 3 together' }).waitFor({ timeout: 60_000 });
  // By its button: the keys are heard a moment after the words are there.
  await page.getByRole('button', { name: 'Next', exact: true }).click();
  await page.getByRole('heading', { name: 'Bite 4', exact: true }).waitFor();
  assert.match(await digits(page), /^[12]:\d\d$/, 'with its own minutes');

  // A dusting that ran over; what ran can go into the plan.
  await page.getByRole('button', { name: /Plate in the box/ }).click();
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  await page.clock.runFor(360_000);
  await slip.filter({ hasText: /^More rosin has landed/ }).waitFor();
  await page.keyboard.press('n');
  await slip.filter({ hasText: 'Plate in the box, 6' }).getByRole('button', { name: /^take 6.* into the plan/ }).click();
  await page.keyboard.press('Escape');
  assert.equal((await planInHand(page)).dust.dusting_min, 6, 'in the plan');
  // A job under way is told after a reload, too, though no set time runs.
  await page.reload();
  await page.getByText('The clock goes on:').waitFor({ timeout: 60_000 });
}));

test('sheet, guides and clock hold the work that the plate needs, and no other', { timeout: 240_000 }, () => onPage({ name: 'bench-order' }, async (page) => {
  await reckoned(page);
  // Values 2 and 4 in two squares of value 6: 1, 3 and 5 are empty, 7 falls away, nothing stays white. Two spit-bites.
  const plan = JSON.parse(await native('plan'));
  const areas = [
    { name: 'all', work: 'hold', value: 6, shapes: outline(-1, -1, 151, 201) },
    { name: '', work: 'hold', value: 2, shapes: outline(20, 20, 50, 50) },
    { name: '', work: 'hold', value: 4, shapes: outline(60, 20, 90, 50) },
    { name: 'sky', work: 'spit', spit_min: 2, feather_mm: 5, shapes: outline(20, 100, 60, 120) },
    { name: '', work: 'spit', spit_min: 1.5, shapes: outline(90, 100, 110, 120) },
  ];
  await page.evaluate((json) => {
    const data = new DataTransfer();
    data.items.add(new File([json], 'order.json', { type: 'application/json' }));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
  }, JSON.stringify({ ...plan, title: 'Order', areas }));
  await page.waitForFunction(() => document.title.startsWith('Order'));
  await reckoned(page);
  await fromMenu(page, 'bench sheet…');
  await wholeSheet(page);
  await page.waitForSelector('.sheet-paper:has-text("Spit-bite: sky")');
  const text = (await page.locator('.sheet-paper').innerText()).replaceAll('\u00a0', ' ');
  for (const words of [
    'Spit-bite: sky 2 min', 'fades over 5 mm', 'Spit-bite: area 5 1½ min', 'Keep to the outline', 'no brush goes to the mouth',
    'No place of the plate has value 1, so nothing is stopped out there: bites 1 and 2 run as one.', 'bites 3 and 4 run as one', 'bites 5 and 6 run as one',
    'No place of the plate has value 7: bite 7 falls away.', 'Nothing of this picture stays paper-white', 'Caution, every bite:', 'Caution, every rinse and stop-out:',
  ]) assert.ok(text.includes(words), `the sheet says “${words}”`);
  const bites = await page.$$eval('.sheet-bites tbody tr', (all) => all.map((tr) => [1, 3, 6].map((i) => tr.children[i].textContent.replaceAll('\u00a0', ' ').replace(/^\d+ r/, 'r'))));
  assert.deepEqual(bites, [
    ['1 and 2', '3', 'rinse, dry, stop out value 2'], ['3 and 4', '3', 'rinse, dry, stop out value 4'], ['5 and 6', '6', 'out: the darkest value is done'],
  ], 'three bites, two stop-outs');
  await screenshot(page, 'bench-order-sheet');

  await page.locator('.sheet').getByRole('button', { name: 'stop-out guides…' }).click();
  await page.waitForSelector('.guide svg', { timeout: 60_000 });
  const guides = await page.locator('.guide').evaluateAll((all) => all.map((one) => one.getAttribute('aria-label')));
  assert.deepEqual(guides, [
    'Spit-bite: sky, before the whites are stopped out', 'Spit-bite: area 5, before the whites are stopped out',
    'Stop out value 2, after bites 1 and 2, before bites 3 and 4 in one (3 min)', 'Stop out value 4, after bites 3 and 4, before bites 5 and 6 in one (6 min)',
  ], 'a guide for every step of the sheet that is painted');
  const [saved] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'the whole plate as one SVG' }).nth(1).click()]);
  assert.equal(saved.suggestedFilename(), 'order-spit-bite-2-whole.svg', 'its own sheet, though two come before the first bite');
  await page.keyboard.press('Escape');

  // The clock: the same steps, and its advice.
  await fromMenu(page, 'clock…');
  await page.getByRole('button', { name: /Spit-bite: sky/ }).click();
  assert.equal(await digits(page), '2:00', 'spit-bite is timed');
  await page.locator('.clock-caution', { hasText: 'no brush goes to the mouth' }).waitFor();
  await page.getByRole('button', { name: /Bites 1 and 2 in one/ }).click();
  assert.equal(await digits(page), '3:00', 'both bites together');
  await page.locator('.clock-advice', { hasText: 'No place of the plate has value 1' }).waitFor();
  await page.locator('.clock-caution', { hasText: 'goggles' }).waitFor();
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  await page.keyboard.press('n');
  await page.getByRole('heading', { name: 'Rinse, dry, stop out value 2' }).waitFor();
  const entry = page.getByRole('textbox', { name: 'Bites 1 and 2 in one ran' });
  await entry.fill('4:00');
  await entry.press('Enter');
  await page.waitForSelector('.ran th:has-text("better now")', { timeout: 60_000 });
  const ran = await page.locator('.ran tbody tr').evaluateAll((all) => all.map((tr) => [0, 1, 5].map((i) => tr.children[i].textContent.replaceAll('\u00a0', ' ').trim())));
  assert.deepEqual(ran, [['1 and 2', '3 min', ''], ['3 and 4', '3 min', '2 min'], ['5 and 6', '6 min', '6 min']], 'the next bite gives back the minute');
  await screenshot(page, 'bench-order-clock');
  await page.getByRole('button', { name: 'Take these bites into the plan' }).click();
  await page.waitForSelector('.clock-list li:has-text("Bites 3 and 4 in one"):has-text("2 min")');
  await page.setViewportSize(PHONE);
  await screenshot(page, 'bench-order-clock-phone');
  await page.keyboard.press('Escape');
  assert.deepEqual((await planInHand(page)).bites.map(({ bite_min }) => bite_min), [2, 2, 1, 1, 2.5, 3.5, 6], 'shared out among the plan’s own bites');
}));
