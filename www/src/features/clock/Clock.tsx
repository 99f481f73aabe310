import { useEffect } from 'preact/hooks';
import decide from '../../steps/decide.json';
import { PARTS } from '../../steps/steps.ts';
import {
  addMinute, back, heard, hold, keeps, left, list, longAgo, next, otherPlan, otherPlate, phase, place, run, setSound, sleepy, sound, spoken, start, step, wire,
} from './clock.ts';
import { notices, setNotices, untold } from './clockNotice.ts';
import { canSound } from './clockSound.ts';
import { panel } from '../../store/notifications.ts';
import { baths, writePlate, writtenToday } from '../../store/bathBook.ts';
import { plan, plateId } from '../../store/plan.ts';
import { recordPlate } from '../../store/recorded.ts';
import { summary } from '../../store/results.ts';
import { light } from '../../store/settings.ts';
import { amountsWrong, keepAmounts } from '../../steps/shop.ts';
import { View } from '../../ui/View.tsx';
import { ClockFace } from './ClockFace.tsx';
import { ClockList } from './ClockList.tsx';
import { Ran } from './Ran.tsx';
import { Slips } from './Slips.tsx';
import './clock.css?sheet';

function keys(event: KeyboardEvent): void {
  if (event.ctrlKey || event.metaKey || event.altKey || panel.value !== 'clock') return;
  const { target } = event;
  if (target instanceof Element && target.matches('input, textarea, select')) return;
  const pressed = event.key.toLowerCase();
  // On a focused button the space bar already presses it.
  if (pressed === ' ' && !(target instanceof Element && target.closest('button, summary, a'))) startOrHold();
  else if (pressed === 'n') next();
  else if (pressed === 'b') back();
  else if (pressed === 'm' && step.value.seconds !== null) addMinute();
  else return;
  event.preventDefault();
}

function startOrHold(): void {
  if (phase.value === 'running') hold();
  else start();
}

/** Runs the steps of the bench sheet one by one. */
export function Clock() {
  useEffect(wire, []);
  useEffect(keepAmounts, []);
  useEffect(() => {
    addEventListener('keydown', keys);
    return () => removeEventListener('keydown', keys);
  }, []);
  const now = step.value;
  const last = place.value === list.value.length - 1;
  const timed = now.seconds !== null;
  const over = left.value !== null && left.value < 0;
  // The large key does what is most likely wanted next.
  const onward = phase.value === 'running' && (!timed || over);
  return (
    <View name="clock" class="clock" acts={(
      <>
        <button type="button" class="quiet" aria-pressed={sound.value} onClick={() => setSound(!sound.value)}>sound {sound.value ? 'on' : 'off'}</button>
        <button type="button" class="quiet" aria-pressed={notices.value} title="While this page is out of sight, the device says when a step’s time is up"
          onClick={() => void setNotices(!notices.value)}>notices {notices.value ? 'on' : 'off'}</button>
        <button type="button" class="quiet" aria-pressed={light.value === 'dim'} onClick={() => { light.value = light.value === 'dim' ? 'paper' : 'dim'; }}>dim light</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'sheet'; }}>bench sheet…</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'guides'; }}>guides…</button>
        <button type="button" class="quiet" onClick={showRecord}>plate’s record…</button>
      </>
    )}>
      <div class="clock-room">
        <section class="clock-now" aria-label="The present step" data-over={over && phase.value !== 'ready'}>
          <p class="clock-step">
            {place.value + 1} of {list.value.length} · {PARTS[now.part]} · {plan.value.title || 'untitled plate'}
          </p>
          <h3 class="clock-name">{now.name}</h3>
          <ClockFace />
          <div class="clock-acts">
            <button type="button" class={onward ? 'clock-key' : 'clock-main'} onClick={startOrHold}>
              {phase.value === 'running' ? 'Hold' : phase.value === 'ready' ? 'Start' : 'Go on'}
            </button>
            <button type="button" class={onward ? 'clock-main' : 'clock-key'} onClick={next} disabled={last && phase.value === 'done'}>{last ? 'Done' : 'Next'}</button>
            <button type="button" class="clock-key" onClick={back} disabled={place.value === 0}>Back</button>
            <button type="button" class="clock-key" onClick={addMinute} disabled={!timed}>+ 1 min</button>
          </div>
          {now.bite !== undefined && phase.value === 'held' && <p class="clock-say">Held: the plate is out of the bath, and this time does not count as bitten.</p>}
          <Slips />
          {last && phase.value === 'done' && (
            <p class="clock-say">What ran stands in the plate’s record. <button type="button" class="act" onClick={showRecord}>see the record</button></p>
          )}
          {last && phase.value === 'done' && <IntoBath />}
          <Said />
          <div class="clock-advice">
            {now.todo.map((words) => <p key={words}>{words}</p>)}
            {now.caution !== undefined && <p class="clock-caution"><b>Caution:</b> {now.caution} {decide.decide}</p>}
            {now.look !== undefined && <p><b>Look:</b> {now.look}{now.ifNot !== undefined && <> <b>If not:</b> {now.ifNot}</>}</p>}
            {now.mind !== undefined && <p><b>Mind:</b> {now.mind}</p>}
          </div>
          <Ran />
          <p class="clock-keys unit">Keys: space starts and holds, N next, B back, M a minute more.</p>
        </section>
        <ClockList />
      </div>
      <p class="unseen" role="status" aria-live="polite">{spoken.value}</p>
    </View>
  );
}

/** Baths that are offered by name. */
const MOST_OFFERED = 4;

/** Offers to write the copper of the plate in hand into one of the shop's baths, once. */
function IntoBath() {
  const given = summary.value?.bath.dissolved_g ?? 0;
  const { title } = plan.value;
  if (baths.value.length === 0 || run.value.plate !== plateId.value || given === 0 || baths.value.some((bath) => writtenToday(bath, title))) return null;
  return (
    <p class="clock-say">
      It gave the bath about <span class="number">{given.toFixed(1)}</span> g of copper. Write that into the bath book:{' '}
      {baths.value.slice(0, MOST_OFFERED).map((bath) => <span key={bath.id}><button type="button" class="act" onClick={() => writePlate(bath, title, given)}>“{bath.name}”</button> </span>)}
    </p>
  );
}

/** The record of the plate that the job is for. */
function showRecord(): void {
  const { plate } = run.value;
  recordPlate.value = plate === '' || plate === plateId.value ? null : plate;
  panel.value = 'record';
}

/** Messages about the clock itself. */
function Said() {
  const said = [
    ...(sound.value && !canSound ? ['This browser makes no sounds: keep an eye on the clock.'] : []),
    ...(sound.value && canSound && phase.value === 'running' && !heard.value ? ['After a reload the browser keeps sounds back: touch the page once.'] : []),
    ...(sleepy.value === null ? [] : [sleepy.value]),
    ...(untold.value === null ? [] : [untold.value]),
    ...(keeps.value ? [] : ['The browser keeps nothing here: don’t reload this page while the clock runs.']),
    ...(amountsWrong.value === null ? [] : [`Amounts and advice on the bites are missing: ${amountsWrong.value}`]),
    ...(longAgo.value ? [`What stands here last ran on ${longAgo.value.toLocaleDateString('en-GB', { day: 'numeric', month: 'long' })}: for another plate begin anew, at the foot of the list.`] : []),
    ...(otherPlate.value ? [`What runs is written into the record of “${run.value.title || 'untitled plate'}”, with which the clock was started: for the plate in hand begin anew, at the foot of the list.`] : []),
    ...(otherPlan.value ? [`The clock was started for “${run.value.title || 'untitled plate'}” with ${run.value.bites} bites; the plan in hand has another number. Begin anew, or bring that plan back.`] : []),
  ];
  return <>{said.map((words) => <p key={words} class="clock-say">{words}</p>)}</>;
}
