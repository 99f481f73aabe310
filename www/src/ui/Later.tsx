import type { FunctionComponent } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { ahead } from '../engine/ahead.ts';
import type { PartFault } from '../engine/partFault.ts';
import { Fault } from './Fault.tsx';

/**
 * A part of the page that is fetched when it is first shown. In the single file it is there already;
 * in the hosted folder it is a file of its own, so that the page opens light.
 * `what` names it in a sentence: "The shelf could not be fetched".
 */
export function later<P extends object>(what: string, load: () => Promise<FunctionComponent<P>>): FunctionComponent<P> {
  let part: FunctionComponent<P> | null = null;
  const fetchPart = ahead(async () => (part = await load()), what);
  return function Later(props: P) {
    const [tries, setTries] = useState(0);
    const [failed, setFailed] = useState<PartFault | null>(null);
    const [Shown, setShown] = useState<{ part: FunctionComponent<P> } | null>(part ? { part } : null);
    useEffect(() => {
      if (Shown) return undefined;
      let here = true;
      setFailed(null);
      fetchPart().then((found) => { if (here) setShown({ part: found }); }, (fault: PartFault) => { if (here) setFailed(fault); });
      return () => { here = false; };
    }, [tries, Shown]);
    if (Shown) return <Shown.part {...props} />;
    return failed ? <Fault of={failed} again={() => setTries(tries + 1)} /> : <p class="later" role="status">One moment</p>;
  };
}
