import type { RefObject } from 'preact';
import { useEffect } from 'preact/hooks';

/** What takes the place of something that held the keyboard, as it came, gets it: else the next press of Tab would begin at the top of the page. */
export function useKeyboardHere(place: RefObject<HTMLElement | null>): void {
  useEffect(() => {
    const { activeElement } = document;
    if (!activeElement || activeElement === document.body) place.current?.focus({ preventScroll: true });
  }, [place]);
}
