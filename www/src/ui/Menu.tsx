import type { ComponentChildren } from 'preact';
import { useEffect, useId, useRef, useState } from 'preact/hooks';

interface Props { name: string; label?: string; class?: string; children: ComponentChildren }

/**
 * A word that unfolds a list of acts. A choice, a press elsewhere and Escape fold it again, and the keyboard goes
 * back to the word; a list that the keyboard leaves folds itself.
 */
export function Menu({ name, label, class: extra = '', children }: Props) {
  const [open, setOpen] = useState(false);
  const id = useId();
  const host = useRef<HTMLDivElement>(null);
  const word = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (!open) return undefined;
    const elsewhere = (event: Event): void => { if (!host.current?.contains(event.target as Node)) setOpen(false); };
    addEventListener('pointerdown', elsewhere);
    addEventListener('focusin', elsewhere);
    return () => { removeEventListener('pointerdown', elsewhere); removeEventListener('focusin', elsewhere); };
  }, [open]);
  const key = (event: KeyboardEvent): void => {
    if (event.key === 'Escape' && open) {
      event.preventDefault();
      setOpen(false);
      word.current?.focus();
      return;
    }
    const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (by === undefined || !open) return;
    event.preventDefault();
    const acts = [...host.current?.querySelectorAll<HTMLElement>('.menu-list button:enabled') ?? []];
    const at = acts.indexOf(document.activeElement as HTMLElement);
    acts[(at < 0 ? (by > 0 ? 0 : acts.length - 1) : at + by + acts.length) % acts.length]?.focus();
  };
  const chosen = (event: MouseEvent): void => {
    if (!(event.target instanceof Element) || !event.target.closest('button')) return;
    // What opens a panel gives the keyboard back to the word when the panel is closed.
    word.current?.focus();
    setOpen(false);
  };
  return (
    <div class={`menu ${extra}`} ref={host} onKeyDown={key}>
      <button type="button" class="quiet menu-word" ref={word} aria-expanded={open} aria-controls={id} aria-label={label} onClick={() => setOpen(!open)}>{name}</button>
      <div class="menu-list" id={id} hidden={!open} onClick={chosen}>{children}</div>
    </div>
  );
}

interface ActProps { what: string; about?: string; disabled?: boolean; onClick: () => void }

/** One act of a list, with a few words on what it is for. */
export function Act({ what, about, disabled = false, onClick }: ActProps) {
  const id = useId();
  return (
    <button type="button" class="menu-act" disabled={disabled} aria-labelledby={id} onClick={onClick}>
      <span id={id}>{what}</span>
      {about && <span class="menu-about">{about}</span>}
    </button>
  );
}
