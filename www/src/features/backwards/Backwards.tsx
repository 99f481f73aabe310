import { useEffect } from 'preact/hooks';
import { ask, busy, done, failed, found, own, seek, stop, takeMinutes, timed, toTheEnd } from './backwards.ts';
import { panel, tell } from '../../store/notifications.ts';
import { tonedHistogram } from '../../store/toning.ts';
import { plan } from '../../store/plan.ts';
import { soundPlan, stale } from '../../store/results.ts';
import { HeldUp } from '../../ui/HeldUp.tsx';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { minutesWords } from '../../ui/MinutesEntry.tsx';
import { askTones } from '../../store/tones.ts';
import { Panel } from '../../ui/Panel.tsx';
import { Grain } from './Grain.tsx';
import { HowSure } from './HowSure.tsx';
import { Picker } from './Picker.tsx';
import { Waiting } from '../../ui/Waiting.tsx';
import { WantedRow } from './WantedRow.tsx';
import './backwards.css?sheet';
import { worded } from '../../store/settings.ts';

/** From the values one wants to the minutes that print them. */
export function Backwards() {
  const of = plan.value;
  // The newest plan that can be reckoned; the one in hand may be half typed.
  useEffect(() => {
    if (soundPlan.value && !stale.value) void seek(plan.value, tonedHistogram.value);
  }, [soundPlan.value, stale.value, ask.value, toTheEnd.value, timed.value, own.value, done.value, tonedHistogram.value]);
  useEffect(askTones, []);
  const now = found.value;
  const fits = now?.bites.length === of.bites.length;
  const setOwn = (index: number, lightness: number): void => {
    const from = own.value.length === of.bites.length ? own.value : (now?.bites ?? []).map((bite) => bite.wanted_l);
    own.value = from.map((old, i) => (i === index ? lightness : old));
    ask.value = 'own';
  };
  const choose = (word: string): void => {
    if (word === 'own') own.value = (now?.bites ?? []).map((bite) => Number(bite.wanted_l.toFixed(1)));
    ask.value = word === 'picture' || word === 'own' ? word : 'even';
  };
  const take = (): void => {
    if (!now) return;
    takeMinutes('bites planned backwards', now.bites.map((bite) => bite.bite_min));
    tell('These minutes are in the plan.');
    panel.value = null;
  };
  // A wish stands as it was typed while its answer is being sought.
  const wishes = ask.value === 'own' && own.value.length === of.bites.length ? own.value : [];
  const total = (now?.bites ?? []).reduce((sum, bite) => sum + bite.bite_min, 0);
  return (
    <Panel name="backwards" class="backwards">
      <p class="section-why">Say how dark each value should print; the minutes are found for this ground, this bath and this ink.</p>
      <div class="back-asks">
        <div role="radiogroup" aria-label="Values asked for" class="back-ask">
          <span class="back-word" aria-hidden="true">Ask for</span>
          <Words name="back-ask" options={[['even', 'even steps'], ['picture', 'the picture’s own values'], ['own', 'each typed or picked']]} chosen={ask.value} onChoose={choose} />
        </div>
        {ask.value !== 'own' && (
          <div role="radiogroup" aria-label="How dark" class="back-ask">
            <span class="back-word" aria-hidden="true">Down to</span>
            <Words name="back-end" options={[['sure', 'short of breaking down'], ['end', 'the very darkest']]} chosen={toTheEnd.value ? 'end' : 'sure'}
              onChoose={(word) => { toTheEnd.value = word === 'end'; }} />
          </div>
        )}
        <div role="radiogroup" aria-label="How finely the bites are timed" class="back-ask">
          <span class="back-word" aria-hidden="true">Timed</span>
          <Words name="back-timed" options={[['by_hand', 'as by hand'], ['quarters', 'quarters'], ['halves', 'halves'], ['wholes', 'whole minutes']]} chosen={timed.value}
            onChoose={(word) => { timed.value = word as typeof timed.value; }} />
        </div>
        <label class="back-ask">
          <span class="back-word">Bites already run</span>
          <select value={String(done.value)} onChange={(event) => { done.value = Number(event.currentTarget.value); }}>
            {of.bites.map((_, i) => <option key={i} value={String(i)}>{i === 0 ? 'none' : `the first ${i}, as in the plan`}</option>)}
          </select>
        </label>
      </div>
      {stale.value && <p class="problem">The plan can’t be used as it stands: <HeldUp /></p>}
      {failed.value && !stale.value && <p class="problem" role="alert">{failed.value}</p>}
      <div role="status">{busy.value && !stale.value && <Waiting words={now ? 'The minutes for this are being sought.' : 'One moment: the ground is printed at every depth.'} onStop={stop} />}</div>
      {now && fits && (
        <div class="back-answer" data-busy={busy.value}>
          <div class="back-scroll">
            <table class="back-table">
              <caption class="unseen">Each value: what is asked, the minutes, and what they print</caption>
              <thead>
                <tr>
                  <th scope="col">Value</th><th scope="col">asked L*</th><th scope="col">density</th>
                  <th scope="col">minutes</th><th scope="col">prints L*</th><th scope="col">off by</th>
                </tr>
              </thead>
              <tbody>
                {now.bites.map((bite, i) => <WantedRow key={i} index={i} bite={bite} wanted_l={wishes[i] ?? bite.wanted_l} onWish={(l) => setOwn(i, l)} />)}
              </tbody>
            </table>
          </div>
          <p class="back-darkest" role="status">
            {minutesWords(total)} minutes in the bath. {worded(now.darkest_sentence)}
            {now.margin_sentence && !toTheEnd.value && ask.value !== 'own' && <> {worded(now.margin_sentence)}</>}
            {' '}Rounding the minutes costs {Math.max(...now.bites.map((bite) => Math.abs(bite.lightness - bite.exact_l))).toFixed(1)} L* at most.
          </p>
          <p class="acts"><button type="button" class="act" disabled={busy.value} onClick={take}>Take these minutes</button></p>
        </div>
      )}
      {ask.value === 'own' && <Picker count={of.bites.length} onPick={setOwn} />}
      <HowSure />
      <Grain />
    </Panel>
  );
}
