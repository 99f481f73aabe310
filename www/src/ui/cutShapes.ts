import type { Cut } from '../engine/protocol.ts';

type Place = (um: number) => number;

/** Surfaces along a line. */
type Surfaces = Pick<Cut, 'copper_um' | 'base_um' | 'resin_um' | 'ink_um' | 'step_um'>;

export interface Span { highest: number; deepest: number; resin: boolean; ink: boolean }

/** How high and deep a cut reaches, and what is in it. */
export function spanOf(cut: Cut): Span {
  const { copper_um, resin_um, ink_um } = cut;
  let highest = 0;
  let deepest = 0;
  let resin = false;
  let ink = false;
  for (let i = 0; i < copper_um.length; i++) {
    const metal = copper_um[i] ?? 0;
    const top = resin_um[i] ?? NaN;
    deepest = Math.min(deepest, metal);
    if (hasResin(cut, i)) { highest = Math.max(highest, top); resin = true; }
    if ((ink_um[i] ?? NaN) > metal + 0.02) ink = true;
  }
  return { highest, deepest, resin, ink };
}

function point(x: number, y: number): string {
  return `${x.toFixed(1)} ${y.toFixed(2)}`;
}

/** The metal, down to the foot of the drawing. */
export function copperShape({ copper_um, step_um }: Surfaces, x: Place, y: Place, foot: number): string {
  const line = Array.from(copper_um, (metal, i) => point(x(i * step_um), y(metal))).join('L');
  return `M${point(0, foot)}L${line}L${point(x((copper_um.length - 1) * step_um), foot)}Z`;
}

/** Closed shapes wherever `inside` holds, between an upper and a lower line. */
export function runs(length: number, inside: (i: number) => boolean, x: (i: number) => number, upper: (i: number) => number, lower: (i: number) => number): string {
  let d = '';
  let start = -1;
  for (let i = 0; i <= length; i++) {
    const within = i < length && inside(i);
    if (within && start < 0) start = i;
    if (!within && start >= 0) {
      // A shape one place wide is given the width of a step, so that it doesn't vanish.
      const last = Math.max(i - 1, start);
      const across = Array.from({ length: last - start + 1 }, (_, k) => start + k);
      const there = across.map((k) => point(x(k), upper(k)));
      const back = [...across].reverse().map((k) => point(x(k), lower(k)));
      d += `M${[...there, ...back].join('L')}Z`;
      start = -1;
    }
  }
  return d;
}

/** Domes of resin, standing where the copper was when they were laid even where it is eaten away beneath. */
export function resinShape(cut: Surfaces, x: Place, y: Place): string {
  const { resin_um, base_um, step_um } = cut;
  return runs(resin_um.length, (i) => hasResin(cut, i), (i) => x(i * step_um), (i) => y(resin_um[i] ?? 0), (i) => y(base_um[i] ?? 0));
}

function hasResin({ resin_um, base_um }: Surfaces, i: number): boolean {
  return (resin_um[i] ?? NaN) > (base_um[i] ?? 0);
}

/** Ink between the copper and its own surface. */
export function inkShape({ ink_um, copper_um, step_um }: Surfaces, x: Place, y: Place): string {
  return runs(ink_um.length, (i) => (ink_um[i] ?? NaN) > (copper_um[i] ?? 0) + 0.02,
    (i) => x(i * step_um), (i) => y(ink_um[i] ?? 0), (i) => y(copper_um[i] ?? 0));
}

/** The cut in words, for those who don't see it. */
export function cutWords({ facts, value }: Cut, bites: number, inked: boolean): string {
  const { depth_um, land, domes, undercut, held_um } = facts;
  const values = [...new Set(value)].sort((a, b) => a - b).map((v) => (v === 0 ? 'paper' : `value ${v}`)).join(', ');
  const share = (part: number): string => `${Math.round(100 * part)} %`;
  const metal = `${bites === 0 ? 'Nothing is bitten yet' : `On average ${depth_um.toFixed(1)} µm of copper is gone`}, and ${share(land)} stands at its old height.`;
  const ground = domes ? ` ${domes} domes of resin${undercut ? `, undercut along ${share(undercut)} of the line` : ''}.` : ' No resin.';
  const ink = inked ? ` The pits hold ${held_um.toFixed(1)} µm of ink on average.` : '';
  return `${values[0]?.toUpperCase() ?? ''}${values.slice(1)}. ${metal}${ground}${ink}`;
}
