import { drawn, LETTERS, sides } from './compare.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';

/** The value scales one under another, each value beneath its like. */
export function CompareScales() {
  void drawn.value;
  const all = sides.value;
  const most = Math.max(0, ...all.map((side) => side.summary?.values.length ?? 0));
  if (most === 0) return null;
  const scopes = all.flatMap((side, i) => (side.summary?.values_scope ? [`${LETTERS[i]}: ${side.summary.values_scope}`] : []));
  return (
    <>
      {scopes.map((words) => <p key={words} class="scale-scope">{words}</p>)}
      <div class="scale-scroll" tabIndex={0} role="group" aria-label="Value scales, scroll sideways when narrow">
        <table class="scale-table compare-scales" style={{ '--values': most }}>
          <caption class="unseen">Value scales of the plans, value under value: minutes in the bath and lightness L*</caption>
          <thead>
            <tr>
              <th scope="col"><span class="unseen">Plan</span></th>
              {Array.from({ length: most }, (_, i) => <th scope="col" key={i}><span class="patch-name">{i === 0 ? 'paper' : i}</span></th>)}
            </tr>
          </thead>
          <tbody>
            {all.map((side, i) => (
              <tr key={side.key}>
                <th scope="row">{LETTERS[i]} <span class="unit">min, L*</span></th>
                {Array.from({ length: most }, (_, index) => {
                  const value = side.summary?.values[index];
                  return (
                    <td key={index}>
                      {value && (
                        <>
                          <PixelCanvas pixels={side.patches[index] ?? null} class="patch"
                            label={index === 0 ? `What ${LETTERS[i]} keeps white` : `Value ${index} of ${LETTERS[i]}`} />
                          {index === 0 ? '–' : minutesWords(value.cumulative_min)}, <span class="number">{value.lightness.toFixed(0)}</span>
                        </>
                      )}
                    </td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}
