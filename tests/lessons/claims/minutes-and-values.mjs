import assert from 'node:assert/strict';
import { between, bitten, falls, least, meets, of, strip, table } from '../lib.mjs';

const id = 'minutes-and-values';
const row = () => strip(id);
const steps = (values) => values.slice(1).map((value, i) => value - values[i]);
const darker = () => steps(of(row(), 'lightness')).map((step) => -step);

export default {
  1: ['four minutes more', () => steps(of(row(), 'minutes')).forEach((step) => between(step, 4, 4, 'minutes more'))],
  2: ['more than fifteen points', () => {
    between(row()[0].minutes, 4, 4, 'first');
    between(row().at(-1).minutes, 36, 36, 'last');
    between(darker()[0], 15, 20, 'first step');
    between(darker().at(-1), 0, 2, 'last step');
  }],
  3: ['smaller than the one before', () => falls(darker(), 'step')],
  4: ['a little over 3', () => steps([0, ...of(row(), 'depth_um')]).forEach((step) => between(step, 3.05, 3.25, 'depth in four minutes'))],
  5: ['four tenths', () => {
    falls(of(row(), 'land'), 'land');
    between(row()[0].land, 0.4, 0.5, 'land at four minutes');
    between(row().at(-1).land, 0, 0.1, 'land at 36 minutes');
  }],
  6: ['more than ten points', () => {
    const each = steps(of(row(), 'printed_um')).map((ink, i) => darker()[i] / ink);
    between(each[0], 10, 20, 'L* for 1 µm, light');
    between(each.at(-1), 0, 3, 'L* for 1 µm, dark');
  }],
  7: ['three quarters longer', () => {
    const fine = [...bitten(id, 2, 6, 9), ...bitten(id, 7, 15, 9), ...bitten(id, 16, 32, 9)];
    const at = [80, 70, 60, 50, 40, 30].map((l) => meets(of(fine, 'minutes'), of(fine, 'lightness'), l));
    const longer = steps(at);
    longer.slice(1).forEach((step, i) => between(step / longer[i], 1.25, 1.75, `step ${i + 2} against the one before`));
  }],
  8: ['steps of 5 to 14', () => {
    const [, ...values] = table();
    assert.deepEqual(of(values, 'bite_min'), [1, 2, 3, 3, 4, 5, 6], 'the example’s bites');
    const example = steps(of(table(), 'lightness')).map((step) => -step);
    between(Math.min(...example), 4.5, 5.5, 'smallest step');
    between(Math.max(...example), 13.5, 14.5, 'largest step');
  }],
  9: ['about fifty minutes', () => {
    const late = bitten(id, 35, 75, 9);
    const darkest = least(of(late, 'lightness'));
    between(late[darkest].minutes, 45, 55, 'minutes of the darkest');
    between(late.at(-1).lightness - late[darkest].lightness, 3, 60, 'lighter again at 75 min');
    between(late.at(-1).land, 0, 0.01, 'land by then');
  }],
  10: ['hardly three times', () => {
    between(darker()[0], Math.max(...darker()), 20, 'first step is the largest');
    between(darker().slice(1).reduce((sum, step) => sum + step, 0) / darker()[0], 0, 3.3, 'the seven others together against the first');
  }],
  11: ['Lighter', () => {
    const [fifty, hour] = bitten(id, 50, 60, 2);
    between(hour.lightness - fifty.lightness, 0.2, 5, 'L* after an hour against fifty minutes');
    between(hour.land / fifty.land, 0, 0.6, 'land');
    between(hour.held_um - fifty.held_um, -20, -1, 'ink');
  }],
};
