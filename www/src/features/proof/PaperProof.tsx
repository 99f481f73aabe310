import { useEffect, useRef } from 'preact/hooks';
import { wholeSheet } from './wholeSheet.ts';

/** On paper the whole sheet stands, whatever the window was large enough for or looked at. */
export function PaperProof() {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const draw = (): void => { if (canvas.current) wholeSheet(canvas.current).draw(); };
    // Its memory is needed for as long as the printing lasts.
    const letGo = (): void => { if (canvas.current) canvas.current.width = canvas.current.height = 1; };
    addEventListener('beforeprint', draw);
    addEventListener('afterprint', letGo);
    return () => { removeEventListener('beforeprint', draw); removeEventListener('afterprint', letGo); };
  }, []);
  return <canvas ref={canvas} class="paper-only proof-paper" aria-hidden="true" width={1} height={1} />;
}
