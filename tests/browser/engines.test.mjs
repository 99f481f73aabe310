// The main flows in three engines, and the same table, the same words and the same pixels in all of them.

import assert from 'node:assert/strict';
import { describe, test } from 'node:test';
import { TRIED, withEngine } from './lib/engine.mjs';
import { FLOWS } from './lib/flows.mjs';
import { WIDE } from './lib/page.mjs';
import { eventually } from './lib/waits.mjs';

/** How long nothing may change until what stands there is believed, ms. */
const QUIET_MS = 1500;

/** What the engines before have shown, and which was the first to. */
const shown = new Map();

/** What `read` gives once it gives the same for a while. */
async function settled(read, what) {
  let [last, since] = [null, Date.now()];
  await eventually(async () => {
    const now = JSON.stringify(await read());
    if (now !== last || now === 'null') [last, since] = [now, Date.now()];
    return Date.now() - since;
  }, (quiet_ms) => quiet_ms > QUIET_MS, `${what} comes to rest`, 120);
  return JSON.parse(last);
}

/** Holds what a page shows against what the engines before it have shown, and gives it. */
async function agree(page, what, read) {
  const before = shown.get(what);
  if (!before) {
    shown.set(what, { engine: page.name, it: await settled(read, what) });
    return shown.get(what).it;
  }
  let last;
  const wanted = JSON.stringify(before.it);
  await eventually(async () => { last = await read(); return JSON.stringify(last) === wanted; }, Boolean, what, 60)
    .catch(() => assert.deepEqual(last, before.it, `${what}: ${page.name} shows something else than ${before.engine}`));
  return last;
}

const flowsIn = (name) => test(`the main flows in ${name}`, { timeout: 900_000 }, (t) => withEngine(name, async (page) => {
  t.diagnostic(`${name} ${page.version}`);
  await page.size(WIDE.width, WIDE.height);
  for (const [flow, run] of Object.entries(FLOWS)) {
    if (process.env.FLOW && !flow.includes(process.env.FLOW)) continue;
    await t.test(`${flow}, in ${name}`, async () => {
      try {
        await run(page, (what, read) => agree(page, what, read));
        assert.deepEqual(await page.complaints(), [], `${name} complained`);
      } catch (error) {
        await page.screenshot(`failed-${flow.replace(/\W+/g, '-')}`).catch(() => {});
        throw error;
      }
    });
  }
}));

// What the first shows the others are held against, beside each other.
const [first, ...others] = TRIED;
if (first) flowsIn(first);
describe(`the main flows in ${others.join(' and ')}`, { concurrency: true }, () => others.forEach(flowsIn));
