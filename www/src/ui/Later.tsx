import type { FunctionComponent } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { ahead } from '../engine/ahead.ts';

/**
 * A part of the page that is fetched when it is first shown. In the single file it is there already;
 * in the hosted folder it is a file of its own, so that the page opens light.
 * `what` names it in a sentence: "The shelf could not be fetched".
 */
export function later<P extends object>(what: string, load: () => Promise<FunctionComponent<P>>): FunctionComponent<P> {
  let part: FunctionComponent<P> | null = null;
  const fetchPart = ahead(async () => (part = await load()));
  return function Later(props: P) {
    const [tries, setTries] = useState(0);
    const [failed, setFailed] = useState(false);
    const [Shown, setShown] = useState<{ part: FunctionComponent<P> } | null>(part ? { part } : null);
    useEffect(() => {
      if (Shown) return undefined;
      let here = true;
      setFailed(false);
      fetchPart().then((found) => { if (here) setShown({ part: found }); }, () => { if (here) setFailed(true); });
      return () => { here = false; };
    }, [tries, Shown]);
    if (Shown) return <Shown.part {...props} />;
    return failed
      ? (
        <p class="later" role="alert">
          {what} could not be fetched. Your plan is safe; look at the connection.{' '}
          <button type="button" class="act" onClick={() => setTries(tries + 1)}>Try again</button>
        </p>
      )
      : <p class="later" role="status">One moment</p>;
  };
}
