import { useEffect, useRef, useState } from 'preact/hooks';
import { LESSONS, type Lesson } from './lessons.ts';
import { handout, lesson as inHand, lessonFragment, ownLesson, presenting } from '../../store/lessons.ts';
import { copyFrom } from '../../ui/copying.ts';
import { address, fromDisk, takeInHand } from '../../store/links.ts';
import { panel } from '../../store/notifications.ts';
import { HARBOUR } from '../../store/picture.ts';
import { watchPatch } from '../watch/watch.ts';
import { NotYetWhole } from '../../ui/PrintAct.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { QrCode } from '../../ui/QrCode.tsx';
import { StripDetail } from '../strip/StripDetail.tsx';
import { Grid, patchWords } from '../strip/StripView.tsx';
import { forget, guessed, guesses } from './guesses.ts';
import { LessonFigure } from './LessonFigure.tsx';
import { Ask } from './Ask.tsx';
import { Marked } from '../glossary/Term.tsx';
import { isWhole, type LessonWork } from './work.ts';

interface Props { lesson: Lesson; work: LessonWork | null }

/** One lesson as a student reads it; printed, it is the handout. */
export function LessonSheet({ lesson, work }: Props) {
  const { id, title, about, text, questions, caution, given } = lesson;
  // Nothing is given away before the first question has been answered, or passed over.
  const veiled = guessed(id, 0) === undefined;
  return (
    <Panel name="lessons" title={title} class={`lessons lesson ${given ? 'lesson-given' : ''}`}>
      <p class="lesson-lead">{about}</p>
      {given?.note && <p class="warning">{given.note}</p>}
      <nav class="acts lesson-acts" aria-label="Lesson">
        {given && ownLesson.value !== null
          ? <button type="button" class="quiet" onClick={() => { panel.value = 'teach'; }}>back to writing</button>
          : <button type="button" class="quiet" onClick={() => { inHand.value = null; }}>all lessons</button>}
        <button type="button" class="quiet" onClick={() => { presenting.value = true; }}>show to a class</button>
        {given ? <button type="button" class="quiet" onClick={() => { handout.value = true; }}>handout…</button> : <PrintAct work={work} />}
        <ForTheClass lesson={lesson} />
      </nav>
      <div class="lesson-body" data-veiled={veiled}>
        <div class="lesson-words">
          <Ask lesson={lesson} index={0} work={work} heading="Before you look" />
          <div class="lesson-text">
            {text.map(({ words, at, watch }, i) => (
              <div key={i} class="lesson-paragraph" data-chosen={work?.chosen.value === at}>
                <p><Marked plain={lesson.given !== undefined} words={words} /></p>
                {work && (
                  <>
                    <button type="button" class="act lesson-see" onClick={() => work.look(at)}>
                      <span class="unseen">Look at the patch: </span>{patchWords(work.strip, work.strip.patches[at])}
                    </button>
                    <LessonFigure work={work} at={at} />
                    {watch && work.strip.patches[at]?.wrong === null && <WatchAct work={work} at={at} from={watch} />}
                  </>
                )}
              </div>
            ))}
            {questions.slice(1).map((_, i) => <Ask key={i} lesson={lesson} index={i + 1} work={work} heading="And now" />)}
            {!given && <Answers lesson={lesson} />}
            <div class="caution"><h3>Caution</h3><p>{caution}</p></div>
            <Onward lesson={lesson} work={work} />
          </div>
        </div>
        <div class="lesson-plate">{work && <Plate work={work} />}</div>
      </div>
      <NotYet work={work} />
      <div class="handout-only handout-code"><QrCode text={codeOf(lesson)} label="The lesson as a QR code" /><p>This lesson, to be tried in Platewright.</p></div>
    </Panel>
  );
}

/** Where a lesson is to be found. A page opened from disk can only name its place on the page, or the link that it came with. */
export function codeOf({ id, given }: Lesson): string {
  return `${fromDisk ? '' : address()}${given ? `#${given.link}` : lessonFragment(id)}`;
}

/** Leads to the plate of a patch at work. */
function WatchAct({ work: { strip }, at, from }: { work: LessonWork; at: number; from: string }) {
  const patch = strip.patches[at];
  if (!patch) return null;
  return <button type="button" class="act lesson-see lesson-watch" onClick={() => watchPatch(strip, patch, patchWords(strip, patch), from)}>Watch it happen…</button>;
}

/** The strip, and the patch under the linen tester. */
function Plate({ work }: { work: LessonWork }) {
  const { strip, chosen, look } = work;
  void strip.drawn.value;
  const patch = strip.patches[chosen.value] ?? null;
  return (
    <>
      <p class="strip-progress" role="status">
        {strip.done < strip.patches.length ? `${strip.done} of ${strip.patches.length} patches have all their grain` : 'Press a patch to see its grain and its section.'}
      </p>
      <Grid work={strip} chosen={chosen.value} onLook={look} />
      <StripDetail work={strip} patch={patch} words={patchWords(strip, patch ?? undefined)} look={patch ? work.looks.value.get(chosen.value) ?? null : null} few />
    </>
  );
}

/** The handout waits for its pictures. */
function PrintAct({ work }: { work: LessonWork | null }) {
  const ready = isWhole(work);
  return (
    <button type="button" class="quiet" disabled={!ready} title={ready ? 'One or two sheets of A4, questions with it' : 'When every patch is in'} onClick={() => print()}>
      print the handout
    </button>
  );
}

function NotYet({ work }: { work: LessonWork | null }) {
  return isWhole(work) ? null : <NotYetWhole what="all its pictures" />;
}

/** Link and code, for whoever wants to hand the lesson on. */
function ForTheClass({ lesson }: { lesson: Lesson }) {
  const [open, setOpen] = useState(false);
  const [copied, setCopied] = useState('');
  const code = codeOf(lesson);
  const field = useRef<HTMLInputElement>(null);
  return (
    <>
      <button type="button" class="quiet" aria-expanded={open} onClick={() => setOpen(!open)}>link and code</button>
      {open && (
        <div class="lesson-link">
          <QrCode text={code} label="The lesson as a QR code" />
          <div>
            <input class="lesson-address" ref={field} readOnly aria-label="Link to this lesson" value={code} onFocus={(event) => event.currentTarget.select()} />
            <p class="acts"><button type="button" class="act" onClick={() => { if (field.current) void copyFrom(field.current).then(setCopied); }}>Copy the link</button> <span role="status" class="why">{copied}</span></p>
            <p class="why">
              {fromDisk
                ? 'This page was opened from disk, so it has no address for others. Put this ending behind the address of any Platewright.'
                : 'It opens the lesson over whatever plan its reader has open, and leaves that plan as it is.'}
            </p>
          </div>
        </div>
      )}
    </>
  );
}

/** On the handout the answers stand at its foot, upside down. */
function Answers({ lesson: { questions } }: { lesson: Lesson }) {
  return (
    <ol class="handout-only handout-answers" aria-label="Answers">
      {questions.map(({ because }, i) => <li key={i}><Plain words={because} /></li>)}
    </ol>
  );
}

function Plain({ words }: { words: string }) {
  return <>{words.replace(/\[\[(?:[^\]|]*\|)?([^\]]*)\]\]/g, '$1').replace(/\{[\d=]+\}/g, '')}</>;
}

function Onward({ lesson, work }: Props) {
  const next = lesson.given ? undefined : LESSONS[LESSONS.findIndex(({ id }) => id === lesson.id) + 1];
  const toBench = (): void => {
    if (!work) return;
    panel.value = null;
    void takeInHand(`plan of the lesson “${lesson.title}”`, work.base, lesson.given?.picture ?? HARBOUR, lesson.given?.said);
  };
  const begun = guesses.value[lesson.id] !== undefined;
  useEffect(() => { document.querySelector('.panel.lesson')?.scrollTo(0, 0); }, []);
  return (
    <div class="lesson-onward">
      <p class="acts">
        {next && <button type="button" class="act" onClick={() => { inHand.value = next.id; }}>Next: {next.title}</button>}
        <button type="button" class="act" onClick={toBench}>Take this plan to the bench</button>
        {begun && <button type="button" class="act" onClick={() => forget(lesson.id)}>Forget my answers</button>}
      </p>
      <p class="why">Your answers stay on this device. Taken to the bench, the lesson’s plan replaces the one that is open, which is put on the shelf first.</p>
    </div>
  );
}
