// The clock's arithmetic: what it stores are moments, so that nothing depends on ticks.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import './lib/browser.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const clock = await pageModule('features/clock/clockTime.ts');
const step = (id, seconds, bite) => ({ id, seconds, ...(bite ? { bite: [bite, bite] } : {}) });
const list = [step('whites', null), step('bite-1', 60, 1), step('stop-1', null), step('bite-2', 120, 2), step('strip', null)];

test('a bite is held, gone on with, ended by mistake and gone back to, and its real time counts', () => {
  let run = clock.newRun('Harbour', 2, 'bite-1');
  run = clock.started(run, 1_000_000);
  assert.equal(clock.left_s(run, list[1], 1_020_000), 40, 'twenty seconds in');
  run = clock.held(run, 1_020_000);
  assert.equal(clock.left_s(run, list[1], 1_500_000), 40, 'held, the time stands');
  run = clock.started(run, 1_500_000);
  assert.equal(clock.upAt(run, list[1]), 1_540_000, 'the end moves by the time held');
  run = clock.withMinute(run, 'bite-1');
  assert.equal(clock.left_s(run, list[1], 1_540_000), 60, 'a minute more');
  assert.equal(clock.left_s(run, list[1], 1_540_000 + 660_000), -600, 'ten minutes after its end it is over by ten');
  // Next, by mistake, and back: the bite has gone on all the while.
  run = clock.goneTo(run, list[2], 1_550_000);
  assert.equal(clock.ran_s(run.marks['bite-1']), 70, 'what ran is kept');
  assert.equal(clock.phaseOf(run.marks['stop-1']), 'running', 'a step without a set time counts up at once');
  run = clock.goneBack(run, list, 1_560_000);
  assert.deepEqual([run.step, run.marks['stop-1'], clock.elapsed_s(run.marks['bite-1'], 1_560_000)], ['bite-1', undefined, 80], 'back');
  run = clock.goneTo(run, list[2], 1_560_000);
  run = clock.corrected(run, 'bite-1', 140);
  assert.deepEqual(clock.ranBites(run, list), [140 / 60], 'the correction counts');
  assert.deepEqual(clock.asRun(JSON.parse(JSON.stringify(run))), run, 'it comes out of the store as it went in');
  for (const odd of [null, 7, {}, { ...run, marks: { 'bite-1': { start: 'x' } } }, { ...run, extra_s: { 'bite-1': -5 } }, { ...run, target_l: ['a'] }]) {
    assert.equal(clock.asRun(odd), null, `${JSON.stringify(odd)} is no run`);
  }
});

test('what ran over changes the bites that remain, and no bite that has begun', () => {
  const bites = [1, 2, 3, 4].map((n) => step(`bite-${n}`, 60 * n, n));
  let run = clock.ended(clock.started(clock.newRun('Harbour', 4, 'bite-1'), 0), 200_000);
  assert.deepEqual(clock.ranBites(run, bites), [200 / 60]);
  run = clock.withInstead({ ...run, step: 'bite-2' }, bites, 1, [0, 0.25, 4]);
  assert.deepEqual([run.instead, run.step], [{ 'bite-2': 0, 'bite-3': 15 }, 'stop-1'], 'who stands at a bite that falls away goes back to the stop-out');
  assert.deepEqual(clock.insteadOf({ ...run, keeps: true }), {}, 'unless the plan’s own are kept');
  run = clock.ended(clock.started({ ...run, step: 'bite-3' }, 300_000), 315_000);
  assert.deepEqual(clock.ranBites(run, bites), [200 / 60, 0, 0.25], 'what fell away between ran for nothing');
  run = clock.withInstead(run, bites, 3, [3.5]);
  assert.deepEqual(run.instead, { 'bite-2': 0, 'bite-3': 15, 'bite-4': 210 });
  run = clock.withInstead(clock.started({ ...run, step: 'bite-4' }, 400_000), bites, 3, [1]);
  assert.equal(run.instead['bite-4'], 210, 'what has begun keeps its minutes');
  assert.deepEqual(clock.asRun(JSON.parse(JSON.stringify(run))), run, 'all of it is kept');
  const { instead: _, keeps: __, ...older } = run;
  assert.deepEqual(clock.asRun(older).instead, {}, 'a run kept before there was any is one');

  const last = { ...bites[3], seconds: 210 };
  assert.equal(clock.runningOver(run, last, 400_000 + 220_000), null, 'ten seconds over need no word');
  assert.deepEqual(clock.runningOver(run, last, 400_000 + 239_000), { id: 'bite-4', ran_s: 225 }, 'to the last quarter minute');
  assert.deepEqual(clock.ranBites(run, bites, { id: 'bite-4', ran_s: 225 }), [200 / 60, 0, 0.25, 3.75]);
});

test('an overrun or a slip is answered: what is printed, what can’t be parted, what next', async () => {
  const { slipOf } = await pageModule('features/clock/slip.ts');
  const bites = [1, 2, 3, 4].map((n) => ({ ...step(`bite-${n}`, 60 * n, n), name: `Bite ${n}` }));
  const target = [90, 80, 70, 60];
  const told = (ran_min, found, running = false) => slipOf(bites, target, { ran_min, running, found: { last: 'darker', sentence: '', ...found } });
  assert.equal(told([1], { last: 'met', bite_min: [2, 3, 4], outcome: ['met', 'met', 'met'], lightness: [90, 80, 70, 60] }), null, 'as planned');
  const large = told([3.2], { bite_min: [0, 2.75, 4], outcome: ['darker', 'met', 'met'], lightness: [79, 79, 70, 60] });
  assert.equal(large.words.join(' ').replaceAll('\u00a0', ' '),
    'Value 1 now prints about L* 79; it was to print 90. Values 1 and 2 can no longer be parted: stop them out together. Next is bite 3, 2¾ min instead of 3 min.');
  assert.deepEqual([large.until, large.back, large.differs], ['bite-3', null, true]);
  const all = told([1, 2, 9], { bite_min: [0], outcome: ['darker'], lightness: [90, 80, 55, 55] }, true).words.join(' ');
  assert.match(all, /^Take the plate out now\. Value 3 already prints about L\* 55.* Values 3 and 4 can no longer be parted: the plate is done with the bath\.$/);
  const early = told([0.5], { last: 'lighter', bite_min: [2.5, 3, 4], outcome: ['met', 'met', 'met'], lightness: [95, 80, 70, 60] });
  assert.deepEqual(early.back, { id: 'bite-1', left_s: 30 }, 'taken out too early it can go back');
  const met = told([1.5], { last: 'darker', bite_min: [0.25, 3, 4], outcome: ['darker', 'met', 'met'], lightness: [84, 77, 70, 60] }).words.join(' ');
  assert.match(met, /15\ss instead of 2\smin; it prints darker than planned all the same/);
  assert.match(told([1.2], { last: 'met', bite_min: [1.75, 3, 4], outcome: ['met', 'met', 'met'], lightness: [90.2, 80, 70, 60] }).words[0], /as planned/);
  assert.equal(told([1], { bite_min: [2], outcome: ['met'], lightness: [] }), null, 'an answer about another plan says nothing');
});

test('a time is read as people write it', () => {
  for (const [text, seconds] of [['2:20', 140], ['2.5', 150], ['2,5', 150], ['140 s', 140], ['2 min 20 s', 140], ['1:02:05', 3725], ['2:70', null], ['', null], ['soon', null]]) {
    assert.equal(clock.readTime(text), seconds, `“${text}” is ${seconds} s`);
  }
});

test('a step that was ended is gone on with; the time between does not count', () => {
  let run = clock.started(clock.newRun('Harbour', 2, 'bite-1'), 0);
  run = clock.ended(run, 50_000);
  assert.equal(clock.phaseOf(run.marks['bite-1']), 'done');
  assert.equal(clock.upAt(run, list[1]), null, 'nothing runs');
  run = clock.started(run, 80_000);
  assert.equal(clock.phaseOf(run.marks['bite-1']), 'running');
  assert.equal(clock.elapsed_s(run.marks['bite-1'], 90_000), 60);
  assert.equal(clock.held(clock.held(run, 90_000), 95_000).marks['bite-1'].held_at, 90_000, 'held once');
  assert.equal(clock.started(run, 99_000), run, 'what runs is not started again');
});

test('only bites that ran without a gap count, and only what ran is corrected', () => {
  let run = clock.newRun('Harbour', 2, 'bite-2');
  run = clock.ended(clock.started(run, 0), 120_000);
  assert.deepEqual(clock.ranBites(run, list), [], 'the second without the first');
  assert.equal(clock.corrected(run, 'bite-1', 30), run, 'the first has not run');
  assert.equal(clock.set_s(clock.withMinute(run, 'bite-2'), list[3]), 180);
  assert.equal(clock.left_s(run, list[0], 0), null, 'a step without a set time has none left');
  assert.equal(clock.goneBack(run, [list[3]], 5), run, 'there is nothing before the first');
});
