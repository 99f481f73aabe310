import { useEffect, useState } from 'preact/hooks';

interface Props { words: string; onStop?: () => void }

/** Something takes a while: what, and since how many seconds; it can be stopped. The ear is told once. */
export function Waiting({ words, onStop }: Props) {
  const [seconds, setSeconds] = useState(0);
  useEffect(() => {
    const timer = setInterval(() => setSeconds((before) => before + 1), 1000);
    return () => clearInterval(timer);
  }, []);
  return (
    <p class="finding waiting">
      <span class="waiting-mark" aria-hidden="true" /> {words}
      {seconds > 0 && <span aria-hidden="true"> <span class="number">{seconds}</span>&nbsp;s</span>}
      {onStop && <> <button type="button" class="quiet" onClick={onStop}>stop</button></>}
    </p>
  );
}
