import { useEffect, useState } from 'preact/hooks';
import type { Plan } from '../../engine/protocol.ts';
import { ownLesson } from '../../store/lessons.ts';
import { setLesson, type LessonPlan, type OwnLesson } from '../../store/ownLessons.ts';
import { units } from '../../store/settings.ts';
import { readShelf } from '../../store/shelf.ts';
import { Panel } from '../../ui/Panel.tsx';
import { StripControls } from '../strip/StripControls.tsx';
import { StripView } from '../strip/StripView.tsx';
import { allPlaceWords, layOut, sideProblem, type StripSettings } from '../strip/vary.ts';
import { ParagraphEntries, QuestionEntries, Written } from './entries.tsx';
import { LessonLink } from './LessonLink.tsx';
import { plansToChoose, reading, takePlan, useBase } from './plans.ts';

/** A lesson being written; whatever is typed is kept at once. */
export function EditLesson({ of }: { of: OwnLesson }) {
  const { id, plan, lesson } = of;
  const base = useBase(plan);
  const places = usePlaces(base, plan, lesson.strip);
  const set = (next: Partial<OwnLesson['lesson']>): void => setLesson(id, { lesson: { ...lesson, ...next } });
  return (
    <Panel name="teach" title={lesson.title || 'Untitled lesson'} class="teach">
      <nav class="acts lesson-acts" aria-label="Lesson">
        <button type="button" class="quiet" onClick={() => { ownLesson.value = null; }}>all your lessons</button>
      </nav>
      <div class="teach-body">
        <section class="teach-strip" aria-labelledby="teach-strip">
          <h3 id="teach-strip">Plan and strip</h3>
          <PlanChoice id={id} of={plan} />
          {base && plan && (
            <>
              <StripControls base={base} settings={lesson.strip} onChange={(strip) => set({ strip })} />
              <StripView base={base} shares={plan.shares} settings={lesson.strip} compact />
            </>
          )}
        </section>
        <form class="teach-words" aria-label="Words" onSubmit={(event) => event.preventDefault()}>
          <Written label="Title" limit="lesson.title" value={lesson.title} onWrite={(title) => set({ title })} />
          <QuestionEntries question={lesson.question} places={places} onChange={(question) => set({ question })} />
          <ParagraphEntries paragraphs={lesson.paragraphs} places={places} onChange={(paragraphs) => set({ paragraphs })} />
        </form>
        <LessonLink of={of} />
      </div>
    </Panel>
  );
}

/** The plan that the strip varies: the one in hand at first, another on request. */
function PlanChoice({ id, of }: { id: string; of: LessonPlan | null }) {
  useEffect(() => { void readShelf(); }, []);
  return (
    <>
      <p class="strip-side">
        <label class="strip-word" for="teach-plan">Plan</label>
        <select id="teach-plan" value="" onChange={(event) => void takePlan(id, event.currentTarget.value)}>
          <option value="">{of ? `“${of.name}”, as it was taken` : 'none yet'}</option>
          {plansToChoose().map(({ key, name }) => <option key={key} value={key}>{name}</option>)}
        </select>
      </p>
      <p class="unit" role="status">{reading.value}</p>
    </>
  );
}

/** What the patches are called, in their order. */
function usePlaces(base: Plan | null, plan: LessonPlan | null, strip: StripSettings): string[] {
  const [places, setPlaces] = useState<string[]>([]);
  const sound = base && !sideProblem(base, strip.along) && !(strip.down && sideProblem(base, strip.down));
  const wanted = JSON.stringify(strip);
  const shares = plan?.shares;
  useEffect(() => {
    let here = true;
    if (sound && shares) {
      const settings = JSON.parse(wanted) as StripSettings;
      layOut(base, shares, settings).then((laid) => { if (here) setPlaces(allPlaceWords(base, settings, laid)); }, () => undefined);
    }
    return () => { here = false; };
  }, [base, sound, wanted, shares, units.value]);
  return places;
}
