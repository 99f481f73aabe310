import { left, now, phase, run, step } from './clock.ts';
import { units } from '../../store/settings.ts';
import { clockWords, spokenTime, timeOfDay } from '../../steps/benchUnits.ts';
import { elapsed_s, set_s, upAt } from './clockTime.ts';

function ofDay(moment: number): string {
  const at = new Date(moment);
  return timeOfDay(at.getHours() * 60 + at.getMinutes(), units.value, at.getSeconds());
}

/** The big display: what is left, by how much it ran over, or how long a step without a set time has taken. */
export function ClockFace() {
  const of = step.value;
  const mark = run.value.marks[of.id];
  const seconds = left.value;
  const done = phase.value === 'done';
  const ran = mark?.ran_s ?? elapsed_s(mark, now.value);
  const over = seconds !== null && seconds < 0 && !done;
  const digits = done || seconds === null ? clockWords(ran) : over ? `+${clockWords(-seconds)}` : clockWords(Math.ceil(seconds));
  const set = set_s(run.value, of);
  const share = set === null || set === 0 ? 0 : Math.min(1, ran / set);
  return (
    <>
      {/* No live region: it would speak every second. What matters is said apart. */}
      <div class="clock-face" role="timer" aria-live="off" aria-label={words()} data-figures={Math.max(4, Math.min(7, digits.length))} data-phase={phase.value} data-set={set !== null}>
        <span aria-hidden="true">{digits}</span>
      </div>
      {set !== null && <div class="clock-run" aria-hidden="true"><span style={{ '--share': share }} /></div>}
      <p class="clock-about">{about()}</p>
    </>
  );

  function words(): string {
    if (done) return `ran ${spokenTime(ran)}`;
    if (seconds === null) return `${spokenTime(ran)} so far`;
    return over ? `over by ${spokenTime(-seconds)}` : `${spokenTime(seconds)} left`;
  }

  function about(): string {
    if (done) return set === null ? 'done' : `done: ran ${clockWords(ran)} of ${clockWords(set)}`;
    if (seconds === null || set === null) return phase.value === 'ready' ? 'no set time' : 'so far; no set time';
    if (phase.value === 'ready') return 'not started';
    if (phase.value === 'held') return `held${over ? `, over by ${clockWords(-seconds)}` : ''}`;
    const up = upAt(run.value, of);
    if (over) return `over by ${clockWords(-seconds)}: time was up at ${ofDay(up ?? 0)}`;
    return `of ${clockWords(set)}, until ${ofDay(up ?? 0)}`;
  }
}
