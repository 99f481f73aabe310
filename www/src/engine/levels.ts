import { spreadGrey } from '../store/picture.ts';

/** A piece of a level, in its pixels. */
interface Part { grey: Uint8Array; width: number; height: number; left: number; top: number }

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
    this.on ??= pen(this.width, this.height);
    const { on } = this;
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
