import { useEffect, useMemo } from 'preact/hooks';
import { asLesson, lessonIn, LESSONS } from './lessons.ts';
import { gazeMoved } from '../../engine/scheduler.ts';
import { GIVEN, given, handout, lesson, presenting } from '../../store/lessons.ts';
import { panel } from '../../store/notifications.ts';
import { units } from '../../store/settings.ts';
import { Empty } from '../../ui/Empty.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { guesses } from './guesses.ts';
import { Handout } from './Handout.tsx';
import { LessonSheet } from './LessonSheet.tsx';
import { Present } from './Present.tsx';
import { useLessonWork } from './work.ts';
import '../strip/strip.css?sheet';
import './lessons.css?sheet';

const LEAD = 'Each is a plan, a test strip and a page of words: three or four minutes to read, longer to try.';

/** The lessons: the list of them, one as a student reads it, or one as a class sees it. */
export function Lessons() {
  const wanted = lesson.value;
  const came = given.value;
  const to = units.value;
  const found = useMemo(() => {
    if (wanted === GIVEN) return came && asLesson(came);
    const of = LESSONS.find(({ id }) => id === wanted);
    return of ? lessonIn(of, to) : null;
  }, [wanted, came, to]);
  const work = useLessonWork(found);
  useEffect(() => () => {
    gazeMoved();
    // From the glossary and from watching one comes back to the lesson.
    if (panel.value !== 'glossary' && panel.value !== 'watch') { lesson.value = null; presenting.value = handout.value = false; }
  }, []);
  if (found && presenting.value) return <Present lesson={found} work={work} />;
  if (found?.given && handout.value) return <Handout lesson={found} given={found.given} work={work} />;
  if (found) return <LessonSheet key={found.id} lesson={found} work={work} />;
  return (
    <Panel name="lessons" class="lessons">
      {wanted !== null && <p class="problem" role="alert">There is no lesson of that name. Here are all there are.</p>}
      {Object.keys(guesses.value).length === 0 ? <Empty picture="lessons">{LEAD}</Empty> : <p class="lesson-lead">{LEAD}</p>}
      <ol class="lesson-list">
        {LESSONS.map((one) => lessonIn(one, to)).map(({ id, title, about, minutes }, i) => (
          <li key={id}>
            <span class="lesson-number" aria-hidden="true">{i + 1}</span>
            <h3><button type="button" class="lesson-open" onClick={() => { lesson.value = id; }}>{title}</button></h3>
            <p>{about}</p>
            <p class="lesson-minutes"><span class="number">{minutes}</span> <span class="unit">min</span>{guesses.value[id] && <span class="unit">, begun</span>}</p>
          </li>
        ))}
      </ol>
      <p class="acts lesson-own"><button type="button" class="act" onClick={() => { panel.value = 'teach'; }}>Write a lesson of your own…</button></p>
    </Panel>
  );
}
