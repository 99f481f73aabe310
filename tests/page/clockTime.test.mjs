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
