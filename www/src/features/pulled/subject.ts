import type { Plan } from '../../engine/protocol.ts';
import { awaits, keptOf, picture } from '../../store/picture.ts';
import type { KeptPicture } from '../../store/pictureStore.ts';
import { plan, plateId } from '../../store/plan.ts';
import { records } from '../../store/records.ts';
import { checked, pictureOf, shelf, soundHand } from '../../store/shelf.ts';
import { lastState } from '../../store/versions.ts';

/* The plate whose proof is read: its plan and picture, wherever they are. */

export interface Subject { plate: string; title: string; plan: Plan; picture: KeptPicture | null; state: number }

/** Why a plate's proof can't be read here. */
export class NoSubject extends Error {}

const PICTURE_GONE = 'The proof can only be laid on its plan with the plan’s own picture, which is not here. Lay it on the plate first.';

/** The plate in hand, on the shelf, or as its record has it; in one of its states, 0 for the last. */
export async function subjectOf(plate: string, state: number): Promise<Subject> {
  const named = (title: string, of: Plan, shown: KeptPicture | null): Subject =>
    ({ plate, title: title || 'Untitled plate', plan: of, picture: shown, state: Math.min(state, lastState(of)) });
  if (plate === plateId.value) {
    if (awaits(plan.value, picture.value)) throw new NoSubject(PICTURE_GONE);
    return named(plan.value.title, soundHand(), keptOf(picture.value));
  }
  const kept = shelf.value.find((one) => one.plate === plate);
  const alone = kept ? null : await checked(records.value.get(plate)?.plan);
  const of = kept?.plan ?? alone;
  if (!of) throw new NoSubject('The plan of this plate is neither in hand nor on the shelf: open it first.');
  const shown = kept ? await pictureOf(kept) : null;
  if (!shown && typeof of.picture.source !== 'string') throw new NoSubject(PICTURE_GONE);
  return named(kept?.name ?? of.title, of, shown);
}
