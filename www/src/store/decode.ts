import { askReader } from '../engine/reader.ts';
import { Refused } from '../engine/workerClient.ts';
import { canvasOf, newMark, roomPx, type Picture } from './picture.ts';
import { plan } from './plan.ts';
import { keepReading } from './readings.ts';
import { newId } from './pictureStore.ts';

export interface Decoded { picture: Picture; said: string | null }

/** Reads a picture file; throws an Error whose message is a sentence for the user. */
export async function decode(file: Blob, name: string): Promise<Decoded> {
  const { plate } = plan.value;
  const read = await askReader('read_picture', file, name, roomPx(), [plate.width_mm, plate.height_mm]).catch((error: unknown) => {
    if (error instanceof Refused) throw new Error(error.message);
    throw new Error(`“${name}” is more than this browser can hold. Save it smaller and choose it again; your plan and picture are as they were.`);
  });
  const { file_px, width, height, lightness, shown, closer, said } = read;
  const [canvas, context] = canvasOf(shown.width, shown.height);
  context.putImageData(shown, 0, 0);
  // Where every pixel has been read, the file holds no more.
  const finer = width < file_px[0] || height < file_px[1];
  const id = newId();
  if (closer) keepReading(id, closer.crop, closer.tones);
  return { picture: { mark: newMark(), id, name, width, height, file_px, ...(finer && { file }), lightness, canvas, histogram: [] }, said };
}
