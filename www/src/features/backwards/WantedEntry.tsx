import { rangeOf } from '../../store/catalogue.ts';
import { numberProblem, readNumber } from '../../ui/numbers.ts';
import { densityWords, lightnessOfDensity } from '../../store/tones.ts';
import { useTyped } from '../../ui/typed.ts';

interface Props { index: number; lightness: number; onChange: (lightness: number) => void }

/** The cells of one wanted value, typed as L* or as density, and what is to be said of what was typed. */
export function useWanted({ index, lightness, onChange }: Props) {
  const l = useTyped({
    shown: lightness.toFixed(1), wrong: (text) => numberProblem(text, rangeOf('picture.thresholds_l'), 'L*'), take: (text) => onChange(readNumber(text)),
  });
  const density = useTyped({
    shown: densityWords(lightness), wrong: (text) => numberProblem(text, [0, 2]), take: (text) => onChange(lightnessOfDensity(readNumber(text))),
  });
  return {
    cells: (
      <>
        <td><input class="entry-value back-entry" aria-label={`L* asked of value ${index + 1}`} {...l.entry} /></td>
        <td><input class="entry-value back-entry" aria-label={`Density asked of value ${index + 1}`} {...density.entry} /></td>
      </>
    ),
    said: [l, density].filter((one) => one.said !== ''),
  };
}
