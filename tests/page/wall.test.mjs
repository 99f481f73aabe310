// The sheet for the wall: the plan's further work in lines, and the whole brought onto one side of paper.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { plain } from './lib/browser.mjs';
import { CATALOGUE, PLAN } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const { catalogue, wholePlan } = await pageModule('features/wall/wholePlan.ts', 'store/catalogue.ts');
catalogue.value = CATALOGUE;
const { fitOnOneSide } = await pageModule('features/wall/fit.ts');

Object.assign(globalThis, { scrollX: 0, scrollY: 0, scrollTo: () => undefined });

/** A sheet of so many lines, each as high as its type in px, and a picture as high as its mm in px. */
function sheetOf(count, noteHeight = () => [0, 0]) {
  const line = () => {
    let out = false;
    return { hasAttribute: () => out, setAttribute: () => { out = true; }, removeAttribute: () => { out = false; } };
  };
  const lines = Array.from({ length: count }, line);
  const said = { textContent: 'from before' };
  const set = {};
  const notes = { get scrollHeight() { return noteHeight(set)[0]; }, get clientHeight() { return noteHeight(set)[1]; } };
  return {
    said, set, lines,
    style: { setProperty: (name, value) => { set[name] = value; }, removeProperty(name) { delete this[name]; } },
    querySelector: (selector) => (selector === '.wall-left' ? said : notes),
    querySelectorAll: () => lines,
    get scrollHeight() { return lines.filter((one) => !one.hasAttribute()).length * parseFloat(set['--type']) + parseFloat(set['--picture']); },
  };
}

// 249 mm between the margins of Letter are 941.1 px.
test('what has room keeps the largest type and picture, and nothing is left out', () => {
  const sheet = sheetOf(70);
  fitOnOneSide(sheet);
  assert.deepEqual(sheet.set, { '--type': '11pt', '--picture': '138mm', '--note-lines': '7' });
  assert.equal(sheet.said.textContent, '');
  assert.ok(!('width' in sheet.style), 'the width it was measured at is taken back');
});

test('first the picture gives way, then the type', () => {
  // 80 lines: 820 px at 10.25 pt, too high with the large picture (128), not with the small (108).
  const sheet = sheetOf(80);
  fitOnOneSide(sheet);
  assert.deepEqual(sheet.set, { '--type': '10.25pt', '--picture': '108mm', '--note-lines': '7' });
});

test('what has no room in the smallest type is left out and told', () => {
  const sheet = sheetOf(200);
  fitOnOneSide(sheet);
  // 140 lines of 6.25 pt and 66 mm of picture are 941 px.
  assert.deepEqual(sheet.set, { '--type': '6.25pt', '--picture': '66mm', '--note-lines': '2' });
  assert.equal(sheet.said.textContent, 'Left out for want of room: the last 60 lines of the work. They stand in the plan: open it in Platewright.');
  assert.deepEqual(sheet.lines.map((one) => one.hasAttribute()), Array.from({ length: 200 }, (_, i) => i >= 140), 'the last ones');
  const one = sheetOf(141);
  fitOnOneSide(one);
  assert.match(one.said.textContent, /the last line of the work\. It stands in the plan/);
});

test('the end of long notes is told of, too', () => {
  const sheet = sheetOf(10, ({ '--note-lines': lines }) => [300, 20 * Number(lines)]);
  fitOnOneSide(sheet);
  assert.equal(sheet.said.textContent, 'Left out for want of room: the end of the notes. It stands in the plan: open it in Platewright.');
});

test('a plan with nothing beyond its first ground needs no lines', () => assert.deepEqual(wholePlan(PLAN, 'metric'), []));

test('the work beyond the first ground is told in the order it is done', () => {
  const area = { name: '', value: 2, to_value: 3, feather_mm: 0, spit_min: 0 };
  const groups = wholePlan({
    ...PLAN, lines: { picture: 'lines.png', open_below_l: 50, bite_min: 20 },
    areas: [
      { ...area, work: 'value' }, { ...area, work: 'value', value: 0, name: 'moon', feather_mm: 2 }, { ...area, work: 'spit', spit_min: 1.5, feather_mm: 5 },
      { ...area, work: 'split', value: 0 }, { ...area, work: 'picture' },
    ],
    states: [
      { name: 'darker', from_state: 1, work: [
        { tool: { tool: 'scraper', passage: false, width_mm: 6, take_um: 3, points_mm: [[10, 10], [40, 60]] } },
        { tool: { tool: 'polish', passage: true, width_mm: 6, take_um: 1, points_mm: [[0, 0], [10, 10]] } },
        { tool: { tool: 'hammer', passage: true, width_mm: 6, take_um: 200, points_mm: [[0, 0], [10, 10]] } },
        { ground: { dust: PLAN.dust, bake: PLAN.bake, bath: PLAN.bath, outline_mm: [], bites: [
          { bite_min: 2, from_value: 0, to_value: 3 }, { bite_min: 1, from_value: 2, to_value: 2 }, { bite_min: 0.25, from_value: 0, to_value: 2 }, { bite_min: 3, from_value: 1, to_value: 3 },
        ] } },
      ] },
      { name: '', from_state: 2, work: [] },
    ],
    edition: { impressions: 30, steel_faced: true, sheet_width_mm: 760, sheet_height_mm: 560 }, calibration_name: 'my bath',
  }, 'metric');
  assert.deepEqual(groups.map(({ name, lines }) => [name, lines.map(plain)]), [
    ['Lines etched before', ['“lines.png”: all darker than L* 50, bitten 20 min before the ground is laid']],
    ['By hand, over the picture', [
      'Area 1: value 2', 'moon: kept white, the edge soft over 2 mm', 'Area 3: spit-bite 1½ min before the first bite, fading over 5 mm',
      'Area 4: strips from white to value 3, the stop-out creeping', 'Area 5: as the picture has it',
    ]],
    ['State 2, darker, from the first proof', [
      'scraper, a stroke 6 mm wide about 25 mm from the left, 35 mm from the top of the print: 3 µm down',
      'charcoal, a passage about 5 mm from the left, 5 mm from the top of the print: 1 µm down',
      'hammer from the back, a passage about 5 mm from the left, 5 mm from the top of the print: until the face is level',
      'new ground over the whole plate: powder 30 g/m², wait 30 s, 5 min in the box; hot plate 125 °C, 3 min; bath 40 °Bé, 20 °C',
      'bite 1 of it, 2 min: all open', 'bite 2 of it, 1 min: value 2 open', 'bite 3 of it, 15 s: white to value 2 open', 'bite 4 of it, 3 min: values 1 to 3 open',
    ]],
    ['State 3, from state 2', ['nothing yet']],
    ['Edition', ['30 impressions from full sheets of 760 × 560 mm, the plate steel-faced first']],
    ['Calibration', ['“my bath”']],
  ]);
});
