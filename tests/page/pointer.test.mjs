// Mouse, pen and fingers on a canvas: what is a tap, a drag, a pinch.

import assert from 'node:assert/strict';
import { beforeEach, test } from 'node:test';
import './lib/browser.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

globalThis.WheelEvent ??= { DOM_DELTA_LINE: 1 };
const { pointing } = await pageModule('ui/pointer.ts');

/** An element whose left top lies at 100, 50 in the window; `stop` takes the hands off it. */
const hears = new Map();
const on = {
  addEventListener: (name, what) => hears.set(name, what),
  removeEventListener: (name) => hears.delete(name),
  getBoundingClientRect: () => ({ left: 100, top: 50 }),
  setPointerCapture: () => undefined,
};
const point = (name, x, y, pointerId = 1, more = {}) => hears.get(name)?.({ type: name, clientX: 100 + x, clientY: 50 + y, pointerId, button: 0, preventDefault() {}, ...more });

let told;
let stop;
beforeEach(() => {
  told = [];
  const tell = (name, pick = (...all) => all) => (...all) => told.push([name, ...pick(...all)]);
  const places = (...all) => all.slice(0, 2).map(({ x, y }) => `${x} ${y}`);
  stop = pointing(on, {
    press: tell('press', (here) => places(here)), drag: tell('drag', places), tap: tell('tap', (here) => places(here)), drop: tell('drop'), leave: tell('leave'),
    pan: tell('pan'), zoom: tell('zoom', (factor, x, y) => [Number(factor.toFixed(4)), x, y]), hover: tell('hover', (here) => places(here)),
  });
});

test('a press that stays within 5 px is a tap where it came down', () => {
  point('pointerdown', 10, 20);
  point('pointermove', 13, 24);
  point('pointerup', 13, 24);
  assert.deepEqual(told, [['press', '10 20'], ['tap', '10 20']]);
});

test('farther, it is a drag from where it came down, and goes on step by step', () => {
  point('pointerdown', 10, 20);
  point('pointermove', 12, 20);
  point('pointermove', 16, 20);
  point('pointermove', 15, 20);
  point('pointerup', 15, 20);
  assert.deepEqual(told, [['press', '10 20'], ['drag', '16 20', '10 20'], ['drag', '15 20', '16 20'], ['drop']]);
});

test('a second finger takes back what the first began; both pan and zoom, and the last one pans on', () => {
  point('pointerdown', 0, 0, 1);
  point('pointermove', 10, 0, 1);
  told.length = 0;
  point('pointerdown', 110, 0, 2);
  point('pointermove', 210, 0, 2);
  assert.deepEqual(told, [['leave'], ['pan', 50, 0], ['zoom', 2, 110, 0]], 'twice as far apart, about the middle');
  point('pointerup', 210, 0, 2);
  point('pointermove', 12, 3, 1);
  point('pointerup', 12, 3, 1);
  assert.deepEqual(told.slice(3), [['pan', 2, 3]], 'no tap, no drop');
  point('pointerdown', 5, 5, 1);
  point('pointerup', 5, 5, 1);
  assert.deepEqual(told.slice(4), [['press', '5 5'], ['tap', '5 5']], 'and all begins anew');
});

test('what the browser takes away is neither tap nor drop; other buttons begin nothing', () => {
  point('pointerdown', 0, 0);
  point('pointercancel', 0, 0);
  assert.deepEqual(told, [['press', '0 0'], ['leave']]);
  point('pointerdown', 0, 0, 1, { button: 2 });
  point('pointerup', 0, 0, 1, { button: 2 });
  assert.equal(told.length, 2);
  point('pointermove', 7, 8);
  assert.deepEqual(told[2], ['hover', '7 8']);
});

test('the wheel zooms about its place: by pixels, by lines, by a pinch on a touchpad', () => {
  const wheel = (more) => { point('wheel', 30, 40, 1, { deltaMode: 0, ctrlKey: false, ...more }); return told.at(-1); };
  assert.deepEqual(wheel({ deltaY: -100 }), ['zoom', Number(Math.exp(0.16).toFixed(4)), 30, 40]);
  assert.deepEqual(wheel({ deltaY: 3, deltaMode: 1 }), ['zoom', Number(Math.exp(-3 * 16 * 0.0016).toFixed(4)), 30, 40]);
  assert.deepEqual(wheel({ deltaY: -5, ctrlKey: true }), ['zoom', Number(Math.exp(0.05).toFixed(4)), 30, 40]);
  stop();
  assert.equal(hears.size, 0, 'and nothing is heard any more');
});
