import { between, bitten, falls, native, once, rises, strip } from '../lib.mjs';

const id = 'step-plate';
/** Fresh, as a plan expects it; and with 30 g/L of copper that nobody knows of. */
const [upper, lower] = [() => strip(id).slice(0, 9), () => strip(id).slice(9)];
const OWN = { 'bath.copper_g_per_l': 30 };
/** As the clock can be set: to quarters of a minute. */
const quarter = (minutes) => Math.round(4 * minutes) / 4;
const speed = () => lower()[0].rate_um_per_min / upper()[0].rate_um_per_min;

/** What the program finds from the steps of a plate that is bitten in the slow bath, by a plan that takes it for fresh. */
function found(steps) {
  const minutes = steps.map((step) => step.minutes);
  const bites = minutes.map((all, i) => all - (minutes[i - 1] ?? 0));
  const readings = steps.map((step) => step.lightness.toFixed(1));
  const { fit: { constants } } = JSON.parse(native(['calibrate', '--bites', bites.join(), '--readings', readings.join()]));
  return (key) => constants.find((one) => one.key === key);
}
const all = () => found(lower());
/** The same count of steps, ending at seventeen minutes. */
const short = () => found(bitten(id, 1, 17, 9, OWN));
const RATE = 'bite.rate_um_per_min';
const width = ({ low, high }) => high - low;

export default {
  1: ['seven tenths of that speed', () => between(speed(), 0.68, 0.72, 'speed')],
  2: ['comes after thirteen', () => {
    between(upper()[2].minutes, 9, 9, 'minutes');
    between(lower()[3].minutes, 13, 13, 'minutes');
    between(lower()[3].lightness - upper()[2].lightness, -1, 1, 'L*');
  }],
  3: ['so many times as long', () => {
    for (const minutes of [3, 6, 12]) between(once(id, quarter(minutes / speed()), OWN).lightness - once(id, minutes).lightness, -1, 1, `L* for ${minutes} min`);
    between(once(id, 16, OWN).lightness - once(id, 12).lightness, 1, 10, 'four minutes more are not enough for twelve');
  }],
  4: ['seven tenths of its speed', () => {
    const { value, low, high, in_force } = all()(RATE);
    between(value / in_force, 0.68, 0.72, 'found');
    between(Math.max(high - value, value - low) / value, 0.05, 0.135, 'give or take');
    const ink = all()('ink.absorption_per_um');
    between(ink.value / ink.in_force, 0.95, 1.05, 'ink');
  }],
  5: ['blackest at 21', () => {
    falls(upper().slice(0, 6).map((one) => one.lightness), 'L* up to 21 minutes');
    rises(upper().slice(5).map((one) => one.lightness), 'L* beyond');
    between(upper()[5].minutes, 21, 21, 'minutes');
  }],
  6: ['anywhere between half and all', () => {
    const { low, high, in_force } = short()(RATE);
    between(low / in_force, 0.45, 0.55, 'least');
    between(high / in_force, 0.93, 1.05, 'most');
  }],
  7: ['eight and a half', () => between(once(id, 8.5, OWN).lightness - once(id, 6).lightness, -1, 1, 'L*')],
  8: ['more than three times as uncertain', () => between(width(short()(RATE)) / width(all()(RATE)), 3, 4, 'width against width')],
};
