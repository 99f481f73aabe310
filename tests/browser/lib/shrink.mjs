// A picture in a smaller size, reckoned apart from the program: what the page shows is held to it.

/** An opaque picture in a smaller size: each pixel is the mean light of all that lies under it, in parts where it is cut. Runs in the page. */
export function shrink({ data, width, height }, toWidth, toHeight) {
  // IEC 61966-2-1.
  const light = (byte) => (byte > 10 ? ((byte / 255 + 0.055) / 1.055) ** 2.4 : byte / 3294.6);
  const byteOf = (sum) => Math.round(255 * (sum > 0.0031308 ? 1.055 * sum ** (1 / 2.4) - 0.055 : 12.92 * sum));
  const small = new ImageData(toWidth, toHeight);
  const [across, down] = [width / toWidth, height / toHeight];
  for (let v = 0; v < toHeight; v++) {
    for (let u = 0; u < toWidth; u++) {
      const sums = [0, 0, 0];
      for (let y = Math.floor(v * down); y < Math.min(height, (v + 1) * down); y++) {
        const rows = Math.min((v + 1) * down, y + 1) - Math.max(v * down, y);
        for (let x = Math.floor(u * across); x < Math.min(width, (u + 1) * across); x++) {
          const part = rows * (Math.min((u + 1) * across, x + 1) - Math.max(u * across, x));
          for (let c = 0; c < 3; c++) sums[c] += part * light(data[4 * (y * width + x) + c]);
        }
      }
      const at = 4 * (v * toWidth + u);
      for (let c = 0; c < 3; c++) small.data[at + c] = byteOf(sums[c] / (across * down));
      small.data[at + 3] = 255;
    }
  }
  return small;
}
