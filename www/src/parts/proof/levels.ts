import { spreadGrey } from '../../state/picture';

/** A piece of a level, in its pixels. */
interface Part { grey: Uint8Array; width: number; height: number; left: number; top: number }

// Reduced views average the light, not the code values that stand for it.
const LINEAR = Float32Array.from({ length: 256 }, (_, i) => {
  const v = i / 255;
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
});
const CODE = Uint8Array.from({ length: 4097 }, (_, i) => {
  const v = i / 4096;
  return Math.round(255 * (v <= 0.0031308 ? v * 12.92 : 1.055 * v ** (1 / 2.4) - 0.055));
});

/** A picture of half the size. */
export function halve(grey: Uint8Array, width: number, height: number): { grey: Uint8Array; width: number; height: number } {
  const w = Math.ceil(width / 2);
  const h = Math.ceil(height / 2);
  const out = new Uint8Array(w * h);
  const light = (x: number, y: number): number =>
    LINEAR[grey[Math.min(height - 1, y) * width + Math.min(width - 1, x)] ?? 0] ?? 0;
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const sum = light(2 * x, 2 * y) + light(2 * x + 1, 2 * y) + light(2 * x, 2 * y + 1) + light(2 * x + 1, 2 * y + 1);
      out[y * w + x] = CODE[Math.round(sum * 1024)] ?? 0;
    }
  }
  return { grey: out, width: w, height: h };
}

function pen(width: number, height: number): OffscreenCanvasRenderingContext2D {
  const context = new OffscreenCanvas(Math.max(1, width), Math.max(1, height)).getContext('2d');
  if (!context) throw new Error('This browser gives the page no canvas to draw on.');
  return context;
}

function put(on: OffscreenCanvasRenderingContext2D, { grey, width, height, left, top }: Part): void {
  const image = on.createImageData(width, height);
  spreadGrey(grey, image.data);
  on.putImageData(image, left, top);
}

/** Greys as a canvas of their size. */
export function greyed(grey: Uint8Array, width: number, height: number): OffscreenCanvas {
  const on = pen(width, height);
  put(on, { grey, width, height, left: 0, top: 0 });
  return on.canvas;
}

/**
 * The whole print in one reduced size. What comes in is only drawn once the level is looked at: a browser
 * finishes every canvas that was touched, each time.
 */
export class Level {
  private on: OffscreenCanvasRenderingContext2D | null = null;
  /** What is to be laid over all there was, before them. */
  private under: OffscreenCanvas | null = null;
  /** Tiles that came in since the level was last looked at. */
  private readonly waiting = new Map<number, Part>();

  constructor(readonly um: number, private readonly width: number, private readonly height: number) {}

  /** Lays a picture of the whole print over all there was. */
  lay(picture: OffscreenCanvas): void {
    this.under = picture;
    this.waiting.clear();
  }

  /** Puts a tile where it belongs. */
  put(tile: number, part: Part): void {
    this.waiting.set(tile, part);
  }

  /** The level as it stands now. */
  drawn(): OffscreenCanvas {
    const on = (this.on ??= pen(this.width, this.height));
    if (this.under) {
      on.imageSmoothingQuality = 'high';
      on.drawImage(this.under, 0, 0, this.width, this.height);
      this.under = null;
    }
    for (const part of this.waiting.values()) put(on, part);
    this.waiting.clear();
    return on.canvas;
  }
}
