/** Light (0–1) of each sRGB byte. */
const LIGHT = Float32Array.from({ length: 256 }, (_, byte) => (byte > 10 ? ((byte / 255 + 0.055) / 1.055) ** 2.4 : byte / 3294.6));

const byteOf = (light: number): number => Math.round(255 * (light > 0.0031308 ? 1.055 * light ** (1 / 2.4) - 0.055 : 12.92 * light));

/** An opaque picture in a smaller size: each pixel is the mean light of all that lies under it, in parts where it is cut. */
export function shrink({ data, width, height }: ImageData, toWidth: number, toHeight: number): ImageData {
  const small = new ImageData(toWidth, toHeight);
  const sums = new Float32Array(3 * toWidth);
  const across = width / toWidth;
  const down = height / toHeight;
  for (let v = 0; v < toHeight; v++) {
    sums.fill(0);
    const [top, bottom] = [v * down, (v + 1) * down];
    for (let y = Math.floor(top); y < Math.min(height, bottom); y++) {
      const share = (Math.min(bottom, y + 1) - Math.max(top, y)) / (across * down);
      for (let u = 0; u < toWidth; u++) {
        const right = Math.min(width, (u + 1) * across);
        let [red, green, blue] = [0, 0, 0];
        for (let x = Math.floor(u * across); x < right; x++) {
          const part = Math.min(right, x + 1) - Math.max(u * across, x);
          const at = 4 * (y * width + x);
          red += part * (LIGHT[data[at] ?? 0] ?? 0);
          green += part * (LIGHT[data[at + 1] ?? 0] ?? 0);
          blue += part * (LIGHT[data[at + 2] ?? 0] ?? 0);
        }
        sums[3 * u] = (sums[3 * u] ?? 0) + share * red;
        sums[3 * u + 1] = (sums[3 * u + 1] ?? 0) + share * green;
        sums[3 * u + 2] = (sums[3 * u + 2] ?? 0) + share * blue;
      }
    }
    for (let u = 0; u < toWidth; u++) {
      const at = 4 * (v * toWidth + u);
      for (let c = 0; c < 3; c++) small.data[at + c] = byteOf(sums[3 * u + c] ?? 0);
      small.data[at + 3] = 255;
    }
  }
  return small;
}
