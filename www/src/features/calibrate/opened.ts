/** A picture from a file, upright, on white, its longer side made no longer than wished; and how many of the file's pixels are in one of it. */
export interface Opened { canvas: HTMLCanvasElement; times: number }

export async function opened(file: Blob, longest: number): Promise<Opened> {
  const bitmap = await createImageBitmap(file, { imageOrientation: 'from-image' });
  const scale = Math.min(1, longest / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(bitmap.width * scale));
  canvas.height = Math.max(1, Math.round(bitmap.height * scale));
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) throw new Error('no canvas');
  context.fillStyle = '#fff';
  context.fillRect(0, 0, canvas.width, canvas.height);
  context.imageSmoothingQuality = 'high';
  context.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  const times = bitmap.width / canvas.width;
  bitmap.close();
  return { canvas, times };
}

export function unreadable(name: string): string {
  return `“${name}” is not a picture this page can read. Choose a PNG, JPEG, WebP, GIF, AVIF or BMP file.`;
}
