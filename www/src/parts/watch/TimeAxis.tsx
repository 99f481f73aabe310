import type { WatchWork } from '../../state/watch';
import { lengthOf, nameOf, whenOf } from './momentWords';

/** The whole work on one axis: each stage with its name and its own time, and a mark to draw along. */
export function TimeAxis({ work, onSee }: { work: WatchWork; onSee: (at: number) => void }) {
  const at = work.at.value;
  const spans = work.spans.value;
  const found = work.spanOf(at);
  return (
    <div class="watch-time">
      <input type="range" class="watch-range" min={0} max={work.last} step={1} value={at} disabled={spans.length === 0}
        aria-label="Moment of the work" aria-valuetext={found ? whenOf(found.span.stage, found.share) : ''}
        onInput={(event) => onSee(Number(event.currentTarget.value))} />
      <ol class="watch-stages">
        {spans.map(({ stage, index, first, count }) => (
          <li key={index} style={`flex-grow:${count}`} data-now={found?.span.index === index} data-work={stage.work}>
            <button type="button" aria-current={found?.span.index === index ? 'step' : undefined} onClick={() => onSee(first)}>
              <span class="watch-name">{stage.work === 'bite' ? <><span class="unseen">bite </span>{stage.bite}</> : nameOf(stage)}</span>{' '}
              <span class="watch-length">
                {stage.work === 'bite' ? <>{lengthOf(stage).replace(' min', '')}<span class="unseen"> min</span></> : lengthOf(stage)}
              </span>
            </button>
          </li>
        ))}
      </ol>
    </div>
  );
}
