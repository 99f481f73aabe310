import { lightnessOfDensity } from '../../state/tones';
import { useDraft } from '../plan/draft';

interface Props { kind: 'lightness' | 'density'; index: number; value: number; onChange: (lightness: number) => void }

/** One wanted value, typed as L* or as density. */
export function WantedEntry({ kind, index, value, onChange }: Props) {
  const digits = kind === 'density' ? 2 : 1;
  const [typed, setTyped] = useDraft(value);
  const limits: [number, number] = kind === 'density' ? [0, 2] : [0, 100];
  return (
    <input class="entry-value back-entry" inputMode="decimal" autocomplete="off"
      aria-label={kind === 'density' ? `Density asked of value ${index + 1}` : `L* asked of value ${index + 1}`}
      value={typed ?? value.toFixed(digits)}
      onInput={(event) => setTyped(event.currentTarget.value)}
      onFocus={(event) => event.currentTarget.select()}
      onChange={(event) => {
        const number = Number(event.currentTarget.value.replace(',', '.'));
        setTyped(null);
        if (event.currentTarget.value.trim() === '' || !(number >= limits[0] && number <= limits[1])) {
          event.currentTarget.value = value.toFixed(digits);
          return;
        }
        onChange(kind === 'density' ? lightnessOfDensity(number) : number);
      }} />
  );
}
