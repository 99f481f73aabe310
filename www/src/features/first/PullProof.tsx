import { useEffect, useMemo, useRef } from 'preact/hooks';
import { proofPulled } from '../../store/firstTime.ts';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { useKeyboardHere } from '../../ui/keyboardHere.ts';
import { useStillness } from '../../ui/stillness.ts';
import { Pull } from './first.ts';
import './first.css?sheet';

/** Over the proof: how it came into being, at one dark place of the plate. One press ends it. */
export function PullProof() {
  const still = useStillness();
  const skip = useRef<HTMLButtonElement>(null);
  useKeyboardHere(skip);
  const pull = useMemo(() => new Pull(still, proofPulled), [still]);
  useEffect(() => {
    // On a phone the picture may have been chosen far down the page.
    document.querySelector('.stage')?.scrollIntoView({ block: 'start' });
    void pull.run();
    return () => pull.end();
  }, [pull]);
  const now = pull.now.value;
  const shown = still ? pull.stills.value : now ? [now] : [];
  return (
    <div class="pull" data-still={still} role="group" aria-label="Your first proof is pulled">
      {shown.map(({ moment, words, work }) => (
        <figure key={still ? work : 'now'}>
          <PixelCanvas pixels={moment} label={words} class="pull-picture" />
          <figcaption>{still ? words : <span role="status">{words}</span>}</figcaption>
        </figure>
      ))}
      {shown.length === 0 && <p role="status">The plate is being made ready</p>}
      <button type="button" class="act" ref={skip} onClick={proofPulled}>{still ? 'go to the proof' : 'skip'}</button>
    </div>
  );
}
