import { useEffect } from 'preact/hooks';
import { gazeMoved } from '../../engine/scheduler.ts';
import { ownLesson } from '../../store/lessons.ts';
import { panel } from '../../store/notifications.ts';
import { beginLesson, copyLesson, deleted, dropLesson, lessonsFull, ownLessons, putLessonBack, type OwnLesson } from '../../store/ownLessons.ts';
import { plan } from '../../store/plan.ts';
import { Empty } from '../../ui/Empty.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { firstSettings } from '../strip/vary.ts';
import { EditLesson } from './EditLesson.tsx';
import { takePlan } from './plans.ts';
import '../strip/strip.css?sheet';
import '../lessons/lessons.css?sheet';
import './teach.css?sheet';

/** Lessons that a teacher writes: the list of them, or the one that is being written. */
export function Teach() {
  useEffect(() => () => {
    gazeMoved();
    // From trying it one comes back to the draft.
    if (panel.value !== 'lessons') ownLesson.value = null;
  }, []);
  const wanted = ownLesson.value;
  const found = ownLessons.value.find(({ id }) => id === wanted);
  if (found) return <EditLesson key={found.id} of={found} />;
  const all = ownLessons.value;
  const gone = deleted.value;
  const begin = (): void => {
    const { id } = beginLesson(firstSettings(plan.value));
    ownLesson.value = id;
    void takePlan(id, 'hand');
  };
  return (
    <Panel name="teach" class="teach">
      {wanted !== null && <p class="problem" role="alert">There is no such lesson in this browser. Here are all there are.</p>}
      <p class="section-why">A lesson is a plan, a test strip, a question and a few paragraphs, all in one link: there is no server, and whoever opens it keeps their own plan. Drafts stay in this browser.</p>
      <p class="acts"><button type="button" class="act" disabled={lessonsFull()} onClick={begin}>Write a lesson</button></p>
      {gone && <p class="shelf-said" role="status">“{titleOf(gone)}” was deleted. <button type="button" class="act" onClick={putLessonBack}>Put it back</button></p>}
      {all.length === 0 && <Empty picture="lessons">Nothing is written yet: a question is asked first, then your strip answers it.</Empty>}
      {all.length > 0 && (
        <ul class="teach-list" aria-label="Your lessons">
          {all.map((one) => (
            <li key={one.id}>
              <h3><button type="button" class="lesson-open" onClick={() => { ownLesson.value = one.id; }}>{titleOf(one)}</button></h3>
              <p class="acts">
                <button type="button" class="act" aria-label={`Copy ${titleOf(one)}`} disabled={lessonsFull()} onClick={() => copyLesson(one)}>copy</button>
                <button type="button" class="quiet" aria-label={`Delete ${titleOf(one)}`} onClick={() => dropLesson(one.id)}>delete</button>
              </p>
              <p class="teach-about">{one.plan ? `on “${one.plan.name}”` : 'no plan yet'}{one.lesson.question.ask && `: ${one.lesson.question.ask}`}</p>
            </li>
          ))}
        </ul>
      )}
    </Panel>
  );
}

const titleOf = ({ lesson: { title } }: OwnLesson): string => title || 'Untitled lesson';
