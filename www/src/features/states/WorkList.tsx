import type { Work } from '../../engine/protocol.ts';
import { changeWork, infoOf, takeOutWork } from './states.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';
import { GroundEntries } from './GroundEntries.tsx';
import { Passes, passWords } from './Tools.tsx';

/** What is done in the state looked at, in order; each piece can be changed or taken out. */
export function WorkList({ work }: { work: Work[] }) {
  if (!work.length) return <p class="why">No work yet: it prints as the state before.</p>;
  return (
    <ol class="work-list" aria-label="Work of this state">
      {work.map((one, i) => (
        <li key={i}>
          <span class="work-name">{nameOf(one)}</span>
          <button type="button" class="quiet" aria-label={`Remove ${nameOf(one)}, piece ${i + 1}`} onClick={() => takeOutWork(i)}>remove</button>
          {'tool' in one
            ? <Passes tool={one.tool.tool} take={one.tool.take_um} onSet={(take_um) => changeWork('how far down', i, { tool: { ...one.tool, take_um } })} />
            : <GroundEntries ground={one.ground} index={i} />}
        </li>
      ))}
    </ol>
  );
}

function nameOf(work: Work): string {
  if ('tool' in work) {
    const { tool, passage, take_um } = work.tool;
    const name = infoOf(tool)?.name ?? tool;
    return `${name[0]?.toUpperCase()}${name.slice(1)}, ${passage ? 'a passage' : 'a stroke'}, ${passWords(tool, take_um)}`;
  }
  const minutes = work.ground.bites.reduce((sum, bite) => sum + bite.bite_min, 0);
  return `New ground${work.ground.outline_mm.length ? ' in a passage' : ''}, ${minutesWords(minutes)} min`;
}
