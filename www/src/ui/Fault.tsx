import { loadAnew } from '../store/autosave.ts';
import { noStudies } from '../engine/studies.ts';
import { wayWords, type PartFault } from '../engine/partFault.ts';

/** Why a part of the page is not there, and the way on. */
export function Fault({ of, again }: { of: PartFault; again: () => void }) {
  return (
    <p class="later" role="alert">
      {of.message}{' '}
      <button type="button" class="act" onClick={of.way === 'again' ? again : loadAnew}>{wayWords(of.way)}</button>
    </p>
  );
}

/** Why there are no studies, where something here has asked for one. */
export function NoStudies() {
  const { fault, again } = noStudies.value ?? {};
  return fault && again ? <Fault of={fault} again={again} /> : null;
}
