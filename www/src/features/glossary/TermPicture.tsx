import { useEffect, useRef, useState } from 'preact/hooks';
import type { Sample } from '../../engine/protocol.ts';
import { CutDrawing } from '../../ui/CutDrawing.tsx';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import type { Entry } from './entries.ts';
import { CUT_WIDTH_UM, pictureOf } from './pictures.ts';

const SEEN = { print: 'Printed', copper: 'The copper from above', cut: 'The section', inked: 'The section, inked' } as const;

/** What a term looks like, drawn when it comes into sight. */
export function TermPicture({ entry }: { entry: Entry }) {
  const frame = useRef<HTMLSpanElement>(null);
  const [drawn, setDrawn] = useState<Sample | null>(null);
  const { picture } = entry;
  useEffect(() => {
    let here = true;
    const on = frame.current;
    if (!on) return undefined;
    const watch = new IntersectionObserver((seen) => {
      if (!seen.some(({ isIntersecting }) => isIntersecting)) return;
      watch.disconnect();
      pictureOf(entry).then((sample) => { if (here) setDrawn(sample); }, () => undefined);
    });
    watch.observe(on);
    return () => { here = false; watch.disconnect(); };
  }, [entry]);
  if (!picture) return null;
  const pixels = drawn?.print ?? drawn?.copper;
  return (
    <span ref={frame} class={`term-picture term-${picture.show}`}>
      {drawn?.cut && <CutDrawing cut={drawn.cut} width_um={CUT_WIDTH_UM} bites={1} inked={picture.show === 'inked'} deepest_um={0} />}
      {!drawn?.cut && (picture.show === 'print' || picture.show === 'copper') && <PixelCanvas pixels={pixels ?? null} label={`${SEEN[picture.show]}: ${entry.word}, a field 1.2 mm wide`} />}
    </span>
  );
}
