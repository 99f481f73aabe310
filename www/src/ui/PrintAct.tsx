import { useEffect, useState } from 'preact/hooks';

interface Props { words: string; ready: boolean; class?: string }

/** Prints at once, or as soon as all is in: nothing goes out to the bench without its numbers. */
export function PrintAct({ words, ready, class: extra = 'act' }: Props) {
  const [waiting, setWaiting] = useState(false);
  useEffect(() => {
    if (!waiting || !ready) return;
    setWaiting(false);
    print();
  }, [waiting, ready]);
  return (
    <button type="button" class={extra} aria-disabled={waiting} onClick={() => setWaiting(!waiting)}
      title={waiting ? 'Press again to leave it' : ready ? '' : 'Prints when all its numbers are in'}>
      {waiting ? 'prints when all is in' : words}
    </button>
  );
}

/** The browser's own print command can't be made to wait: on paper, what is missing is said. */
export function NotYetWhole({ what }: { what: string }) {
  return <p class="paper-only not-whole">Printed before {what} were in. Wait until the page shows them, then print this sheet again.</p>;
}
