import { useState } from 'preact/hooks';
import { limitsOf } from '../../store/catalogue.ts';
import { handout, type GivenLesson } from '../../store/lessons.ts';
import { fromDisk } from '../../store/links.ts';
import { units } from '../../store/settings.ts';
import { NotYetWhole, PrintAct } from '../../ui/PrintAct.tsx';
import { QrCode } from '../../ui/QrCode.tsx';
import { View } from '../../ui/View.tsx';
import { Grid } from '../strip/StripView.tsx';
import { LessonFigure } from './LessonFigure.tsx';
import type { Lesson } from './lessons.ts';
import { codeOf } from './LessonSheet.tsx';
import { isWhole, type LessonWork } from './work.ts';
import './handout.css?sheet';

/** A lesson that came with a link, on paper: the question to be answered by hand, the strip, the words. */
export function Handout({ lesson, given, work }: { lesson: Lesson; given: GivenLesson; work: LessonWork | null }) {
  const [words, setWords] = useState(true);
  const [answer, setAnswer] = useState(false);
  const { title, text, questions: [question], caution } = lesson;
  const code = codeOf(lesson);
  const ready = isWhole(work);
  return (
    <View name="lessons" title={`${title}: handout`} class="handout" acts={(
      <>
        <label><input type="checkbox" checked={words} onChange={() => setWords(!words)} /> with the words</label>
        <label><input type="checkbox" checked={answer} onChange={() => setAnswer(!answer)} /> answer on a page of its own</label>
        <PrintAct words="Print it" ready={ready} />
        <button type="button" class="quiet" onClick={() => { handout.value = false; }}>back to the lesson</button>
      </>
    )}>
      <article class="handout-paper" data-units={units.value} aria-label="The handout as it prints">
        <header class="handout-top">
          <h1>{title}</h1>
          <p class="handout-blank"><span>Name</span><span>Date</span></p>
        </header>
        {code.length <= limitsOf('link.code').max && (
          <figure class="handout-qr"><QrCode text={code} label="The lesson as a QR code" /><figcaption>{fromDisk ? 'this lesson: paste it into Platewright' : 'this lesson in Platewright'}</figcaption></figure>
        )}
        {!ready && <NotYetWhole what="all its pictures" />}
        {question && (
          <section class="handout-ask" aria-labelledby="handout-ask">
            <h2 id="handout-ask">Before you look at the strip</h2>
            <p class="handout-question">{question.ask}</p>
            <ul>{question.options.map((option) => <li key={option}><span class="handout-box" aria-hidden="true" />{option}</li>)}</ul>
            <Room for="Because" lines={2} />
          </section>
        )}
        <section class="handout-strip" aria-labelledby="handout-strip">
          <h2 id="handout-strip">The strip</h2>
          <p class="handout-of">Calculated from the plan “{given.plan.title || 'Untitled plate'}”, every grain; all that is not named beside the patches is as in that plan.</p>
          {work && <Grid work={work.strip} chosen={-1} onLook={() => undefined} />}
          <Room for="What I see" lines={3} />
        </section>
        {words && (
          <section class="handout-words" aria-labelledby="handout-words">
            <h2 id="handout-words">To read</h2>
            {text.map(({ words: said, at }, i) => (
              <div key={i} class="handout-paragraph"><p>{said}</p>{work && <LessonFigure work={work} at={at} />}</div>
            ))}
          </section>
        )}
        <p class="handout-caution"><b>Caution:</b> {caution}</p>
        {answer && question && (
          <section class="handout-answer" aria-labelledby="handout-answer">
            <h2 id="handout-answer">{title}: the answer</h2>
            <p class="handout-question">{question.ask}</p>
            <p class="handout-right">{question.options[question.right]}</p>
            <p>{question.because}</p>
          </section>
        )}
      </article>
    </View>
  );
}

/** Lines to write on. */
function Room({ for: what, lines }: { for: string; lines: number }) {
  return (
    <div class="handout-room">
      <p>{what}</p>
      {Array.from({ length: lines }, (_, i) => <span key={i} aria-hidden="true" />)}
    </div>
  );
}
