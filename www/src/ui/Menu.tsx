import type { ComponentChildren } from 'preact';
import { useId, useLayoutEffect, useRef, useState } from 'preact/hooks';

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
  // Heard at the host, whichever of its acts it was; as soon as it is open, for a hand that goes on at once.
  useLayoutEffect(() => {
    const on = host.current;
    if (!open || !on) return undefined;
    const fold = (): void => {
      word.current?.focus();
      setOpen(false);
    };
    const elsewhere = (event: Event): void => { if (!on.contains(event.target as Node)) setOpen(false); };
    const key = (event: KeyboardEvent): void => {
      const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
      if (event.key === 'Escape') fold();
      else if (by !== undefined && !(event.target instanceof HTMLInputElement)) {
        const acts = [...on.querySelectorAll<HTMLElement>('.menu-list button:enabled')];
        const at = acts.indexOf(document.activeElement as HTMLElement);
        acts[(at < 0 ? Math.min(0, by) + acts.length : at + by + acts.length) % acts.length]?.focus();
      } else return;
      event.preventDefault();
    };
    // What opens a panel gives the keyboard back to the word when the panel is closed. The act itself goes first.
    const chosen = (event: MouseEvent): void => {
      if (event.target instanceof Element && event.target.closest('.menu-act')) fold();
    };
    addEventListener('pointerdown', elsewhere);
    addEventListener('focusin', elsewhere);
    on.addEventListener('keydown', key);
    on.addEventListener('click', chosen);
    return () => {
      removeEventListener('pointerdown', elsewhere);
      removeEventListener('focusin', elsewhere);
      on.removeEventListener('keydown', key);
      on.removeEventListener('click', chosen);
    };
  }, [open]);
  return (
    <div class={`menu ${extra}`} ref={host}>
      <button type="button" class="quiet menu-word" id={`menu-${name}`} ref={word} aria-expanded={open} aria-controls={id} aria-label={label} onClick={() => setOpen(!open)}>{name}</button>
      <div class="menu-list" id={id} hidden={!open}>{children}</div>
    </div>
  );
}

interface ActProps { what: string; about?: string; disabled?: boolean; onClick: () => void }

/** One act of a list, with a few words on what it is for: they describe it, its name is the act alone. */
export function Act({ what, about, disabled = false, onClick }: ActProps) {
  const id = useId();
  return (
    <button type="button" class="menu-act" disabled={disabled} aria-describedby={about && id} onClick={onClick}>
      <span>{what}</span>
      {about && <span class="menu-about" id={id} aria-hidden="true">{about}</span>}
    </button>
  );
}
