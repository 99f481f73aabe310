// The page opens on a reckoned plan, from a host and from disk, wide and on a phone; nobody complains.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { colours } from './lib/colours.mjs';
import { assertAccessible, onPage, openMenu, PHONE, reckoned, screenshot, WIDE } from './lib/page.mjs';

const SIZES = { wide: WIDE, phone: PHONE };

for (const from of ['http', 'file']) {
  for (const [width, size] of Object.entries(SIZES)) {
    test(`opens (${from}, ${width})`, () => onPage({ from, size, name: `open-${from}-${width}` }, async (page) => {
      await reckoned(page);
      assert.match(await page.title(), /Platewright/, 'the tab has a name');
      const { wide, inner } = await page.evaluate(() => ({
        wide: document.documentElement.scrollWidth, inner: window.innerWidth,
      }));
      assert.ok(wide <= inner, `nothing sticks out sideways: ${wide} px in ${inner} px`);
      const fonts = await page.evaluate(async () => {
        const faces = ['600 20px Alegreya', '400 16px "Alegreya Sans"'];
        await Promise.all(faces.map((face) => document.fonts.load(face, '12 µm')));
        return faces.map((face) => [...document.fonts].some((font) => font.status === 'loaded'
          && face.includes(font.family.replaceAll('"', '')) && face.startsWith(font.weight)));
      });
      assert.deepEqual(fonts, [true, true], 'both faces came with the page');
      await screenshot(page, `open-${from}-${width}`);
    }));
  }
}

for (const dark of [false, true]) {
  for (const [width, size] of Object.entries(SIZES)) {
    const look = `${dark ? 'dark' : 'light'}, ${width}`;
    test(`is accessible (${look})`, () => onPage({ from: 'file', size, dark, name: `axe-${look}` }, async (page) => {
      await reckoned(page);
      await assertAccessible(page);
      if (size === WIDE) await assertTold(page);
    }));
  }
}

/** In forced colours what is chosen, where a rule stands and what a key means can be told, by the pixels on the screen. */
async function assertTold(page) {
  await page.emulateMedia({ forcedColors: 'active' });
  await openMenu(page, 'view');
  const word = (name) => page.locator('.menu-choice .word', { hasText: name });
  const [chosen, other] = [await ground(page, word('metric')), await ground(page, word('US'))];
  assert.notEqual(chosen, other, `the chosen word stands out: both on ${chosen}`);
  const wait = page.locator('.entry', { hasText: 'Wait' }).first();
  const rule = wait.locator('.rule');
  await rule.scrollIntoViewIfNeeded();
  const before = await coloursOf(page, rule);
  assert.ok(before.length >= 3, `rule and mark are drawn: ${JSON.stringify(before)}`);
  const shot = await rule.screenshot();
  await wait.locator('.entry-value').fill('700');
  assert.ok(!shot.equals(await rule.screenshot()), 'the mark moves with the number');
  // Most of a key's line is paper: its own colour comes second.
  const [copper, ink] = [await coloursOf(page, page.locator('.key-copper'), 12), await coloursOf(page, page.locator('.key-ink'), 12)];
  assert.notEqual(copper[1][0], ink[1][0], `copper and ink have keys of their own: both ${copper[1]}`);
}

/** Colours of an element, or of its first so many pixels. */
async function coloursOf(page, locator, width) {
  const box = await locator.boundingBox();
  return colours(page, { ...box, width: width ?? box.width });
}

/** The commonest colour of an element. */
async function ground(page, locator) {
  return (await coloursOf(page, locator))[0][0];
}
