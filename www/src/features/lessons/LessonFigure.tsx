import { CUT_WIDTH_UM } from '../strip/strip.ts';
import { lengthWords } from '../../store/settings.ts';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { CutDrawing } from '../../ui/CutDrawing.tsx';
import { patchWords } from '../strip/StripView.tsx';
import type { LessonWork } from './work.ts';

/** Grain and cut of a patch, small, beside the words that speak of it: on a phone and on paper. */
export function LessonFigure({ work, at }: { work: LessonWork; at: number }) {
  const { strip, looks } = work;
  const seen = looks.value.get(at);
  const patch = strip.patches[at];
  if (!patch) return null;
  const words = patchWords(strip, patch);
  return (
    <figure class="lesson-figure">
      <div class="lesson-grain"><PixelCanvas pixels={seen?.grain ?? null} label={`Grain of the patch: ${words}, a field ${lengthWords(2)} wide`} /></div>
      {seen && <CutDrawing cut={seen.cut} width_um={CUT_WIDTH_UM} bites={patch.value} inked deepest_um={0} />}
      <figcaption>{words}{patch.numbers && `: L* ${patch.numbers.lightness.toFixed(0)}`}</figcaption>
    </figure>
  );
}
