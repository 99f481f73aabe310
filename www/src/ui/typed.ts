import type { JSX } from 'preact';
import { useId, useState } from 'preact/hooks';

interface Typing {
  /** How the number stands there when nobody is typing. */
  shown: string;
  /** Why words can't be taken; empty when they can. */
  wrong: (text: string) => string;
  take: (text: string) => void;
}

interface Typed {
  /** What the input takes over. */
  entry: JSX.IntrinsicElements['input'];
  /** What is wrong with what stands there, and the id for the element that says so. */
  said: string;
  saidId: string;
  putBack: () => void;
}

/**
 * A number typed into a panel: it is taken with Enter, or when the entry is left. What can't be taken stays as it was
 * typed, with a sentence for it; when another number comes from elsewhere that one shows.
 */
export function useTyped({ shown, wrong, take }: Typing): Typed {
  const saidId = useId();
  const [typed, setTyped] = useState<{ text: string; over: string; said: string } | null>(null);
  const now = typed?.over === shown ? typed : null;
  return {
    entry: {
      inputMode: 'decimal', autocomplete: 'off', spellcheck: false, value: now?.text ?? shown,
      'aria-invalid': Boolean(now?.said), ...(now?.said && { 'aria-describedby': saidId }),
      onFocus: (event) => event.currentTarget.select(),
      onInput: (event) => {
        const text = event.currentTarget.value;
        // A complaint goes as soon as it no longer holds, and comes only when the entry is left.
        setTyped({ text, over: shown, said: now?.said ? wrong(text) : '' });
      },
      onChange: (event) => {
        const text = event.currentTarget.value;
        const said = wrong(text);
        setTyped(said ? { text, over: shown, said } : null);
        if (!said) take(text);
      },
    },
    said: now?.said ?? '', saidId,
    putBack: () => setTyped(null),
  };
}
