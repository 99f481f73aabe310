import type { StepPlate } from '../../engine/protocol.ts';
import { plan } from '../../store/plan.ts';
import { aboutWords } from './stepPlate.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';

/** Room for words round the plate in the drawing, mm. */
const ROOM = { top: 7, foot: 27 };

/** The step plate at true size with its minutes; on the screen no wider than there is room. */
export function Guide({ plate }: { plate: StepPlate }) {
  const { layout, bite_min, minutes, expected_l } = plate;
  const [wide, high] = [layout.width_mm, layout.height_mm + ROOM.top + ROOM.foot];
  const box = plan.value;
  return (
    <article class="step-guide" aria-label="The guide as it prints">
      <h4 class="step-guide-title">Step plate of {bite_min.length} steps, {minutesWords(minutes.at(-1) ?? 0)} minutes in all</h4>
      <p class="step-guide-about">
        Copper {layout.width_mm} × {layout.height_mm} mm. The dust as in the plan: {String(box.dust.wait_s)} s wait,
        {' '}{String(box.dust.dusting_min)} min in the box; {String(box.bake.bake_min)} min at {String(box.bake.hot_plate_c)} °C. {aboutWords()}.
      </p>
      <svg class="step-guide-plate" viewBox={`0 0 ${wide} ${high}`} style={{ '--wide': `${wide}mm`, '--high': `${high}mm` }} role="img"
        aria-label={`The print of the step plate, palest step at the left: ${minutes.map((all, i) => `step ${i + 1} ${minutesWords(all)} minutes`).join(', ')}`}>
        <rect class="step-plate" x={0.1} y={ROOM.top + 0.1} width={layout.width_mm - 0.2} height={layout.height_mm - 0.2} rx={1.6} />
        {layout.patches.map((patch, i) => (
          <g key={i}>
            <rect class="step-patch" x={patch.left_mm} y={patch.top_mm + ROOM.top} width={patch.width_mm} height={patch.height_mm}
              style={{ '--l': (expected_l[i] ?? 50).toFixed(1) }} />
            <text x={patch.left_mm + patch.width_mm / 2} y={ROOM.top - 2.5} class="step-number">{i + 1}</text>
            <text x={patch.left_mm + patch.width_mm / 2} y={ROOM.top + layout.height_mm + 4.5} class="step-own">{i === 0 ? '' : '+ '}{minutesWords(bite_min[i] ?? 0)}</text>
            <text x={patch.left_mm + patch.width_mm / 2} y={ROOM.top + layout.height_mm + 9} class="step-all">{minutesWords(minutes[i] ?? 0)} min</text>
            {[16, 23].map((down) => <line key={down} class="step-blank" x1={patch.left_mm} x2={patch.left_mm + patch.width_mm} y1={ROOM.top + layout.height_mm + down} y2={ROOM.top + layout.height_mm + down} />)}
          </g>
        ))}
        <text x={1} y={ROOM.top + layout.height_mm + 4.5} class="step-side">bite</text>
        <text x={1} y={ROOM.top + layout.height_mm + 9} class="step-side">in all</text>
        <text x={1} y={ROOM.top + layout.height_mm + 16} class="step-side">ran</text>
        <text x={1} y={ROOM.top + layout.height_mm + 23} class="step-side">reads</text>
      </svg>
      <ol class="step-guide-work">
        <li>Lay and bake the ground over the whole plate. Stop out all but the {bite_min.length} patches: 4 mm between them, 8 mm at the edge. This is how it prints; on the copper the first step lies at the right.</li>
        <li>Bite {minutesWords(bite_min[0] ?? 0)} minutes, stop out step 1; bite {minutesWords(bite_min[1] ?? 0)} more, stop out step 2; and so on. Write down what really ran.</li>
        <li>Ink, wipe and print it as you will print the plate. Leave 15 mm of clean paper round it.</li>
        <li>Dry, then read every step: with a densitometer, or from a flat scan or an evenly lit photograph without automatic corrections.</li>
      </ol>
      <p class="step-guide-about">Print it at 100 % (“actual size”) and hold a ruler to it. The bench sheet’s cautions for dust, hot plate, etchant and solvents hold for this plate too.</p>
    </article>
  );
}
