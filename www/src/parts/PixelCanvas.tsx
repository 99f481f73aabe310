import { useEffect, useRef } from 'preact/hooks';
import type { Pixels } from '../state/results';

/** Pixels on a canvas; their tones are shown as they are. */
export function PixelCanvas({ pixels, label, class: extra = '' }: { pixels: Pixels | null; label: string; class?: string }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const on = canvas.current;
    if (!on || !pixels) return;
    if (on.width !== pixels.width || on.height !== pixels.height) {
      on.width = pixels.width;
      on.height = pixels.height;
    }
    const image = new ImageData(new Uint8ClampedArray(pixels.rgba), pixels.width, pixels.height);
    on.getContext('2d')?.putImageData(image, 0, 0);
  }, [pixels]);
  return <canvas ref={canvas} class={extra} role="img" aria-label={label} width={1} height={1} />;
}
