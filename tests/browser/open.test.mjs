// The page opens on a reckoned plan, from a host and from disk, wide and on a phone; nobody complains.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { assertAccessible, onPage, PHONE, reckoned, screenshot, WIDE } from './lib/page.mjs';

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
    }));
  }
}
