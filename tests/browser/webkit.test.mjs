// The single file in WebKit: it opens, and the linen tester stays in its frame on a tablet, also when that is turned.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { RECKONED, SINGLE_FILE } from './lib/page.mjs';
import { eventually } from './lib/waits.mjs';
import { withWebKit } from './lib/webkit.mjs';

/** The frame of the linen tester and the picture in it, CSS pixels; and whether something is drawn there. */
const TESTER = `(() => {
  const glass = document.querySelector('.tester-glass');
  const canvas = glass.querySelector('canvas');
  const [frame, picture] = [glass, canvas].map((one) => one.getBoundingClientRect()).map(({ left, top, right, bottom }) => ({ left, top, right, bottom }));
  const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
  return { frame, picture, drawn: data.some((byte, i) => i % 4 === 0 && byte !== data[0]), room: glass.parentElement.getBoundingClientRect().bottom };
})()`;

test('WebKit opens the page, and the linen tester stays in its frame', { timeout: 120_000 }, () => withWebKit(async ({ open, size, ask }) => {
  await size(820, 1024);
  await open(pathToFileURL(SINGLE_FILE).href);
  await eventually(() => ask(`document.querySelector('${RECKONED}') !== null`), (there) => there, 'the plan is reckoned', 60);
  await ask(`document.querySelectorAll('.pane-words input')[1].click()`);
  for (const [width, height] of [[820, 1024], [768, 1024], [1440, 900], [768, 900]]) {
    await size(width, height);
    await eventually(() => ask('innerWidth'), (now) => now === width, 'the window has its size', 10);
    const { frame, picture, room } = await eventually(() => ask(TESTER), ({ drawn }) => drawn, `the linen tester shows something at ${width}`, 20);
    assert.ok(picture.left >= frame.left && picture.right <= frame.right && picture.top >= frame.top && picture.bottom <= frame.bottom,
      `at ${width} × ${height} the picture lies in its frame: ${JSON.stringify([picture, frame])}`);
    assert.ok(frame.bottom <= room + 1, `and the frame in its room: ${frame.bottom}, ${room}`);
  }
}));
