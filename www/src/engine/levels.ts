import { spreadGrey } from '../store/picture.ts';

/** A rectangle of pixels, and greys that fill one. */
interface Place { width: number; height: number; left: number; top: number }
interface Part extends Place { grey: Uint8Array }

/** The greys of a whole sheet, white to begin with; parts are copied into it and out of it. */
export class Plane {
  readonly grey: Uint8Array;

  constructor(private readonly width: number, private readonly height: number) {
    this.grey = new Uint8Array(width * height).fill(255);
  }

  /** Lays a part on it, as far as it lies on the sheet, and says where that is. */
  lay({ grey, width, height, left, top }: Part): Place {
    const place = { left, top, width: Math.min(width, this.width - left), height: Math.min(height, this.height - top) };
    for (let line = 0; line < place.height; line++) {
      this.grey.set(grey.subarray(line * width, line * width + place.width), (top + line) * this.width + left);
    }
    return place;
  }

  /** A copy of a part that lies on it. */
  part(place: Place): Part {
    const { left, top, width, height } = place;
    const grey = new Uint8Array(width * height);
    for (let line = 0; line < height; line++) {
      const from = (top + line) * this.width + left;
      grey.set(this.grey.subarray(from, from + width), line * width);
    }
    return { ...place, grey };
  }
}

function pen(width: number, height: number): OffscreenCanvasRenderingContext2D {
  const context = new OffscreenCanvas(Math.max(1, width), Math.max(1, height)).getContext('2d');
  if (!context) throw new Error('This browser gives the page no canvas to draw on.');
  return context;
}

/** Room for the pixels of one part, kept for the next of its size: hundreds would wait to be swept out. */
let room: ImageData | null = null;

function put(on: OffscreenCanvasRenderingContext2D, { grey, width, height, left, top }: Part): void {
  if (room?.width !== width || room.height !== height) room = on.createImageData(width, height);
  spreadGrey(grey, room.data);
  on.putImageData(room, left, top);
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
  private readonly plane: Plane;
  /** What came in since the level was last looked at. */
  private readonly waiting: Place[] = [];

  constructor(readonly um: number, private readonly width: number, private readonly height: number) {
    this.plane = new Plane(width, height);
  }

  /** Lays a picture of the whole print over all there was. */
  lay(picture: OffscreenCanvas): void {
    this.under = picture;
    this.waiting.length = 0;
  }

  /** Puts a part where it belongs. */
  put(part: Part): void {
    this.waiting.push(this.plane.lay(part));
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
    for (const place of this.waiting.splice(0)) put(on, this.plane.part(place));
    return on.canvas;
  }
}
