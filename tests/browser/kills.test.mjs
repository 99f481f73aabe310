// Workers end, pages are loaded anew and closed, at moments picked by a seed, in two tabs: no plan, picture, reading,
// stroke or plan on the shelf is lost. SEED and MOMENTS in the environment choose others, and more of them.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { onPage, reckoned, unfoldSteps } from './lib/page.mjs';
import { eventually } from './lib/waits.mjs';

const SEED = Number(process.env.SEED ?? 20);
const MOMENTS = Number(process.env.MOMENTS ?? 10);
/** Longest wait between an act and what befalls it, ms. */
const WITHIN_MS = 600;
/** A picture takes so long to stand in the store as it came, ms. */
const LANDED_MS = 250;

/** Numbers from 0 to below 1 (mulberry32, in the public domain). */
function chances(seed) {
  let at = seed >>> 0;
  return () => {
    at = (at + 0x6d2b79f5) >>> 0;
    let t = Math.imul(at ^ (at >>> 15), at | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

const BENCH = { steps: 8, bite_min: [0.5, 0.5, 1, 1, 2, 3, 4, 6], readings: [], kind: 'lightness', beyond: [] };

/** What somebody does, and what is to be there from then on: in the tab (`mine`), or in all of them (`shared`). */
const ACTS = {
  number: async ({ page, mine }, i) => {
    mine.wait = String(20 + i);
    await page.getByRole('spinbutton', { name: 'Wait', exact: true }).fill(mine.wait);
  },
  title: async ({ page, mine }, i) => {
    mine.title = `Plate ${i}`;
    await page.locator('.title-entry').fill(mine.title);
  },
  picture: async ({ page, mine }, i) => {
    mine.picture = `picture-${i}.png`;
    await page.evaluate(async ([name, turn]) => {
      const canvas = new OffscreenCanvas(150, 200);
      const on = canvas.getContext('2d');
      for (let y = 0; y < 200; y++) { on.fillStyle = `hsl(0 0% ${(y / 2 + turn * 7) % 100}%)`; on.fillRect(0, y, 150, 1); }
      const data = new DataTransfer();
      data.items.add(new File([await canvas.convertToBlob()], name, { type: 'image/png' }));
      window.dispatchEvent(new DragEvent('drop', { dataTransfer: data, cancelable: true }));
    }, [mine.picture, i]);
  },
  stroke: async ({ page, mine }) => {
    if (await page.locator('.draw-over').count() === 0) await page.getByRole('button', { name: 'Draw areas on the proof' }).click();
    const box = await page.locator('.draw-over canvas').boundingBox();
    const down = box.y + box.height * (0.3 + 0.02 * mine.strokes);
    await page.mouse.move(box.x + box.width * 0.45, down);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.55, down, { steps: 4 });
    await page.mouse.up();
    mine.strokes += 1;
    // In the plan once the hand sees it there: strokes of one moment are no use to anybody.
    await eventually(() => strokesIn(page), (now) => now === mine.strokes, 'the stroke is in the plan', 20);
  },
  reading: async ({ page, shared }, i) => {
    await page.evaluate(() => { location.hash = 'calibrate'; });
    const step = (i % 8) + 1;
    shared.readings[step - 1] = 90 - i;
    const entry = page.getByLabel(`Reading of step ${step}`, { exact: true });
    await entry.fill(String(90 - i));
    await entry.press('Enter');
    await closePanel(page);
  },
  shelf: async ({ page, mine, shared }) => {
    await page.evaluate(() => { location.hash = 'shelf'; });
    const keep = page.getByRole('button', { name: 'Keep this plan' });
    await keep.waitFor();
    if (await keep.isEnabled()) {
      shared.shelf.add(mine.title);
      await keep.click();
      await page.locator('.shelf-said', { hasText: 'is on the shelf' }).waitFor();
    }
    await closePanel(page);
  },
};

async function closePanel(page) {
  const over = page.locator('dialog.panel, .view');
  await over.getByRole('button', { name: 'close', exact: true }).click();
  await over.waitFor({ state: 'detached' });
}

/** Strokes in the plan in hand, as the page has it: through its file would be too slow. */
const strokesIn = (page) => page.evaluate(() => {
  const draft = JSON.parse(localStorage.getItem(`platewright.draft.${sessionStorage.getItem('platewright.tab')}`) ?? '{}');
  return (draft.plan?.areas ?? []).reduce((sum, { shapes }) => sum + shapes.length, 0);
});

async function endWorkers({ page }, chance) {
  const all = page.workers().filter(() => chance() < 0.6);
  // As the system does it when memory is short: nobody is told.
  await Promise.all(all.map((worker) => worker.evaluate(() => self.close()).catch(() => {})));
}

async function loadAnew({ page }) {
  await page.reload();
  await reckoned(page);
}

test('no plan, picture, reading, stroke or kept plan is lost, whatever ends when', { timeout: 60_000 + 5000 * MOMENTS }, () => onPage({ name: 'kills' }, async (page, { context }) => {
  const chance = chances(SEED);
  const shared = { readings: Array(8).fill(null), shelf: new Set() };
  await reckoned(page);
  await page.evaluate((bench) => localStorage.setItem('platewright.step-plate', JSON.stringify(bench)), BENCH);
  const address = page.url();
  const fresh = async () => {
    const next = await context.newPage();
    await next.goto(address);
    await reckoned(next);
    return next;
  };
  const tabs = [];
  for (const i of [0, 1]) {
    const mine = { wait: String(30 + i), title: `Tab ${i}`, picture: null, strokes: 0 };
    const tab = { page: i === 0 ? page : await fresh(), mine, shared };
    await loadAnew(tab);
    await unfoldSteps(tab.page);
    await ACTS.number(tab, 10 + i);
    await ACTS.title(tab, i);
    tabs.push(tab);
  }
  /** What befalls a tab. One that is closed is opened again, and goes on with its draft. */
  const BLOWS = {
    workers: (tab) => endWorkers(tab, chance),
    reload: loadAnew,
    both: async (tab) => { await endWorkers(tab, chance); await loadAnew(tab); },
    closed: async (tab) => {
      const beside = tabs.find((one) => one !== tab);
      const id = await tab.page.evaluate(() => sessionStorage.getItem('platewright.tab'));
      await tab.page.close();
      // A tab that is closed lets go of its draft a moment later.
      await eventually(() => beside.page.evaluate(async () => (await navigator.locks.query()).held.map(({ name }) => name)), (held) => !held.includes(`platewright.draft.${id}`), 'the closed tab’s lock is free');
      tab.page = await fresh();
    },
  };
  const moments = [];
  for (let i = 0; i < MOMENTS; i++) {
    const tab = tabs[Math.floor(chance() * 2)];
    const [act, blow] = [ACTS, BLOWS].map((all) => Object.keys(all)[Math.floor(chance() * Object.keys(all).length)]);
    const wait_ms = (act === 'picture' ? LANDED_MS : 0) + Math.floor(chance() * WITHIN_MS);
    moments.push(`${i}: tab ${tabs.indexOf(tab)}, ${act}, after ${wait_ms} ms ${blow}`);
    const what = (words) => `${words} (${moments.slice(-4).join('; ')}; seed ${SEED})`;
    try {
      await ACTS[act](tab, i);
      await tab.page.waitForTimeout(wait_ms);
      await BLOWS[blow](tab);
      for (const { page: on, mine } of blow === 'workers' ? [tab] : tabs) {
        assert.equal(await on.getByRole('spinbutton', { name: 'Wait', exact: true }).inputValue(), mine.wait, what('the plan’s number'));
        assert.equal(await on.locator('.title-entry').inputValue(), mine.title, what('its title'));
        assert.equal(await strokesIn(on), mine.strokes, what('its strokes'));
        if (mine.picture) await eventually(() => on.locator('.picture-name').textContent(), (name) => name.includes(mine.picture), what('its picture'), 20);
      }
      const kept = await tab.page.evaluate(() => JSON.parse(localStorage.getItem('platewright.step-plate')).readings);
      assert.deepEqual(Array.from({ length: 8 }, (_, k) => kept[k] ?? null), shared.readings, what('the readings'));
    } catch (error) {
      error.message = what(error.message);
      throw error;
    }
  }
  // All is still at work: pictures stand in the store, the shelf has its plans, and numbers come.
  for (const tab of tabs) {
    await loadAnew(tab);
    if (tab.mine.picture) {
      await tab.page.locator('.picture-name', { hasText: tab.mine.picture }).waitFor();
      await tab.page.locator('.crop-picture canvas').waitFor();
    }
  }
  await page.context().pages()[0].evaluate(() => { location.hash = 'shelf'; });
  const names = await eventually(() => page.context().pages()[0].locator('.shelf-name').evaluateAll((all) => all.map(({ value }) => value)), (all) => [...shared.shelf].every((name) => all.includes(name)), 'the shelf', 20);
  assert.ok(names.length >= shared.shelf.size);
}));
