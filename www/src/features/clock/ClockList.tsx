import { useEffect, useRef, useState } from 'preact/hooks';
import { beginAnew, goTo, list, place, run, step } from './clock.ts';
import { clockWords, timeWords } from '../../steps/benchUnits.ts';
import { ran_s, set_s } from './clockTime.ts';

/** Every step, what it ran, and the way to it. */
export function ClockList() {
  const here = useRef<HTMLLIElement>(null);
  const room = useRef<HTMLOListElement>(null);
  const [sure, setSure] = useState(false);
  const at = place.value;
  useEffect(() => {
    // Only within the list: the page itself stays where it is.
    const [on, one] = [room.current, here.current];
    if (on && one) on.scrollTop = one.offsetTop - on.offsetTop - on.clientHeight / 3;
  }, [at]);
  const begun = Object.keys(run.value.marks).length > 0;
  return (
    <nav class="clock-list" aria-label="All steps">
      <ol ref={room} tabIndex={0} aria-label="Steps, scrolls">
        {list.value.map((one, i) => {
          const mark = run.value.marks[one.id];
          const ran = ran_s(mark);
          const set = set_s(run.value, one);
          const present = one.id === step.value.id;
          return (
            <li key={one.id} ref={present ? here : null} data-done={ran !== null} aria-current={present ? 'step' : undefined}>
              <button type="button" onClick={() => goTo(one.id)}>
                <span class="clock-number">{i + 1}</span>
                <span>{one.name}</span>
                <span class="clock-set">
                  {ran !== null ? <><span class="unseen">ran </span>{clockWords(Math.round(ran))}</> : set === null ? '' : timeWords(set)}
                </span>
              </button>
            </li>
          );
        })}
      </ol>
      {begun && (sure
        ? (
          <p class="acts">
            Forget what ran?
            <button type="button" class="act" onClick={() => { setSure(false); beginAnew(); }}>Yes, begin anew</button>
            <button type="button" class="quiet" onClick={() => setSure(false)}>no</button>
          </p>
        )
        : <button type="button" class="quiet" onClick={() => setSure(true)}>begin anew…</button>)}
    </nav>
  );
}
