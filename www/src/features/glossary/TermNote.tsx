import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { panel } from '../../store/notifications.ts';
import { term } from '../../store/lessons.ts';
import { units } from '../../store/settings.ts';
import { inUnits } from '../../ui/inUnits.ts';
import { entry } from './entries.ts';
import { TermPicture } from './TermPicture.tsx';
import './glossary.css?sheet';

/** Room between the word and its note, and between note and window, px. */
const GAP = 6;
const EDGE = 12;

interface Props { id: string; at: RefObject<HTMLElement | null>; onClose: () => void }

/** A small note by the word it explains, over whatever sheet is open; Escape or a press elsewhere puts it away. */
export function TermNote({ id, at, onClose }: Props) {
  const note = useRef<HTMLSpanElement>(null);
  const found = entry(id);
  useEffect(() => {
    const on = note.current;
    if (!on || on.matches(':popover-open')) return undefined;
    on.showPopover();
    on.focus();
    const place = (): void => {
      const word = at.current?.getBoundingClientRect();
      if (!word) return;
      const { width, height } = on.getBoundingClientRect();
      const below = word.bottom + GAP + height + EDGE <= innerHeight;
      on.style.left = `${Math.max(EDGE, Math.min(word.left, innerWidth - width - EDGE))}px`;
      on.style.top = `${Math.max(EDGE, below ? word.bottom + GAP : word.top - GAP - height)}px`;
    };
    place();
    // Its picture comes later and makes it taller.
    const watch = new ResizeObserver(place);
    watch.observe(on);
    return () => watch.disconnect();
  }, [at]);
  const close = (event: Event): void => {
    if ((event as ToggleEvent).newState !== 'closed') return;
    // The keyboard goes back to the word, unless it has moved on by itself.
    if (document.activeElement === document.body || note.current?.contains(document.activeElement)) at.current?.focus();
    onClose();
  };
  const more = (): void => {
    note.current?.hidePopover();
    term.value = id;
    panel.value = 'glossary';
  };
  return (
    <span ref={note} popover="auto" class="term-note" role="dialog" aria-label={found.word} tabIndex={-1} onToggle={close}>
      <span class="term-word">{found.word}</span>
      <span class="term-words">{inUnits(found.words, units.value)}</span>
      {found.picture && <TermPicture entry={found} />}
      <button type="button" class="act" onClick={more}>all terms</button>
    </span>
  );
}
