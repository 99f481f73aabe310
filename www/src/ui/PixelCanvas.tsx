import { useLayoutEffect, useRef } from 'preact/hooks';
import type { Image } from '../engine/protocol.ts';

/** Pixels on a canvas; their tones are shown as they are. */
export function PixelCanvas({ pixels, label, class: extra = '' }: { pixels: Image | null; label: string; class?: string }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  // Before the frame that shows what else has changed, not after it.
  useLayoutEffect(() => {
    const on = canvas.current;
    if (!on || !pixels) return;
    if (on.width !== pixels.width || on.height !== pixels.height) {
      on.width = pixels.width;
      on.height = pixels.height;
    }
    // Bytes that came from a worker lie in no shared memory: they need no copy.
    const image = new ImageData(pixels.rgba, pixels.width, pixels.height);
    // Kept in memory, not by the graphics processor: WebKit shows such a canvas blank once the window has changed its shape.
    on.getContext('2d', { willReadFrequently: true })?.putImageData(image, 0, 0);
  }, [pixels]);
  return <canvas ref={canvas} class={extra} role="img" aria-label={label} width={1} height={1} />;
}
