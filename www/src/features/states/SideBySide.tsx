import { useEffect, useState } from 'preact/hooks';
import { pool } from '../../engine/scheduler.ts';
import { fieldMm, lens, printed, state } from '../../store/viewState.ts';
import type { Image } from '../../engine/protocol.ts';
import { soundPlan } from '../../store/results.ts';
import { shown, states } from './states.ts';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';

/** Pixels to the side of each small field. */
const SIDE_PX = 250;

/** All states under one linen tester. */
export function SideBySide() {
  const count = states().length + 1;
  const [views, setViews] = useState<(Image | null)[]>([]);
  const { x, y } = lens.value;
  const field = fieldMm.value;

  useEffect(() => {
    if (count < 2) return undefined;
    let here = true;
    const px_um = (field * 1000) / SIDE_PX;
    const run = async (): Promise<void> => {
      for (let number = 1; number <= count && here; number += 1) {
        const pixels = await pool.askNumbers('state_window', number, {
          place: { left_um: x - field * 500, top_um: y - field * 500, width_px: SIDE_PX, height_px: SIDE_PX, px_um }, show: 'print',
        });
        if (here) setViews((before) => Array.from({ length: count }, (_, i) => (i === number - 1 ? pixels : before[i] ?? null)));
      }
    };
    // A drag of the tester only ever needs its end.
    const timer = setTimeout(() => { run().catch(() => undefined); }, 250);
    return () => { here = false; clearTimeout(timer); };
  }, [x, y, field, count, soundPlan.value, printed.value]);

  if (count < 2) return null;
  return (
    <div class="states-part">
      <h3>Under one linen tester</h3>
      <ul class="side-by-side">
        {Array.from({ length: count }, (_, i) => (
          <li key={i}>
            <button type="button" aria-pressed={shown() === i + 1} onClick={() => { state.value = i + 1; }}>
              <PixelCanvas pixels={views[i] ?? null} class="patch" label={`State ${i + 1} under the linen tester`} />
              <span>state {i + 1}</span>
            </button>
          </li>
        ))}
      </ul>
    </div>
  );
}
