import type { Plan, SampleNumbers } from '../../engine/protocol.ts';
import { CUT_WIDTH_UM, deepestOf, type Detail, type Patch, type StripWork } from './strip.ts';
import { lengthWords } from '../../store/settings.ts';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { CutDrawing } from '../../ui/CutDrawing.tsx';
import { TesterScale } from '../../ui/TesterScale.tsx';

/** What is told of a patch: name, unit, and how it is read from its numbers. */
export const FIGURES: { name: string; unit: string; of: (numbers: SampleNumbers) => string }[] = [
  { name: 'Lightness', unit: 'L*', of: (n) => n.lightness.toFixed(1) },
  { name: 'Density', unit: '', of: (n) => n.density.toFixed(2) },
  { name: 'Dust seen from above', unit: '%', of: (n) => (100 * n.loose_cover).toFixed(0) },
  { name: 'Dust seen at a low angle', unit: '%', of: (n) => (100 * n.low_angle_cover).toFixed(0) },
  { name: 'Cover of the ground', unit: '%', of: (n) => (100 * n.cover).toFixed(0) },
  { name: 'Domes', unit: 'per mm²', of: (n) => n.domes_per_mm2.toFixed(0) },
  { name: 'Median dome', unit: 'µm', of: (n) => n.median_footprint_um.toFixed(0) },
  { name: 'Bake', unit: '', of: (n) => ({ under: 'under-baked', good: 'good', over: 'over-baked' }[n.doneness]) },
  { name: 'In the bath', unit: 'min', of: (n) => String(n.minutes) },
  { name: 'Mean depth', unit: 'µm', of: (n) => n.mean_depth_um.toFixed(1) },
  { name: 'Copper still standing', unit: '%', of: (n) => (100 * n.land).toFixed(0) },
  { name: 'Ink in the pits', unit: 'µm', of: (n) => n.held_um.toFixed(1) },
];

/** Those that lessons speak of. */
const FEW = new Set(['Lightness', 'Dust seen from above', 'Dust seen at a low angle', 'Cover of the ground', 'Domes', 'Median dome', 'Copper still standing', 'Ink in the pits']);

interface Props {
  work: StripWork; patch: Patch | null; words: string;
  onTake?: ((plan: Plan, what: string) => void) | undefined;
  /** A close look kept by the caller, instead of the strip's newest. */
  look?: Detail | null;
  /** Only the numbers that a lesson speaks of. */
  few?: boolean;
}

/** The chosen patch: its grain under the linen tester, the cut through it, and its numbers. */
export function StripDetail({ work, patch, words, onTake, look, few = false }: Props) {
  if (!patch) return null;
  const seen = work.detail.value;
  const here = look !== undefined ? look : seen?.patch === patch ? seen : null;
  const { numbers, wrong } = patch;
  const takes = onTake && canTake(work, patch);
  return (
    <section class="strip-detail" aria-label={`Patch: ${words}`}>
      <header class="strip-detail-head">
        <h3>{words}</h3>
        {takes && <button type="button" class="act" onClick={() => onTake(patch.plan, words)}>Take it into the plan</button>}
      </header>
      {wrong !== null && <p class="problem">{wrong}</p>}
      {wrong === null && (
        <div class="strip-look">
          <div class="tester-glass strip-glass" role="group" aria-label="Linen tester">
            <div class="tester-field"><PixelCanvas pixels={here?.grain ?? null} class="tester-picture" label={`Grain of the patch: ${words}, a field ${lengthWords(2)} wide`} /></div>
            <TesterScale field_um={2000} />
          </div>
          <div class="strip-facts">
            {here && <CutDrawing cut={here.cut} width_um={CUT_WIDTH_UM} bites={patch.value} inked deepest_um={deepestOf(work)} />}
            <dl class="figures">
              {numbers && FIGURES.filter(({ name }) => !few || FEW.has(name)).map(({ name, unit, of }) => (
                <div key={name}><dt>{name}</dt><dd><span class="number">{of(numbers)}</span><span class="unit">{unit}</span></dd></div>
              ))}
            </dl>
          </div>
        </div>
      )}
    </section>
  );
}

/** One bite instead of the schedule is no plan of one's own. */
export function canTake(work: StripWork, { wrong, plan }: Patch): boolean {
  return wrong === null && work.settings.value !== null && plan.bites.length === work.base.bites.length;
}
