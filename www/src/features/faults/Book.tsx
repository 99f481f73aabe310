import { useEffect, useRef, useState } from 'preact/hooks';
import type { FaultInfo, Image } from '../../engine/protocol.ts';
import { gazeMoved } from '../../engine/scheduler.ts';
import { capital } from '../../store/capital.ts';
import { costKind, costOf, exercise, faultKinds } from '../../store/faults.ts';
import { panel } from '../../store/notifications.ts';
import { openStep, titles } from '../../store/place.ts';
import { lengthWords, worded } from '../../store/settings.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { again, closeBook, keyOf, pictures, undrawn, unwish, wish } from './book.ts';
import { learnFaults, shortSize } from './faults.ts';
import './faults.css?sheet';

const SIZES = [0.25, 0.5, 1];
const STEPS = ['dust', 'bake', 'bites', 'ink'] as const;

/** Every kind of fault: how it looks on copper and paper, what it is taken for, how it is avoided and mended. */
export function Book() {
  const [size, setSize] = useState(1);
  const [wrong, setWrong] = useState('');
  useEffect(() => {
    learnFaults().catch((error: Error) => setWrong(error.message));
    return () => { closeBook(); gazeMoved(); };
  }, []);
  const kinds = faultKinds.value;
  return (
    <Panel name="faults" class="fault-book">
      <p class="faults-lead">Everything that commonly goes wrong on a plate, in the order of the bench. Each picture is calculated from the example’s plate, without the fault and with it; its bath is small, so that a bare back shows as well.</p>
      <p class="acts">
        <span role="radiogroup" aria-label="How bad the faults of the pictures are">
          <Words name="book-size" options={SIZES.map((one) => [String(one), kinds.length > 0 ? shortSize(one) : String(one)] as const)} chosen={String(size)} onChoose={(word) => setSize(Number(word))} />
        </span>
        <button type="button" class="act" onClick={() => { exercise.value = null; panel.value = 'what-went-wrong'; }}>Find the fault: exercises…</button>
      </p>
      {wrong && <p class="problem" role="alert">{wrong}</p>}
      {kinds.length === 0 && !wrong && <p role="status">One moment</p>}
      {STEPS.map((step) => (
        <section key={step} aria-labelledby={`book-${step}`}>
          {kinds.length > 0 && <h3 id={`book-${step}`} class="book-step">{titles[step]}</h3>}
          {kinds.filter((info) => info.step === step).map((info) => <Kind key={info.kind} info={info} size={size} />)}
        </section>
      ))}
    </Panel>
  );
}

function Kind({ info, size }: { info: FaultInfo; size: number }) {
  const { kind, name, step, mended_by } = info;
  const article = useRef<HTMLElement>(null);
  const [near, setNear] = useState(false);
  useEffect(() => {
    const on = article.current;
    if (!on) return undefined;
    const watch = new IntersectionObserver((all) => setNear(all.at(-1)?.isIntersecting ?? false), { root: on.closest('dialog'), rootMargin: '120px' });
    watch.observe(on);
    return () => watch.disconnect();
  }, []);
  useEffect(() => {
    if (!near) return undefined;
    wish(kind, size);
    return () => unwish(kind, size);
  }, [near, kind, size]);
  const key = keyOf(kind, size);
  const seen = pictures.value.get(key);
  const ofSize = shortSize(size);
  return (
    <article ref={article} class="book-kind" aria-labelledby={`book-${kind}`}>
      <h4 id={`book-${kind}`}>{capital(name)}</h4>
      <div class="book-pictures">
        <Pair title="On paper" wide={seen && lengthWords(seen.print_mm)} both={seen?.paper ?? null} name={name} size={ofSize} />
        {step === 'ink'
          ? <p class="book-sound">The copper is as it should be: it happens at the press.</p>
          : <Pair title="On the copper" wide={seen && lengthWords(seen.copper_mm)} both={seen?.copper ?? null} name={name} size={ofSize} />}
        {undrawn.value.has(key) && <p class="problem" role="alert">Its pictures could not be drawn. <button type="button" class="act" onClick={() => again(kind, size)}>Try again</button></p>}
      </div>
      <div class="book-words">
        <p>{info.happens}</p>
        <dl>
          <dt>Mistaken for</dt><dd>{info.mistaken_for}</dd>
          <dt>To avoid it</dt><dd>{info.avoid}</dd>
          <dt>To mend it</dt>
          <dd>{info.mend} {info.mended_in}{(mended_by === 'burnisher' || mended_by === 'ground') && <> <button type="button" class="act" onClick={() => { panel.value = null; openStep.value = 'states'; }}>States…</button></>}</dd>
          <dt>How bad</dt><dd>{worded(info.full_size)}</dd>
          <dt>Known from</dt><dd>{info.source}</dd>
        </dl>
        <p class="acts"><button type="button" class="quiet" onClick={() => { costOf.value = step; costKind.value = kind; panel.value = 'cost'; }}>what would it cost this plan?… <span class="unseen">{name}</span></button></p>
      </div>
    </article>
  );
}

function Pair({ title, wide, both, name, size }: { title: string; wide: string | undefined; both: [Image, Image] | null; name: string; size: string }) {
  return (
    <figure class="book-pair">
      <div>
        <PixelCanvas key={both ? 'sound' : 'none'} pixels={both?.[0] ?? null} class="book-picture" label={`${title}, as it should be`} />
        <PixelCanvas key={both ? size : 'not yet'} pixels={both?.[1] ?? null} class="book-picture" label={`${title}, with ${name}, ${size}`} />
      </div>
      <figcaption><span>{title}</span> <span class="unit">{both ? `each ${wide} wide: without, and with it` : 'being drawn …'}</span></figcaption>
    </figure>
  );
}
