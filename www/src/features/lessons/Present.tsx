import { useEffect, useRef, useState } from 'preact/hooks';
import type { Lesson } from './lessons.ts';
import { presenting } from '../../store/lessons.ts';
import { lengthWords } from '../../store/settings.ts';
import { CUT_WIDTH_UM } from '../strip/strip.ts';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { QrCode } from '../../ui/QrCode.tsx';
import { Grid, patchWords } from '../strip/StripView.tsx';
import { CutDrawing } from '../../ui/CutDrawing.tsx';
import { codeOf } from './LessonSheet.tsx';
import { Marked } from '../glossary/Term.tsx';
import type { LessonWork } from './work.ts';

/** What a class sees at once: a question, its answer, one paragraph, or what to beware of at the bench. */
type Slide =
  | { kind: 'ask'; question: number; first: boolean }
  | { kind: 'answer'; question: number; at: number }
  | { kind: 'words'; words: string; at: number }
  | { kind: 'caution' };

function slidesOf({ text, questions }: Lesson): Slide[] {
  const pair = (question: number, first: boolean): Slide[] => [
    { kind: 'ask', question, first }, { kind: 'answer', question, at: questions[question]?.at ?? 0 },
  ];
  // Before the last questions: a class that runs out of time has seen it.
  return [...pair(0, true), ...text.map((one): Slide => ({ kind: 'words', ...one })), { kind: 'caution' }, ...questions.slice(1).flatMap((_, i) => pair(i + 1, false))];
}

/** Rows of patches at their usual height; more share the room of so many. */
const USUAL_ROWS = 3;

/** Characters that a slide has room for at its usual size; an answer with its question, and a teacher's own words, may be more and are set smaller. */
const ROOM = { ask: 330, answer: 230, words: 360 };

/** Size of words that are to fit. */
function fitted(words: string[], kind: keyof typeof ROOM): { fontSize: string } {
  return { fontSize: `${Math.min(1, Math.sqrt(ROOM[kind] / words.join('').length)).toFixed(3)}em` };
}

const FORWARD = ['ArrowRight', 'ArrowDown', 'PageDown', ' ', 'Enter'];
const BACK = ['ArrowLeft', 'ArrowUp', 'PageUp', 'Backspace'];

/** A lesson for the projector: one thing at a time, large, nothing to scroll. Arrow keys turn it. */
export function Present({ lesson, work }: { lesson: Lesson; work: LessonWork | null }) {
  const dialog = useRef<HTMLDialogElement>(null);
  const [at, setAt] = useState(0);
  const slides = slidesOf(lesson);
  const slide = slides[at] ?? slides[0];
  useEffect(() => {
    const on = dialog.current;
    if (on && !on.open) on.showModal();
  }, []);
  const turn = (to: number): void => setAt(Math.max(0, Math.min(slides.length - 1, to)));
  const seen = slide && 'at' in slide ? slide.at : null;
  useEffect(() => {
    if (seen !== null) work?.look(seen);
  }, [seen, work]);
  const key = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const onButton = event.target instanceof HTMLButtonElement && (event.key === ' ' || event.key === 'Enter');
    // Within the strip the arrow keys go from patch to patch.
    const onStrip = event.target instanceof Element && event.target.closest('.strip-table') !== null;
    if (onButton || (onStrip && event.key.startsWith('Arrow'))) return;
    if (FORWARD.includes(event.key)) turn(at + 1);
    else if (BACK.includes(event.key)) turn(at - 1);
    else if (event.key === 'Home') turn(0);
    else if (event.key === 'End') turn(slides.length - 1);
    else return;
    event.preventDefault();
  };
  useEffect(() => {
    // On the window: a press beside the words takes the keyboard away from the dialog.
    addEventListener('keydown', key);
    return () => removeEventListener('keydown', key);
  });
  if (!slide) return null;
  const rows = work?.strip.rows.length ?? 1;
  return (
    <dialog ref={dialog} class="present" aria-label={`${lesson.title}, for a class`} onClose={() => { presenting.value = false; }}
      data-rows={rows > 1 ? 'many' : 'one'} data-kind={slide.kind} data-tall={rows > USUAL_ROWS} style={{ '--rows': rows }}>
      <header class="present-head">
        <h2 tabIndex={-1} autofocus>{lesson.title}</h2>
        <p class="number" aria-live="polite"><span class="unseen">Page </span>{at + 1}<span class="unit"> / {slides.length}</span></p>
      </header>
      {slide.kind === 'ask' ? <AskSlide lesson={lesson} slide={slide} />
        : slide.kind === 'caution' ? <div class="present-caution"><h3>Caution, at the bench</h3><p>{lesson.caution}</p></div>
        : <Shown lesson={lesson} slide={slide} work={work} />}
      <footer class="present-foot">
        <button type="button" class="quiet" disabled={at === 0} onClick={() => turn(at - 1)}>← back</button>
        <button type="button" class="quiet" disabled={at === slides.length - 1} onClick={() => turn(at + 1)}>{slide.kind === 'ask' ? 'what happens →' : 'on →'}</button>
        <span class="present-keys unit" aria-hidden="true">keys ← → Esc</span>
        <button type="button" class="quiet" onClick={() => dialog.current?.close()}>leave</button>
      </footer>
    </dialog>
  );
}

function AskSlide({ lesson, slide }: { lesson: Lesson; slide: Extract<Slide, { kind: 'ask' }> }) {
  const question = lesson.questions[slide.question];
  if (!question) return null;
  return (
    <div class="present-ask">
      <div style={lesson.given ? fitted([question.ask, ...question.options], 'ask') : {}}>
        <p class="present-question">{question.ask}</p>
        <ol class="present-options">{question.options.map((words) => <li key={words}>{words}</li>)}</ol>
      </div>
      {slide.first && (
        <figure class="present-code">
          <QrCode text={codeOf(lesson)} label="The lesson as a QR code" />
          <figcaption>The lesson on your own device</figcaption>
        </figure>
      )}
    </div>
  );
}

function Shown({ lesson, slide, work }: { lesson: Lesson; slide: Extract<Slide, { at: number }>; work: LessonWork | null }) {
  const question = slide.kind === 'answer' ? lesson.questions[slide.question] : undefined;
  const right = question?.options[question.right];
  const words = question ? question.because : slide.kind === 'words' ? slide.words : '';
  void work?.strip.drawn.value;
  const chosen = work?.chosen.value ?? slide.at;
  const seen = work?.looks.value.get(chosen);
  const patch = work?.strip.patches[chosen];
  return (
    <div class="present-body">
      <div class="present-words">
        <div style={lesson.given || question ? fitted([question?.ask ?? '', right ?? '', words], question ? 'answer' : 'words') : {}}>
          {question && <p class="present-asked">{question.ask}</p>}
          {right !== undefined && <p class="present-right">{right}</p>}
          <p><Marked plain={lesson.given !== undefined} words={words} /></p>
        </div>
      </div>
      {work && (
        <>
          <div class="present-strip"><Grid work={work.strip} chosen={chosen} onLook={work.look} /></div>
          <figure class="present-figure">
            <div class="present-grain"><PixelCanvas pixels={seen?.grain ?? null} label={`Grain of the patch: ${patchWords(work.strip, patch)}, a field ${lengthWords(2)} wide`} /></div>
            <div class="present-cut">
              {seen && <CutDrawing cut={seen.cut} width_um={CUT_WIDTH_UM} bites={seen.patch.value} inked deepest_um={0} />}
              <figcaption>
                {patchWords(work.strip, patch)}
                {patch?.numbers && <span class="present-tone">L* {patch.numbers.lightness.toFixed(0)}<span class="unit">, {(100 * patch.numbers.cover).toFixed(0)} % covered, {patch.numbers.held_um.toFixed(1)} µm of ink</span></span>}
              </figcaption>
            </div>
          </figure>
        </>
      )}
    </div>
  );
}
