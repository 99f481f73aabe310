/** Round numbers that divide a range into about `wanted` parts. */
export function ticks(from: number, to: number, wanted = 4): number[] {
  const rough = (to - from) / wanted;
  if (!(rough > 0)) return [from];
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 5, 10].find((m) => m * power >= rough * 0.99) ?? 10) * power;
  const out: number[] = [];
  for (let i = Math.ceil(from / step - 1e-9); i * step <= to + step * 1e-6; i++) out.push(Number((i * step).toPrecision(12)));
  return out;
}

/** Powers and their 2s and 5s, for an axis in equal ratios. */
export function ratioTicks(from: number, to: number): number[] {
  const out: number[] = [];
  for (let power = 10 ** Math.floor(Math.log10(from)); power <= to; power *= 10) {
    for (const m of [1, 2, 5]) if (m * power >= from && m * power <= to) out.push(m * power);
  }
  return out;
}

/** A path through points; gaps where a coordinate is no number. */
export function path(xs: ArrayLike<number>, ys: ArrayLike<number>, x: (v: number) => number, y: (v: number) => number): string {
  let d = '';
  let pen = 'M';
  for (let i = 0; i < Math.min(xs.length, ys.length); i++) {
    const px = x(xs[i] ?? NaN);
    const py = y(ys[i] ?? NaN);
    if (!Number.isFinite(px) || !Number.isFinite(py)) { pen = 'M'; continue; }
    d += `${pen}${px.toFixed(2)} ${py.toFixed(2)}`;
    pen = 'L';
  }
  return d;
}

/**
 * The same through points as a curve that never rises or falls beyond its neighbours (slopes after Fritsch &
 * Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300: harmonic means, 0 at a turn).
 */
export function smooth(xs: number[], ys: number[], x: (v: number) => number, y: (v: number) => number): string {
  const points = xs.map((at, i) => ({ x: x(at), y: y(ys[i] ?? NaN) })).filter((one) => Number.isFinite(one.x) && Number.isFinite(one.y))
    .sort((a, b) => a.x - b.x);
  const rise = points.slice(1).map((one, i) => (one.y - (points[i]?.y ?? 0)) / (one.x - (points[i]?.x ?? 0) || 1));
  const slope = points.map((_, i) => {
    const [before, after] = [rise[i - 1], rise[i]];
    if (before === undefined || after === undefined) return before ?? after ?? 0;
    return before * after > 0 ? (2 * before * after) / (before + after) : 0;
  });
  return points.map((one, i) => {
    const last = points[i - 1];
    if (!last) return `M${one.x.toFixed(2)} ${one.y.toFixed(2)}`;
    const third = (one.x - last.x) / 3;
    const [from, to] = [last.y + third * (slope[i - 1] ?? 0), one.y - third * (slope[i] ?? 0)];
    return `C${(last.x + third).toFixed(2)} ${from.toFixed(2)} ${(one.x - third).toFixed(2)} ${to.toFixed(2)} ${one.x.toFixed(2)} ${one.y.toFixed(2)}`;
  }).join('');
}

/** The value of a curve at a place between its points. */
export function along(xs: ArrayLike<number>, ys: ArrayLike<number>, at: number): number {
  const last = xs.length - 1;
  if (last < 0) return NaN;
  if (at <= (xs[0] ?? 0)) return ys[0] ?? NaN;
  for (let i = 1; i <= last; i++) {
    const right = xs[i] ?? NaN;
    if (at <= right) {
      const left = xs[i - 1] ?? NaN;
      const part = right > left ? (at - left) / (right - left) : 0;
      return (ys[i - 1] ?? NaN) * (1 - part) + (ys[i] ?? NaN) * part;
    }
  }
  return ys[last] ?? NaN;
}

export interface Frame { width: number; height: number; left: number; right: number; top: number; bottom: number }

/** Room inside a plot's edges, in the plot's own units. */
export const FRAME: Frame = { width: 320, height: 168, left: 34, right: 8, top: 10, bottom: 32 };

export type Scale = ((v: number) => number) & { back: (place: number) => number };

export function linear(from: number, to: number, start: number, end: number): Scale {
  const forth = (v: number): number => start + ((v - from) / (to - from || 1)) * (end - start);
  return Object.assign(forth, { back: (place: number) => from + ((place - start) / (end - start)) * (to - from) });
}

export function ratio(from: number, to: number, start: number, end: number): Scale {
  const inner = linear(Math.log(from), Math.log(to), start, end);
  return Object.assign((v: number) => inner(Math.log(v)), { back: (place: number) => Math.exp(inner.back(place)) });
}
