import type { SampleNumbers } from '../../engine/protocol.ts';
import { CUT_WIDTH_UM, deepestOf, type Patch, type StripWork } from './strip.ts';
import { lengthWords } from '../../store/settings.ts';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { CutThumb } from './CutThumb.tsx';

/** Numbers told of every patch in a row, with their unit. */
export const LINES: { name: string; unit: string; of: (numbers: SampleNumbers) => string }[] = [
  { name: 'lightness', unit: 'L*', of: (n) => n.lightness.toFixed(1) },
  { name: 'density', unit: '', of: (n) => n.density.toFixed(2) },
  { name: 'cover', unit: '%', of: (n) => (100 * n.cover).toFixed(0) },
  { name: 'median dome', unit: 'µm', of: (n) => n.median_footprint_um.toFixed(0) },
  { name: 'mean depth', unit: 'µm', of: (n) => n.mean_depth_um.toFixed(1) },
  { name: 'ink in pits', unit: 'µm', of: (n) => n.held_um.toFixed(1) },
];

/** What a printmaker writes under a row of patches: grain, cut and numbers of each. */
export function StripRecord({ work, words }: { work: StripWork; words: (patch: Patch) => string }) {
  const { patches } = work;
  const deepest_um = deepestOf(work);
  return (
    <>
      <tr class="strip-record">
        <th scope="row">grain, {lengthWords(2)}</th>
        {patches.map((patch, i) => (
          <td key={i}>
            <div class="strip-grain">
              {patch.look && <PixelCanvas pixels={patch.look.grain} class="strip-grain-picture" label={`Grain, ${words(patch)}, a field ${lengthWords(2)} wide`} />}
            </div>
          </td>
        ))}
      </tr>
      <tr class="strip-record">
        <th scope="row">section, {lengthWords(CUT_WIDTH_UM / 1000, 1)}</th>
        {patches.map((patch, i) => (
          <td key={i}>
            {patch.look && <CutThumb cut={patch.look.cut} width_um={CUT_WIDTH_UM} bites={patch.value} deepest_um={deepest_um} />}
          </td>
        ))}
      </tr>
      {LINES.map(({ name, unit, of }) => (
        <tr key={name} class="strip-record strip-line">
          <th scope="row">{name}{unit && <span class="unit">{` ${unit}`}</span>}</th>
          {patches.map(({ numbers, rough, wrong }, i) => (
            <td key={i} data-rough={rough}>{wrong !== null ? '–' : numbers ? of(numbers) : ''}</td>
          ))}
        </tr>
      ))}
    </>
  );
}
