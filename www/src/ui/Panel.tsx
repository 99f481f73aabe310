import type { ComponentChildren } from 'preact';
import { useEffect, useId, useRef } from 'preact/hooks';
import { panel, type PanelName } from '../store/notifications.ts';
import { titles } from '../store/place.ts';
import { NoStudies } from './Fault.tsx';

interface Props { name: PanelName; title?: string; class?: string; children: ComponentChildren }

/** A sheet laid over the page; Escape or the word at its head takes it away again. */
export function Panel({ name, title = titles[name], class: extra = '', children }: Props) {
  const dialog = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    const on = dialog.current;
    if (on && !on.open) on.showModal();
  }, []);
  const close = (): void => dialog.current?.close();
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: a press beside the sheet puts it away; the dialog itself hears Escape
    <dialog ref={dialog} class={`panel ${extra}`} aria-labelledby={id} onClose={() => { panel.value = null; }}
      onClick={(event) => { if (event.target === dialog.current) close(); }}>
      <div class="panel-sheet">
        <header class="panel-head">
          <h2 id={id} tabIndex={-1} autofocus>{title}</h2>
          <button type="button" class="quiet" onClick={close}>close</button>
        </header>
        <NoStudies />
        {children}
      </div>
    </dialog>
  );
}
