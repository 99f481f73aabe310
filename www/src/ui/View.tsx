import type { ComponentChildren } from 'preact';
import { useEffect, useId, useLayoutEffect, useRef } from 'preact/hooks';
import { panel, type PanelName } from '../store/notifications.ts';
import { titles } from '../store/place.ts';
import { NoStudies } from './Fault.tsx';
import './view.css?sheet';

interface Props { name: PanelName; title?: string; class: string; acts?: ComponentChildren; children: ComponentChildren }

/** The page's main part. */
const BENCH = '.bench';

/**
 * A view that takes the whole page. No modal dialog: one of those prints on one page only. What lies
 * under it takes no part until it is closed.
 */
export function View({ name, title = titles[name], class: extra, acts, children }: Props) {
  const view = useRef<HTMLDivElement>(null);
  const id = useId();
  const leave = useRef(() => {});
  // With the view itself, not a frame later: what is pressed meanwhile must find the page as it is seen.
  useLayoutEffect(() => () => leave.current(), []);
  // Once the menu that it was chosen from has the keyboard again, to give it back there.
  useEffect(() => {
    const on = view.current;
    const before = document.activeElement;
    const room = on?.parentElement;
    // All but the notices, which stand within the bench and are said over the view as well.
    const under = (): Element[] => [...(room?.children ?? [])]
      .flatMap((one) => (one.matches(BENCH) ? [...one.children] : [one]))
      .filter((one) => one !== on && !one.matches('.notices'));
    const cover = (): void => {
      for (const one of under()) one.setAttribute('inert', '');
      // A view that an address opens may be there before the rest of the page.
      for (const one of [room, room?.querySelector(`:scope > ${BENCH}`)]) if (one) coming.observe(one, { childList: true });
    };
    const coming = new MutationObserver(cover);
    cover();
    on?.querySelector('h2')?.focus();
    const close = (event: KeyboardEvent): void => {
      if (event.key === 'Escape' && !event.defaultPrevented) panel.value = null;
    };
    addEventListener('keydown', close);
    leave.current = () => {
      removeEventListener('keydown', close);
      coming.disconnect();
      for (const one of under()) one.removeAttribute('inert');
      if (before instanceof HTMLElement && before.isConnected) before.focus();
    };
  }, []);
  return (
    <div ref={view} class={`view ${extra}`} role="dialog" aria-modal="true" aria-labelledby={id}>
      <header class="view-head">
        <h2 id={id} tabIndex={-1}>{title}</h2>
        <div class="view-acts">
          {acts}
          <button type="button" class="quiet" onClick={() => { panel.value = null; }}>close</button>
        </div>
      </header>
      <NoStudies />
      {children}
    </div>
  );
}
