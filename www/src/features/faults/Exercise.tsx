import { useEffect, useRef, useState } from 'preact/hooks';
import { gazeMoved } from '../../engine/scheduler.ts';
import { capital } from '../../store/capital.ts';
import { exercise } from '../../store/faults.ts';
import { panel } from '../../store/notifications.ts';
import { Panel } from '../../ui/Panel.tsx';
import { drawn, sides } from '../compare/compare.ts';
import { SideViews } from '../compare/SideViews.tsx';
import { letGoSides } from './beside.ts';
import { ChooseSet } from './ChooseSet.tsx';
import { CostFigures } from './CostFigures.tsx';
import { ask, asked, guess, unasked, type Asked } from './exercise.ts';
import { infoOf, nameOf, sizeWords, type Kind } from './faults.ts';
import '../compare/compare.css?sheet';
import './faults.css?sheet';

/** Exercises: which fault is it? Chosen by a code in the address, so that a class has the same one. */
export function WhatWentWrong() {
  const code = exercise.value;
  useEffect(() => () => { letGoSides(); gazeMoved(); asked.value = null; }, []);
  useEffect(() => { if (code !== null) void ask(code); else letGoSides(); }, [code]);
  const now = asked.value;
  return (
    <Panel name="what-went-wrong" class="compare wrong">
      {code === null ? <ChooseSet /> : (
        <>
          {unasked.value && <p class="problem" role="alert">{unasked.value} <button type="button" class="act" onClick={() => { exercise.value = null; }}>Choose faults yourself</button></p>}
          {!now && !unasked.value && <p role="status">A plate goes wrong …</p>}
          {now && now.code === code && <Question key={code} of={now} />}
        </>
      )}
    </Panel>
  );
}

function Question({ of }: { of: Asked }) {
  const [alone, setAlone] = useState(false);
  const [figures, setFigures] = useState(false);
  void drawn.value;
  const lead = useRef<HTMLParagraphElement>(null);
  // What led here is gone with the exercise before: the keyboard goes on where this one begins.
  useEffect(() => { if (!document.activeElement?.closest('button, a, input')) lead.current?.focus(); }, []);
  const both = sides.value;
  const shown = alone ? both.slice(1) : both;
  const { answered } = of;
  return (
    <>
      <p class="faults-lead" ref={lead} tabIndex={-1}>{answered ? 'Here it is, under the linen tester.' : 'Something went wrong with this plate. Move the linen tester over the print: what was it?'}</p>
      <p class="acts">
        <button type="button" class="quiet" aria-pressed={!alone} onClick={() => setAlone(false)}>beside the print as it should be</button>
        <button type="button" class="quiet" aria-pressed={alone} onClick={() => setAlone(true)}>alone</button>
        <button type="button" class="quiet" aria-expanded={figures} onClick={() => setFigures(!figures)}>in figures</button>
      </p>
      <div class="compare-sides" data-sides={2} style={{ '--sides': alone ? 1 : 2 }}>
        {shown.map((side) => (
          <section key={side.key} class="compare-side" aria-label={capital(side.name)}>
            <p class="compare-name"><strong>{capital(side.name)}</strong></p>
            <SideViews side={side} letter={side.name} />
          </section>
        ))}
      </div>
      {figures && <CostFigures />}
      {answered ? <Answer of={of} /> : <Guesses of={of} />}
    </>
  );
}

/** Every kind of the set, in the order of the bench. */
function Guesses({ of: { is } }: { of: Asked }) {
  return (
    <section class="wrong-guesses" aria-labelledby="wrong-guess">
      <h3 id="wrong-guess">My guess is …</h3>
      <ul>
        {is.kinds.map((kind) => <li key={kind}><button type="button" class="wrong-option" onClick={() => guess(kind)}>{nameOf(kind)}</button></li>)}
      </ul>
      <p><button type="button" class="quiet" onClick={() => guess(null)}>show me without a guess</button></p>
    </section>
  );
}

function Answer({ of: { is, mine } }: { of: Asked }) {
  const info = infoOf(is.fault.kind);
  const head = useRef<HTMLHeadingElement>(null);
  // What was pressed is gone: the keyboard goes on where the answer begins.
  useEffect(() => { head.current?.focus(); }, []);
  const right = mine === is.fault.kind;
  if (!info) return null;
  return (
    <section class="wrong-answer" aria-labelledby="wrong-answer" data-right={right}>
      <h3 id="wrong-answer" ref={head} tabIndex={-1}>{right ? 'Right: ' : mine ? 'It was something else: ' : ''}{right || mine ? info.name : capital(info.name)}</h3>
      <p class="unit">{sizeWords(is.fault.size)}</p>
      <p>{info.happens}</p>
      {mine && !right && <Otherwise guessed={mine} />}
      <p><b>Mistaken for:</b> {info.mistaken_for}</p>
      <p><b>To avoid it:</b> {info.avoid} <b>To mend it:</b> {info.mend} {info.mended_in}</p>
      <p class="acts">
        <button type="button" class="act" onClick={() => { exercise.value = is.next; }}>The next one</button>
        <button type="button" class="quiet" onClick={() => { exercise.value = null; }}>choose other faults</button>
        <button type="button" class="quiet" onClick={() => { panel.value = 'faults'; }}>book of faults…</button>
      </p>
    </section>
  );
}

function Otherwise({ guessed }: { guessed: Kind }) {
  const info = infoOf(guessed);
  return info ? <p class="warning"><b>Your guess, {info.name}, would look otherwise:</b> {info.happens}</p> : null;
}
