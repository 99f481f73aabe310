import type { Span, WatchWork } from './watch.ts';
import { lengthOf, nameOf, partOf, whenOf } from './momentWords.ts';

interface Part { name: string; first: number; count: number; spans: Span[] }

/** The stages in the parts of the work that they belong to, in order. */
function partsOf(spans: Span[]): Part[] {
  const parts: Part[] = [];
  for (const span of spans) {
    const name = partOf(span.stage);
    const last = parts.at(-1);
    if (last?.name === name) {
      last.spans.push(span);
      last.count += span.count;
    } else parts.push({ name, first: span.first, count: span.count, spans: [span] });
  }
  return parts;
}

/**
 * The whole work on one axis: each stage with its name and its own time, and a mark to draw along. With lines or later
 * states the axis names the parts of the work, and the stages are those of the part that is seen.
 */
export function TimeAxis({ work, onSee }: { work: WatchWork; onSee: (at: number) => void }) {
  const at = work.at.value;
  const spans = work.spans.value;
  const found = work.spanOf(at);
  const parts = partsOf(spans);
  const seen = parts.find((part) => part.spans.some(({ index }) => index === found?.span.index));
  const inParts = parts.some(({ name }) => name !== 'first ground' && name !== 'proof');
  return (
    <div class="watch-time">
      <input type="range" class="watch-range" min={0} max={work.last} step={1} value={at} disabled={spans.length === 0}
        aria-label="Moment of the work" aria-valuetext={found ? whenOf(found.span.stage, found.share) : ''}
        onInput={(event) => onSee(Number(event.currentTarget.value))} />
      {inParts && (
        <ol class="watch-stages watch-parts" aria-label="Parts of the work">
          {parts.map((part) => (
            <li key={part.first} style={`flex-grow:${part.count}`} data-now={part === seen}>
              <button type="button" aria-current={part === seen ? 'step' : undefined} onClick={() => onSee(part.first)}>
                <span class="watch-name">{part.name}</span>
              </button>
            </li>
          ))}
        </ol>
      )}
      <ol class="watch-stages" aria-label={inParts && seen ? `Stages: ${seen.name}` : 'Stages of the work'}>
        {(inParts ? seen?.spans ?? [] : spans).map(({ stage, index, first, count }) => (
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
