import { drawn, loupe, moveLoupe, type Side } from './compare.ts';
import { fieldMm } from '../../store/viewState.ts';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { TesterScale } from '../../ui/TesterScale.tsx';
import { CompareProof } from './CompareProof.tsx';

/** Steps of the arrow keys as parts of the field. */
const STEP = 0.25;

/** One print of several, and the linen tester over it. */
export function SideViews({ side, letter }: { side: Side; letter: string }) {
  // The side itself is the same object when something new is drawn.
  void drawn.value;
  const field = fieldMm.value * 1000;
  const key = (event: KeyboardEvent): void => {
    const { width_mm, height_mm } = side.plan.plate;
    const far = fieldMm.value * (event.shiftKey ? 4 : STEP);
    const moves: Record<string, [number, number]> = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, -far], ArrowDown: [0, far] };
    const move = moves[event.key];
    if (!move) return;
    event.preventDefault();
    moveLoupe(loupe.value.u + move[0] / width_mm, loupe.value.v + move[1] / height_mm);
  };
  if (side.wrong !== null) return <p class="problem" role="alert">{side.wrong}</p>;
  return (
    <>
      <CompareProof side={side} letter={letter} />
      <div class="tester-glass compare-glass" tabIndex={0} role="group" onKeyDown={key}
        aria-label={`Linen tester over ${letter}; it moves over all proofs at once. Arrow keys move it.`}>
        <div class="tester-field">
          <PixelCanvas pixels={side.tester} class="tester-picture" label={`Grain of ${letter} in a field ${fieldMm.value} mm wide`} />
        </div>
        <TesterScale field_um={field} />
      </div>
    </>
  );
}
