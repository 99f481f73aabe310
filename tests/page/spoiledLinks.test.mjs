// Thirty links cut off anywhere, and with any byte spoiled, through the module that the page reads links with: never a
// panic, never another plan than was sent without a word, never more memory than a phone spares.
// `crates/picture/tests/spoiled_links.rs` does the same natively.

import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { fileURLToPath } from 'node:url';

const ROOT = path.join(path.dirname(fileURLToPath(import.meta.url)), '../..');
const GENERATED = path.join(ROOT, 'www/generated');
const LINKS = path.join(ROOT, 'crates/plan/tests/links');
/** Most that all of it may add to the module's memory, MB. */
const MOST_MB = 64;

/** The module as a worker of the page starts it. */
function module() {
  const panics = [];
  const glue = `${readFileSync(path.join(GENERATED, 'page.js'), 'utf8')}\nreturn wasm_bindgen;`;
  const page = new Function('platewrightPanic', glue)((words) => panics.push(words));
  const { memory } = page.initSync({ module: new WebAssembly.Module(readFileSync(path.join(GENERATED, 'page.wasm'))) });
  return { page, memory, panics };
}

/**
 * The golden links of all plans but those at random, which name constants that there are not; one with a lesson; and some
 * made here: with a picture, and by other seeds, titles and bites.
 */
function thirty(page) {
  const golden = readdirSync(path.join(LINKS, 'v1')).filter((name) => name.endsWith('.txt') && !name.includes('any-')).sort().map((name) => path.join(LINKS, 'v1', name));
  const links = [...golden, path.join(LINKS, 'lesson.txt')].map((file) => readFileSync(file, 'utf8').trim());
  const hand = new page.PlateInHand();
  hand.take_harbour(null);
  const { default_plan: plan } = page.catalogue();
  for (let seed = 2; links.length < 30; seed++) {
    hand.take_plan({ ...plan, seed, title: `Seed ${seed}`, notes: 'Wipe by hand. '.repeat(seed), bites: plan.bites.map(({ bite_min }) => ({ bite_min: bite_min + seed / 8 })) }, 0, 'both');
    links.push(seed === 2 ? hand.link_with_picture(40) : hand.link());
  }
  hand.free();
  return links;
}

test('thirty links cut off or spoiled anywhere are refused or whole, in the page’s own module', () => {
  const { page, memory, panics } = module();
  const links = thirty(page);
  assert.equal(links.length, 30);
  const before = memory.buffer.byteLength;
  let [tried, whole, slowest] = [0, 0, 0];
  for (const text of links) {
    const sent = JSON.stringify(page.open_link(text));
    assert.match(sent, /"plan":/, 'it opens as it was sent');
    const judge = (spoiled) => {
      const took = () => {
        const start = performance.now();
        page.open_link(spoiled);
        return performance.now() - start;
      };
      const opened = page.open_link(spoiled);
      // On a machine that has other things to do, too, the least of a few counts.
      if (process.env.TELL && took() > slowest) slowest = Math.max(slowest, Math.min(took(), took(), took()));
      tried += 1;
      if (opened.sentence !== undefined) {
        assert.notEqual(opened.sentence, '', `refused without a word: ${spoiled}`);
        return;
      }
      assert.equal(JSON.stringify(opened), sent, `another plan without a word: ${spoiled}`);
      whole += 1;
    };
    for (let end = 0; end < text.length; end++) judge(text.slice(0, end));
    for (let at = 0; at < text.length; at++) {
      for (let bit = 0; bit < 8; bit++) {
        judge(text.slice(0, at) + String.fromCharCode(text.charCodeAt(at) ^ (1 << bit)) + text.slice(at + 1));
      }
    }
  }
  const grown = (memory.buffer.byteLength - before) / 2 ** 20;
  if (process.env.TELL) console.log(`${tried} spoiled links, ${whole} opened whole, the slowest after ${slowest.toFixed(2)} ms, ${grown.toFixed(1)} MB more`);
  assert.deepEqual(panics, []);
  assert.ok(tried > 50_000, `${tried} were tried`);
  assert.ok(whole < tried / 100, `${whole} of ${tried} opened: what was spoiled in them?`);
  assert.ok(grown <= MOST_MB, `${grown} MB more`);
});
