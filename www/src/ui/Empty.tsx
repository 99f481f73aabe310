import type { ComponentChildren } from 'preact';

/** Lines of the drawings, in a field of 120 by 72. */
const DRAWINGS = {
  /** Prints leaning on a shelf, and room for one more. */
  shelf: 'M8 62h104M16 62V24h22v38M21 30h12v20H21zM44 62l7-36 20 4-6 32M56 33l10 2-4 18-10-2zM84 62V30h20v32',
  /** A tray with its bath, and the bottle it came from. */
  bath: 'M10 50h62l-7 14H17zM14 56h54M84 64V34l5-6V16h12v12l5 6v30zM89 16v-4h12v4M84 44h22M26 44l28-6M26 44l2 5M54 38l3 6',
  /** A step plate and the eye that reads it. */
  lessons: 'M10 16h58v44H10zM10 27h58M10 38h58M10 49h58M92 30a14 14 0 1 1 0 .1M102 41l10 14',
} as const;

/** An empty place: one picture and one sentence. */
export function Empty({ picture, children }: { picture: keyof typeof DRAWINGS; children: ComponentChildren }) {
  return (
    <div class="empty">
      <svg viewBox="0 0 120 72" aria-hidden="true"><path d={DRAWINGS[picture]} /></svg>
      <p>{children}</p>
    </div>
  );
}
