import { useState } from 'preact/hooks';
import { capital } from '../../store/capital.ts';
import { catalogue } from '../../store/catalogue.ts';
import { withoutConstant } from '../../store/mend.ts';
import { change, plan, usePlan } from '../../store/plan.ts';
import { Entry } from '../../ui/Entry.tsx';

interface Uneven { name: string; label: string; unit: string; step: number }

/** What of a shop is uneven on every plate, by the step in which it is. What each constant is, and its range, is told in the Rust. */
const UNEVEN: Record<'dust' | 'bake' | 'bath', { title: string; all: Uneven[] }> = {
  dust: {
    title: 'How evenly this shop’s box dusts',
    all: [
      { name: 'dust.uneven_share', label: 'Here more, there less', unit: '%', step: 5 },
      { name: 'dust.wall_loss', label: 'Less at the edges', unit: '%', step: 5 },
      { name: 'dust.wall_reach_mm', label: 'So far inwards', unit: 'mm', step: 5 },
    ],
  },
  bake: {
    title: 'How evenly this shop’s hot plate heats',
    all: [{ name: 'bake.edge_cooler_c', label: 'The plate’s edges', unit: '°C less', step: 1 }],
  },
  bath: {
    title: 'How this shop’s bath cools as the day goes on',
    all: [
      { name: 'bite.cooling_per_h', label: 'Nearer to the room’s warmth', unit: '% an hour', step: 5 },
      { name: 'bite.between_bites_min', label: 'From one bite to the next', unit: 'min', step: 1 },
    ],
  },
};

/** What of a shop is uneven on every plate: constants of the plan's calibration, off at first. */
export function OwnShop({ step }: { step: keyof typeof UNEVEN }) {
  const { title, all } = UNEVEN[step];
  const own = usePlan(({ calibration = {} }) => all.some(({ name }) => name in calibration));
  const [open, setOpen] = useState(own);
  return (
    <details class="faults-fold screen-only" open={open || own} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{title}</summary>
      {all.map((one) => <OfShop key={one.name} {...one} />)}
    </details>
  );
}

function OfShop({ name, label, unit, step }: Uneven) {
  const known = catalogue.value?.constants.find(({ key }) => key === name);
  const own = usePlan(({ calibration = {} }) => calibration[name]);
  if (!known) return null;
  // Shares are shown in hundredths.
  const times = unit.startsWith('%') ? 100 : 1;
  const set = (shown: number): void => {
    const value = shown / times;
    const of = plan.value;
    change(label.toLowerCase(), value === known.default ? withoutConstant(of, name) : { ...of, calibration: { ...of.calibration, [name]: value } });
  };
  return (
    <div data-field={`calibration.${name}`}>
      <Entry label={label} unit={unit} value={Number((times * (own ?? known.default)).toFixed(2))} min={times * known.min} max={times * known.max} step={step} onSet={set} />
      <p class="why">{capital(known.meaning)}. Known from: {known.source}.</p>
    </div>
  );
}
