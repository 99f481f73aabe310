import assert from 'node:assert/strict';
import { between, bitten, falls, least, meets, of, once, strip, table } from '../lib.mjs';

const id = 'minutes-and-values';
const row = () => strip(id);
const steps = (values) => values.slice(1).map((value, i) => value - values[i]);
const darker = () => steps(of(row(), 'lightness')).map((step) => -step);
/** The darkest patch of the strip, at 21 minutes. */
const DARKEST = 6;
const fine = () => [...bitten(id, 2, 6, 9), ...bitten(id, 7, 15, 9), ...bitten(id, 16, 20, 9)];
/** Minutes at which the print meets a lightness. */
const minutesAt = (l) => meets(of(fine(), 'minutes'), of(fine(), 'lightness'), l);

export default {
  1: ['three minutes more', () => { for (const step of steps(of(row(), 'minutes'))) between(step, 3, 3, 'minutes more'); }],
  2: ['seventeen points', () => {
    between(row()[0].minutes, 3, 3, 'first');
    between(row()[DARKEST].minutes, 21, 21, 'the darkest');
    between(darker()[0], 16.5, 17.5, 'first step');
    between(darker()[DARKEST - 1], 1, 2, 'from 18 to 21');
  }],
  3: ['smaller than the one before', () => falls(darker().slice(0, DARKEST), 'step')],
  4: ['nearly 3', () => { for (const step of steps([0, ...of(row(), 'depth_um')])) between(step, 2.85, 3, 'depth in three minutes'); }],
  5: ['four tenths', () => {
    falls(of(row(), 'land'), 'land');
    between(row()[0].land, 0.37, 0.43, 'land at three minutes');
    between(row()[DARKEST].land, 0, 0.1, 'land at 21 minutes');
  }],
  6: ['more than fifteen points', () => {
    const each = steps(of(row(), 'printed_um')).map((ink, i) => darker()[i] / ink);
    between(each[0], 15, 20, 'L* for 1 µm, light');
    between(row()[5].minutes, 18, 18, 'minutes');
    between(each[4], 4, 7, 'L* for 1 µm, from 15 to 18 minutes');
  }],
  7: ['two thirds longer', () => {
    const longer = steps([80, 70, 60, 50, 40, 30].map(minutesAt));
    for (const [i, step] of longer.slice(1).entries()) between(step / longer[i], 1.25, 1.667, `step ${i + 2} against the one before`);
  }],
  8: ['steps of 8 to 11', () => {
    const [, ...values] = table();
    assert.deepEqual(of(values, 'bite_min'), [1.5, 1.5, 1.5, 1.5, 2.5, 3.5, 6], 'the example’s bites');
    const example = steps(of(table(), 'lightness')).map((step) => -step);
    between(Math.min(...example), 7.5, 8.5, 'smallest step');
    between(Math.max(...example), 10.5, 11.5, 'largest step');
    // The same minutes bring less at the very first than next.
    between(example[1] - example[0], 1, 5, 'second bite against the first');
  }],
  9: ['about twenty-two minutes', () => {
    const late = bitten(id, 16, 32, 9);
    const darkest = least(of(late, 'lightness'));
    between(late[darkest].minutes, 20, 24, 'minutes of the darkest');
    between(row()[8].lightness - late[darkest].lightness, 1, 10, 'lighter again at 27 min');
    between(late.at(-1).lightness - late[darkest].lightness, 3, 60, 'and at 32');
    between(late.at(-1).land, 0, 0.02, 'land by then');
  }],
  10: ['stops at eighteen', () => between(table().at(-1).cumulative_min, 18, 18, 'minutes in all')],
  11: ['less than twice', () => {
    between(darker()[0], Math.max(...darker()), 20, 'first step is the largest');
    between(darker().slice(1, DARKEST).reduce((sum, step) => sum + step, 0) / darker()[0], 1, 2, 'the others together against the first');
  }],
  12: ['About twice as long', () => {
    between(minutesAt(60) - minutesAt(70), 1.6, 1.9, 'from 70 to 60');
    between(minutesAt(40) - minutesAt(50), 3.1, 3.4, 'from 50 to 40');
  }],
  13: ['Lighter', () => {
    const [twentyOne, , twentySeven] = row().slice(DARKEST);
    between(twentySeven.lightness - twentyOne.lightness, 1, 5, 'L* after 27 minutes against 21');
    between(twentySeven.land / twentyOne.land, 0, 0.6, 'land');
    between(twentySeven.held_um - twentyOne.held_um, -20, -1, 'ink');
  }],
  14: ['eight points too dark', () => {
    // Four values by the bites of each answer, in its order.
    const values = (bites) => bites.map((_, i) => once(id, bites.slice(0, i + 1).reduce((sum, one) => sum + one, 0)).lightness);
    const [wanted, even, reversed] = [values([2, 2.25, 3.25, 5.25]), values([3.25, 3.25, 3.25, 3.25]), values([5.25, 3.25, 2.25, 2])];
    for (const [i, lightness] of [80, 65, 50, 35].entries()) between(wanted[i] - lightness, -2, 2, `value ${i + 1}`);
    for (const [last] of [even, reversed].map((all) => all.slice(-1))) between(last - wanted[3], -1, 1, 'the same black');
    between(80 - even[0], 7.5, 8.6, 'even bites');
    between(80 - reversed[0], 19, 21, 'the long one first');
  }],
};
