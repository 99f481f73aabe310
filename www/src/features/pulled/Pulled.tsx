import { useEffect, useState } from 'preact/hooks';
import { droppedProof, readPhotograph } from '../../store/recorded.ts';
import { plan, plateId } from '../../store/plan.ts';
import { readRecords } from '../../store/records.ts';
import { explained } from '../../store/settings.ts';
import { View } from '../../ui/View.tsx';
import { Waiting } from '../../ui/Waiting.tsx';
import { Learned } from './Learned.tsx';
import { Prints } from './Prints.tsx';
import { before, doing, goBack, letGo, onPlanNow, pulled, read, stop, takeFile, takeRecorded } from './pulled.ts';
import type { Pulled as Proof } from './asking.ts';
import { PutRight, TakeIn } from './TakeIn.tsx';
import { Unevenness, Values } from './Values.tsx';
import { WhatNext } from './WhatNext.tsx';
import { Why } from './Why.tsx';
import '../backwards/backwards.css?sheet';
import './pulled.css?sheet';

/** How long something may take before that is said, ms. */
const SAID_AFTER_MS = 500;

/** A photograph of a real proof: read, seen beside the plan's, explained, and learned from. */
export function Pulled() {
  useEffect(() => {
    void readRecords();
    const known = pulled.value;
    const another = readPhotograph.value !== null && readPhotograph.value !== known?.photo.id;
    // What was left off as the panel was closed goes on.
    if (known && !another && !known.told && !known.failed && !known.unexplained) void read();
    return letGo;
  }, []);
  const asked = readPhotograph.value;
  useEffect(() => { if (asked !== null) void takeRecorded(asked); }, [asked]);
  const dropped = droppedProof.value;
  useEffect(() => {
    if (!dropped) return;
    droppedProof.value = null;
    void takeFile(dropped);
  }, [dropped]);
  const of = pulled.value;
  return (
    <View name="pulled" class="pulled">
      <div class="pulled-sheet">
        <div>
          <TakeIn of={of} />
          <div role="status" class="pulled-doing" data-there={of !== null}><Doing /></div>
        </div>
        {of?.failed && <Failed of={of} />}
        {of && (of.reading ? <Told of={of} /> : of.failed && <PutRight of={of} />)}
        <Learned />
      </div>
    </View>
  );
}

/** What is being done, once it takes longer than a moment. */
function Doing() {
  const words = doing.value;
  const [late, setLate] = useState(false);
  const busy = words !== '';
  useEffect(() => {
    setLate(false);
    if (!busy) return undefined;
    const timer = setTimeout(() => setLate(true), SAID_AFTER_MS);
    return () => clearTimeout(timer);
  }, [busy]);
  return late && busy ? <Waiting words={words} onStop={stop} /> : null;
}

function Failed({ of }: { of: Proof }) {
  return (
    <div class="pulled-failed">
      <p class="problem" role="alert">{of.failed}</p>
      <p class="acts">
        <button type="button" class="act" disabled={doing.value !== ''} onClick={() => void read()}>Read it again</button>
        <BackToBefore />
      </p>
    </div>
  );
}

function BackToBefore() {
  const name = before.value?.photo.name;
  return name ? <button type="button" class="act" onClick={goBack}>Back to “{name}”</button> : null;
}

/** All that was read of it. */
function Told({ of }: { of: Proof }) {
  const { reading, squares, subject } = of;
  if (!reading || !squares) return null;
  const changed = subject.plate === plateId.value && subject.plan !== plan.value;
  return (
    <>
      <Prints of={of} />
      {changed && (
        <p class="why">
          It was read on the plan as it stood then. <button type="button" class="act" onClick={onPlanNow}>Read it on the plan as it is now</button>
        </p>
      )}
      <div class="pulled-pair">
        <section aria-labelledby="pulled-values">
          <h3 id="pulled-values">What each value printed</h3>
          <Values reading={reading} planned={squares.lightness} />
          {reading.warnings.length > 0 && (
            <ul class="pulled-warnings" aria-label="What deserves a look">
              {reading.warnings.map((one) => <li key={one.code + one.sentence.metric}>{explained(one)}</li>)}
            </ul>
          )}
        </section>
        <section aria-labelledby="pulled-even">
          <h3 id="pulled-even">How evenly it printed</h3>
          <Unevenness of={reading.evenness} />
        </section>
      </div>
      <PutRight of={of} />
      {of.unexplained && (
        <div>
          <p class="problem" role="alert">{of.unexplained}</p>
          <p class="acts"><button type="button" class="act" disabled={doing.value !== ''} onClick={() => void read()}>Read it again</button></p>
        </div>
      )}
      {of.told && <Why of={of} told={of.told} />}
      {of.told && <WhatNext of={of} />}
    </>
  );
}
