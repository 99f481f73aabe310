import { readNumber } from './numbers.ts';
import type { Place } from './pointer.ts';
import './marks.css?sheet';

/* Greys beside a print whose L* or density is known: they tell what a camera does to tones. */

/** A known grey, as it is typed. */
export interface Grey { at: Place; value: string }

/** Most greys that are marked. */
export const MOST_GREYS = 12;

/** Letter of a known grey’s mark. */
export const greyWord = (grey: number): string => String.fromCharCode(65 + grey);

export const soundGrey = ({ value }: Grey): boolean => value.trim() !== '' && readNumber(value) >= 0 && readNumber(value) <= 100;

/** Place and L* or density of each, in a row. */
export const greyNumbers = (greys: Grey[]): number[] => greys.flatMap(({ at, value }) => [at.x, at.y, readNumber(value)]);

/** One more, each beside the one before, so that no mark covers another. */
export const greyAfter = (greys: Grey[], { width, height }: { width: number; height: number }): Grey =>
  ({ at: { x: width * (0.1 + 0.07 * greys.length), y: height * 0.92 }, value: '' });

/** What each of them reads. */
export function GreyEntries({ greys, onChange }: { greys: Grey[]; onChange: (next: Grey[]) => void }) {
  const set = (grey: number, value: string): void => onChange(greys.map((old, i) => (i === grey ? { ...old, value } : old)));
  return (
    <>
      {greys.map((grey, i) => {
        const fine = grey.value === '' || soundGrey(grey);
        return (
          <p key={i} class="mark-line">
            <label>Grey {greyWord(i)}: its L* or density <input class="entry-value mark-grey" inputMode="decimal" aria-label={`L* or density of grey ${greyWord(i)}`} value={grey.value}
              aria-invalid={!fine} onInput={(event) => set(i, event.currentTarget.value)} /></label>
            <span class={fine ? 'unit' : 'problem'}>{fine ? `draw the mark ${greyWord(i)} onto it` : 'give an L* of 0 to 100, or a density'}</span>
            <button type="button" class="quiet" aria-label={`Grey ${greyWord(i)}: remove`} onClick={() => onChange(greys.filter((_, other) => other !== i))}>remove</button>
          </p>
        );
      })}
    </>
  );
}
