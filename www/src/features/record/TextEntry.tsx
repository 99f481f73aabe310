import { useEffect, useRef, useState } from 'preact/hooks';

interface Props { label: string; value: string; most: number; placeholder?: string; long?: boolean; class?: string; onSave: (text: string) => void }

/** Quiet time after which what is typed is kept, ms. */
const AFTER_MS = 300;

/** Words in a record. They are kept while they are typed: whoever closes the page in the middle loses nothing. */
export function TextEntry({ label, value, most, placeholder, long = false, class: extra = '', onSave }: Props) {
  const [typed, setTyped] = useState<string | null>(null);
  const waiting = useRef<{ text: string; save: (text: string) => void } | null>(null);
  const timer = useRef(0);
  const flush = useRef(() => {
    clearTimeout(timer.current);
    const last = waiting.current;
    waiting.current = null;
    last?.save(last.text);
  }).current;
  useEffect(() => {
    addEventListener('pagehide', flush);
    return () => {
      removeEventListener('pagehide', flush);
      flush();
    };
  }, [flush]);
  const input = (text: string): void => {
    setTyped(text);
    waiting.current = { text, save: onSave };
    clearTimeout(timer.current);
    timer.current = window.setTimeout(flush, AFTER_MS);
  };
  const all = {
    class: `record-text ${extra}`, 'aria-label': label, placeholder, maxLength: most, value: typed ?? value,
    onBlur: () => { flush(); setTyped(null); },
  };
  return long
    ? <textarea {...all} rows={2} onInput={(event) => input(event.currentTarget.value)} />
    : <input {...all} autocomplete="off" onInput={(event) => input(event.currentTarget.value)} />;
}

/** A day, as the browser has it typed or chosen. */
export function DayEntry({ label, value, onSave }: { label: string; value: string; onSave: (day: string) => void }) {
  return (
    <input type="date" class="record-day" aria-label={label} value={value} required onChange={(event) => {
      const { value: day } = event.currentTarget;
      if (/^\d{4}-\d\d-\d\d$/.test(day)) onSave(day);
      else event.currentTarget.value = value;
    }} />
  );
}
