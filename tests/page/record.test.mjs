// The record of a plate: what the clock writes into it, which numbers impressions get, what of the store or a file is one.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { plain } from './lib/browser.mjs';
import { CATALOGUE, PLAN } from './lib/plan.mjs';
import { pageModule } from '../browser/lib/pageModule.mjs';

const {
  added, asRecord, bitesThatRanOtherwise, carried, catalogue, emptyRecord, freeNumbers, hasRun, impressionLines, isEmpty, joined, lastJob, left, leftOut, newRun, numberWords,
  overWords, planInShort, proofsOf, pulledWords, sameRecord, timedSteps, withRan,
} = await pageModule(
  'store/plateRecord.ts', 'store/catalogue.ts', 'features/record/recordWords.ts', 'features/record/fit.ts', 'features/clock/carry.ts', 'features/clock/clockTime.ts',
);

const STEPS = [{ id: 'whites', name: 'Whites', seconds: null }, { id: 'bite-1', name: 'Bite 1', seconds: 90 }, { id: 'bite-2', name: 'Bite 2', seconds: 120 }];
const mark = (start, end, ran_s = null) => ({ start, end, held_ms: 0, held_at: null, ran_s });
const timed = (marks, steps = STEPS) => timedSteps(steps, { ...newRun('', 2, 'whites'), marks });
const begun = (marks = {}) => ({ id: 'j1', at: 1000, plan: PLAN, by_hand: false, steps: timed(marks).map((one) => ({ ...one, by_hand: false })) });

const impression = (kind, number, more = {}) => ({ id: `${kind}${number}`, kind, number, of: kind === 'edition' ? 20 : null, at: '2026-11-30', paper: 'rag', word: '', destroyed: false, ...more });
const TOLD = {
  id: 'f1', at: '2026-11-30', title: 'Harbour', said: { metric: 'As planned.', us: 'As planned.' },
  evidence: { id: '2026-11-30 f1', keys: ['bite.rate_um_per_min'], mean_ln: [0.1], covariance_ln: [0.01], weight: 0.8, powder_g_per_m2: 30, bite_min: [1, 2, 4] },
};
const FULL = {
  ...emptyRecord('p1'), title: 'Harbour', plan: PLAN, jobs: [{ ...begun(), steps: [{ id: 'bite-1', name: 'Bite 1', planned_s: 90, ran_s: 140, at: 5000, by_hand: false }] }],
  photographs: [{ id: 'f1', at: '2026-11-30', of: 1, caption: 'first', width: 1600, height: 1200 }], notes: [{ id: 'n1', at: '2026-11-30', text: 'cold' }],
  impressions: [impression('bat', 1), impression('edition', 1)], told: [TOLD], edition_of: 20, cancelled: { at: '2026-12-01', word: 'scored' },
};

test('bites that ran otherwise than planned are told, and nothing else', () => {
  const step = (id, planned_s, ran_s) => ({ id, name: id.replace('bite-', 'Bite '), planned_s, ran_s });
  assert.equal(bitesThatRanOtherwise([step('bite-1', 90, 95), step('bake', 600, 900), step('bite-2', 120, null), step('bite-3', null, 80)]), '');
  assert.equal(bitesThatRanOtherwise([step('bite-1', 90, 100), step('bite-2', 150, 105)]), 'Bite 1 ran 1:40 instead of 1:30, Bite 2 ran 1:45 instead of 2:30');
});

test('what the clock times goes into the record as it ends, and a step gone back to comes out again', () => {
  let record = carried(emptyRecord('p1'), begun(), timed({ 'bite-1': mark(0, null) }));
  assert.equal(hasRun(record.jobs[0]), false, 'nothing has ended');
  assert.deepEqual(record.jobs[0].steps.map(({ id, planned_s }) => [id, planned_s]), [['bite-1', 90], ['bite-2', 120]], 'a step without a set time is none');
  record = carried(record, { ...begun(), plan: { changed: true } }, timed({ 'bite-1': mark(0, 140_400) }));
  assert.deepEqual(record.jobs[0].steps[0], { id: 'bite-1', name: 'Bite 1', planned_s: 90, ran_s: 140, at: 140_400, by_hand: false });
  assert.equal(record.jobs[0].plan, PLAN, 'the plan stays as it was when the job began');
  record = carried(record, begun(), timed({ 'bite-1': mark(0, null) }));
  assert.equal(record.jobs[0].steps[0].ran_s, null, 'it goes on after all');
  record = withRan(record, 'j1', 'bite-1', 150);
  record = carried(record, begun(), timed({ 'bite-1': mark(0, 140_000) }));
  assert.equal(record.jobs[0].steps[0].ran_s, 150, 'what was written by hand stands');
  const shorter = [STEPS[1], { id: 'ground-2-1-bake', name: 'Bake again', seconds: 60 }];
  record = carried(record, begun(), timed({ 'ground-2-1-bake': mark(0, 70_000) }, shorter));
  assert.deepEqual(record.jobs[0].steps.map(({ id, ran_s }) => [id, ran_s]), [['bite-1', 150], ['bite-2', null], ['ground-2-1-bake', 70]], 'a step that the plan has got since is added');
  assert.equal(lastJob(record).id, 'j1');
});

test('a job in which nothing ended leaves nothing behind', () => {
  const record = carried(emptyRecord('p1'), begun(), timed({ 'bite-1': mark(0, null) }));
  assert.ok(isEmpty(left(record, 'j1')));
  assert.equal(left(withRan(record, 'j1', 'bite-1', 60), 'j1').jobs.length, 1, 'one in which something ran stays');
});

test('impressions get the lowest number that is free, and no more than the edition has', () => {
  assert.deepEqual(freeNumbers(emptyRecord('p1'), 'edition', 3, 20), [1, 2, 3]);
  const record = { ...emptyRecord('p1'), impressions: [impression('edition', 1), impression('edition', 3), impression('ap', 1), impression('bat', 1)] };
  assert.deepEqual(freeNumbers(record, 'edition', 2, 20), [2, 4], 'one taken out is free again');
  assert.deepEqual(freeNumbers(record, 'edition', 9, 4), [2, 4], 'to the edition’s end');
  assert.deepEqual(freeNumbers(record, 'ap', 1, null), [2]);
  assert.deepEqual(freeNumbers(record, 'bat', 1, null), [], 'there is one bon à tirer');
  assert.deepEqual(record.impressions.map((one) => plain(numberWords(one))), ['1/20', '3/20', 'A.P. 1', 'bon à tirer']);
  assert.equal(numberWords(impression('edition', 7, { of: null })), '7', 'an open edition');
  assert.equal(pulledWords({ ...record, impressions: [...record.impressions, impression('ap', 2, { destroyed: true })] }, 20), 'Bon à tirer, 2 artist’s proofs, 2 of 20 of the edition, 1 of these destroyed.');
  assert.equal(pulledWords(emptyRecord('p1'), 20), '');
});

test('on paper impressions that follow each other are one line, a destroyed one stands apart', () => {
  const all = [4, 2, 1, 3, 5].map((number) => impression('edition', number, { destroyed: number === 3 }));
  const lines = impressionLines([...all, impression('ap', 1), impression('bat', 1, { word: 'the fifth pull' })]);
  assert.deepEqual(lines.map(({ numbers, destroyed }) => [plain(numbers), destroyed]), [
    ['bon à tirer', false], ['A.P. 1', false], ['1/20 to 2/20', false], ['3/20', true], ['4/20 to 5/20', false],
  ]);
});

test('a record comes out of the store as it went in, and nothing odd is taken for one', () => {
  assert.deepEqual(asRecord(JSON.parse(JSON.stringify(FULL))), FULL);
  const { told: _, ...old } = FULL;
  assert.deepEqual(asRecord(old), { ...FULL, told: [] }, 'one of before proofs were read');
  const odd = (change) => asRecord({ ...structuredClone(FULL), ...change });
  for (const [what, found] of [
    ['no object', asRecord('record')], ['a list', asRecord([])], ['a path for an id', odd({ id: '../p1' })], ['a number for words', odd({ title: 7 })],
    ['steps that are none', odd({ jobs: [{ ...FULL.jobs[0], steps: [{ id: 'bite-1' }] }] })], ['a time that is none', odd({ jobs: [{ ...FULL.jobs[0], at: NaN }] })],
    ['a kind that is none', odd({ impressions: [impression('trial', 1)] })], ['a number below one', odd({ impressions: [impression('ap', 0)] })],
    ['a day that is none', odd({ notes: [{ id: 'n1', at: 'today', text: '' }] })], ['a photograph too large', odd({ photographs: [{ ...FULL.photographs[0], width: 1e6 }] })],
    ['too many', odd({ notes: Array.from({ length: 1000 }, (_, i) => ({ id: `n${i}`, at: '2026-11-30', text: '' })) })],
    ['words without end', odd({ notes: [{ id: 'n1', at: '2026-11-30', text: 'x'.repeat(5000) }] })], ['a list that is missing', odd({ impressions: undefined })],
    ['a proof that tells no numbers', odd({ told: [{ ...TOLD, evidence: { ...TOLD.evidence, mean_ln: ['much'] } }] })], ['a proof without words', odd({ told: [{ ...TOLD, said: 'As planned.' }] })],
  ]) assert.equal(found, null, what);
});

test('two tabs’ entries are put together, and an entry stands once', () => {
  assert.deepEqual(added([{ id: 'a' }], { id: 'a', again: true }), [{ id: 'a' }]);
  const mine = { ...FULL, notes: [...FULL.notes, { id: 'n2', at: '2026-12-01', text: 'mine' }] };
  const theirs = { ...FULL, notes: [...FULL.notes, { id: 'n3', at: '2026-12-01', text: 'theirs' }], cancelled: null };
  assert.deepEqual(joined(mine, theirs).notes.map(({ id }) => id), ['n1', 'n2', 'n3']);
  assert.deepEqual(joined(theirs, mine).cancelled, FULL.cancelled);
  assert.deepEqual(joined({ ...FULL, told: [] }, FULL).told, [TOLD]);
  assert.equal(isEmpty({ ...emptyRecord('p1'), told: [TOLD] }), false, 'what a proof told would be missed');
  assert.ok(sameRecord(FULL, { ...FULL, id: 'p2', title: 'another', photographs: [{ ...FULL.photographs[0], id: 'f9' }] }), 'the same entries under other names');
  assert.ok(!sameRecord(FULL, mine));
});

test('what stands on paper is told in words', () => {
  catalogue.value = CATALOGUE;
  assert.deepEqual([[90, 140], [90, 90], [120, 75], [null, 5], [5, null]].map(([planned_s, ran_s]) => overWords({ planned_s, ran_s })), ['+0:50', '', '−0:45', '', '']);
  const short = planInShort({ ...PLAN, edition: { impressions: 30 } }, 'us').map(plain);
  assert.match(short[0], /^Copper 5\.91 × 7\.87 in, 0\.047 in; harbour at dusk; an edition of 30 planned$/);
  assert.match(short[1], /hot plate 257 °F/);
  assert.equal(plain(planInShort(PLAN, 'metric')[2]), 'Bites: 1 · 2 · 4 min, 7 min in all');
  assert.deepEqual(proofsOf(PLAN).map(([, called]) => called), ['the plate itself', 'a proof']);
  assert.deepEqual(proofsOf({ ...PLAN, states: [{ name: 'lifted' }] }).map(([, called]) => called), ['the plate itself', 'proof of state 1, the first proof', 'proof of state 2, “lifted”']);
  assert.equal(leftOut(0, 0), '');
  assert.equal(leftOut(1, 0), 'Left out for want of room: the oldest photograph. It stands in the record in Platewright, and in its file.');
  assert.equal(leftOut(4, 2), 'Left out for want of room: the 4 oldest photographs and the 2 oldest notes. They stand in the record in Platewright, and in its file.');
});
