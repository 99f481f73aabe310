import { signal } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import { PlanWorker } from '../../engine/planWorker.ts';
import type { Plan } from '../../engine/protocol.ts';
import { address, openLink, takenUp } from '../../store/links.ts';
import { setLesson, type LessonPlan } from '../../store/ownLessons.ts';
import { keptOf, picture } from '../../store/picture.ts';
import type { KeptPicture } from '../../store/pictureStore.ts';
import { plan } from '../../store/plan.ts';
import { soundPlan, stale } from '../../store/results.ts';
import { pictureOf, shelf } from '../../store/shelf.ts';

/** Characters that a small picture leaves to the words of a lesson. */
const ROOM_FOR_WORDS = 900;

/** Plans that a lesson can be on: the one in hand, and those of the shelf. */
export function plansToChoose(): { key: string; name: string; get: () => Promise<LessonPlan> }[] {
  const hand = stale.value && soundPlan.value ? soundPlan.value : plan.value;
  return [
    { key: 'hand', name: `“${hand.title || 'untitled plate'}”, in hand`, get: () => asLessonPlan(hand, keptOf(picture.value), hand.title) },
    ...shelf.value.map((kept) => ({
      key: kept.id, name: `“${kept.name}”, from the shelf`,
      get: async () => asLessonPlan(kept.plan, await pictureOf(kept), kept.name),
    })),
  ];
}

/** A plan as a lesson keeps it; a worker of its own reads its picture. */
async function asLessonPlan(of: Plan, shown: KeptPicture | null, name: string): Promise<LessonPlan> {
  const aside = new PlanWorker();
  try {
    const link = await aside.ask(of, shown, 'link', []);
    const pictured = shown && await aside.ask(of, shown, 'link_with_picture', [address().length + ROOM_FOR_WORDS]).catch(() => null);
    const { values } = await aside.ask(of, shown, 'summary', []);
    return { name: name || 'Untitled plate', link, pictured, shares: values.map(({ area_share }) => Number(area_share.toFixed(4))) };
  } finally {
    aside.end();
  }
}

/** What is to be said of a plan that is being read, or could not be. */
export const reading = signal('');

/** Puts a lesson on a plan, by its key among those to choose. */
export async function takePlan(id: string, key: string): Promise<void> {
  const chosen = plansToChoose().find((one) => one.key === key);
  if (!chosen) return;
  reading.value = 'The plan is being read …';
  try {
    setLesson(id, { plan: await chosen.get() });
    reading.value = '';
  } catch (error) {
    reading.value = `This plan can’t be taken: ${error instanceof Error ? error.message : String(error)}`;
  }
}

/** The plan in a lesson's link; null while it is read. */
export function useBase(of: LessonPlan | null): Plan | null {
  const [base, setBase] = useState<{ link: string; plan: Plan } | null>(null);
  const link = of?.link;
  useEffect(() => {
    let wanted = true;
    if (link !== undefined) {
      void openLink(link).then(async (opened) => {
        if ('sentence' in opened) return;
        const { plan: found } = await takenUp(opened.plan);
        if (wanted) setBase({ link, plan: found });
      }, () => undefined);
    }
    return () => { wanted = false; };
  }, [link]);
  return base && base.link === link ? base.plan : null;
}
