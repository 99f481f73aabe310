import { useRef } from 'preact/hooks';
import { bitesDone, CUT_UM, fieldMm, FIELDS_MM, lens, placeLens, show } from '../../store/viewState.ts';
import { plan } from '../../store/plan.ts';
import { testerView } from '../../store/results.ts';
import { lengthWords, pane, units } from '../../store/settings.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { Term } from '../glossary/Term.tsx';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { useDrag } from '../../ui/pointer.ts';
import { TesterScale } from '../../ui/TesterScale.tsx';

/** Steps of the arrow keys as parts of the field. */
const STEP = 0.1;

/** The magnifier with its graduated frame: true grain of one small place. */
export function LinenTester() {
  const glass = useRef<HTMLDivElement>(null);
  const { x, y } = lens.value;
  const field = fieldMm.value * 1000;
  void units.value;

  const key = (event: KeyboardEvent): void => {
    const far = field * (event.shiftKey ? 1 : STEP);
    const moves: Record<string, [number, number]> = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, -far], ArrowDown: [0, far] };
    const move = moves[event.key];
    if (!move) return;
    event.preventDefault();
    placeLens(x + move[0], y + move[1]);
  };
  // The plate is drawn along under the glass.
  const grip = useDrag<{ x: number; y: number }>({
    move: (from, event) => {
      const side = glass.current?.getBoundingClientRect().width;
      if (!side) return;
      placeLens(lens.value.x - ((event.clientX - from.x) / side) * field, lens.value.y - ((event.clientY - from.y) / side) * field);
      Object.assign(from, { x: event.clientX, y: event.clientY });
    },
  });
  const cut = (50 * Math.min(CUT_UM, field)) / field;
  const what = show.value === 'print' ? 'The print' : `The copper from above, after ${bitesDone.value} of ${plan.value.bites.length} bites`;

  return (
    <section class="tester" aria-labelledby="tester-title" data-shown={pane.value === 'tester'}>
      <header class="tester-head">
        <h2 id="tester-title"><Term id="linen-tester">Linen tester</Term></h2>
        <div role="radiogroup" aria-label="What the linen tester shows">
          <Words name="tester-show" options={[['print', 'print'], ['copper', 'copper']]} chosen={show.value}
            onChoose={(word) => { show.value = word === 'copper' ? 'copper' : 'print'; }} />
        </div>
      </header>
      <div class="tester-room">
        <div class="tester-glass" tabIndex={0} role="group"
          aria-label="Linen tester. Arrow keys move it over the proof, with shift by a whole field."
          onKeyDown={key}
          {...grip((event) => ({ x: event.clientX, y: event.clientY }))}>
          <div class="tester-field" ref={glass}>
            <PixelCanvas pixels={testerView.value} class="tester-picture"
              label={`${what}, a field ${lengthWords(fieldMm.value)} wide, ${lengthWords(x / 1000, 1)} from the left and ${lengthWords(y / 1000, 1)} from the top of the picture`} />
            <span class="tester-cut" style={{ left: `${50 - cut}%`, width: `${2 * cut}%` }} />
          </div>
          <TesterScale field_um={field} />
        </div>
      </div>
      <footer class="tester-foot">
        <div role="radiogroup" aria-label="Width of the field">
          <Words name="tester-field" options={FIELDS_MM.map((mm) => [String(mm), String(mm)] as const)} chosen={String(fieldMm.value)}
            onChoose={(word) => { fieldMm.value = Number(word); }} />
          <span class="unit">mm field</span>
        </div>
        <p class="tester-place" title="From the left and from the top of the picture">at <span class="number">{lengthWords(x / 1000, 1).replace(/ .*/, '')}</span>, <span class="number">{lengthWords(y / 1000, 1)}</span></p>
      </footer>
    </section>
  );
}
