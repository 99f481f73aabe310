import type { Work } from '../../reckon/protocol';
import { changeWork } from '../../state/states';
import { minutesWords } from '../plan/MinutesEntry';
import { Entry } from './Entry';
import { passWords } from './Tools';

const NAMES = { scraper: 'Scraper', point: 'Point', burnisher: 'Burnisher', polish: 'Charcoal' } as const;

/** What is done in the state looked at, in order; each piece can be changed or taken out. */
export function WorkList({ work }: { work: Work[] }) {
  if (!work.length) return <p class="why">No work yet: it prints as the state before.</p>;
  return (
    <ol class="work-list" aria-label="Work of this state">
      {work.map((one, i) => (
        <li key={i}>
          <span class="work-name">{nameOf(one)}</span>
          <button type="button" class="quiet" aria-label={`Take out ${nameOf(one)}, piece ${i + 1}`} onClick={() => changeWork('a piece of work taken out', i, null)}>take out</button>
          {'tool' in one
            ? <Entry label="Down" unit="µm" value={one.tool.take_um} min={0.1} max={200} step={0.1} onSet={(take_um) => changeWork('how far down', i, { tool: { ...one.tool, take_um: Math.round(take_um * 10) / 10 } })} />
            : one.ground.bites.map((bite, j) => (
              <Entry key={j} label={`Bite of values from ${bite.from_value}`} unit="min" value={bite.bite_min} min={0.25} max={120} step={0.25}
                onSet={(minutes) => changeWork('a bite under the new ground', i, {
                  ground: { ...one.ground, bites: one.ground.bites.map((old, k) => (k === j ? { ...old, bite_min: Math.round(minutes * 4) / 4 } : old)) },
                })} />
            ))}
        </li>
      ))}
    </ol>
  );
}

function nameOf(work: Work): string {
  if ('tool' in work) {
    const { tool, passage, take_um } = work.tool;
    return `${NAMES[tool]}, ${passage ? 'a passage' : 'a stroke'}, ${passWords(tool, take_um)}`;
  }
  const minutes = work.ground.bites.reduce((sum, bite) => sum + bite.bite_min, 0);
  return `New ground${work.ground.outline_mm.length ? ' in a passage' : ''}, ${minutesWords(minutes)} min`;
}
