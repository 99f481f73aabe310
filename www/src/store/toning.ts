import { computed, effect, signal } from '@preact/signals';
import type { Toned } from '../engine/protocol.ts';
import { askReader } from '../engine/reader.ts';
import { picture } from './picture.ts';
import { plan } from './plan.ts';

/* The picture's tones as the plan changes them: exposure, contrast, curve. */

const found = signal<Toned | null>(null);

/** Whether the plan changes any tone. */
export const changesTones = computed(() => {
  const { exposure_stops, contrast, tone_points } = plan.value.picture;
  return exposure_stops !== 0 || contrast !== 1 || tone_points !== undefined;
});

/** The histogram after it, the curve it comes to, and its greys; null until they are there. */
export const toned = computed(() => (changesTones.value ? found.value : null));

/** Pixels by lightness as the values see them, 101 bins. */
export const tonedHistogram = computed(() => toned.value?.histogram ?? picture.value.histogram);

const about = computed(() => {
  const { exposure_stops, contrast, tone_points } = plan.value.picture;
  return { exposure_stops, contrast, tone_points, histogram: picture.value.histogram, on: changesTones.value };
});

let asking = false;
let asked = '';

/** Asks for the last that is wanted: in a long drag the others don't matter. */
async function ask(): Promise<void> {
  if (asking) return;
  asking = true;
  try {
    for (;;) {
      const { on, histogram, ...tones } = about.value;
      const now = JSON.stringify([tones, histogram]);
      if (!on || histogram.length === 0 || now === asked) return;
      asked = now;
      found.value = await askReader('toned', plan.value.picture, Uint32Array.from(histogram));
    }
  } finally {
    asking = false;
  }
}

effect(() => {
  void about.value;
  // A worker that fails is told of by itself; the picture stands there as it was.
  ask().catch(() => { asked = ''; });
});
