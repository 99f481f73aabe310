import type { ComponentChildren } from 'preact';
import { useRef, useState } from 'preact/hooks';
import { later } from '../../ui/Later.tsx';

const TermNote = later('The note', async () => (await import('./TermNote.tsx')).TermNote);

/** A word of the trade that explains itself when pressed. What it says is fetched then. */
export function Term({ id, children }: { id: string; children: ComponentChildren }) {
  const button = useRef<HTMLButtonElement>(null);
  const [open, setOpen] = useState(false);
  return (
    <>
      <button ref={button} type="button" class="term" aria-expanded={open} onClick={() => setOpen(!open)}>{children}</button>
      {open && <TermNote id={id} at={button} onClose={() => setOpen(false)} />}
    </>
  );
}

const MARK = /\[\[([a-z-]+)(?:\|([^\]]+))?\]\]|\{[\d=]+\}/;

/** Words in which `[[term]]` or `[[term|as shown]]` leads to the glossary, but for `plain` ones. Numbers of checks, as `{3}`, are not shown. */
export function Marked({ words, plain = false }: { words: string; plain?: boolean }) {
  // Splitting gives text, id, shown, text, … with nothing for both where a check's number stood.
  const pieces = plain ? [words] : words.split(MARK);
  return (
    <>
      {pieces.map((piece, i) => {
        if (i % 3 === 0) return piece;
        const id = pieces[i];
        return i % 3 === 1 && id ? <Term key={i} id={id}>{pieces[i + 1] ?? id.replaceAll('-', ' ')}</Term> : null;
      })}
    </>
  );
}
