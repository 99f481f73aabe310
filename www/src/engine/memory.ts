import { computed, signal } from '@preact/signals';
import { everyGrain } from '../store/settings.ts';

/* How much the page takes on, by the memory that the device has. */

/** Only some browsers tell it, in GB, and none more than 8 (W3C Device Memory). */
declare const navigator: { readonly deviceMemory?: number; readonly hardwareConcurrency?: number };

/** At this many GB or fewer a browser ends pages that take what a large device spares, GB. */
const LITTLE_GB = 2;
const SOME_GB = 4;
/** Workers for the proof at most, each of which holds some 45 MB: on phones, on middling devices and those for fingers that tell nothing, and else. */
const ON_PHONES = 2;
const FEW = 4;
const MANY = 8;
/** The shorter side of a phone's screen is shorter than this, CSS pixels. */
const PHONE_PX = 600;
/** Pixels of the whole sheet that are kept: more than a screen shows, so that one can look closer. Still closer, grain is reckoned anew. */
const SHEET_PX = 16e6;
const SHEET_PX_ON_PHONES = 5e6;

/** Memory is short, by what the device tells or since a worker has run out of it: grain is left out until it is asked for. */
export const memoryShort = signal(navigator.deviceMemory !== undefined && navigator.deviceMemory <= LITTLE_GB);

/** Grain is reckoned everywhere, as was chosen, and not only where somebody looks. */
export const grainEverywhere = computed(() => everyGrain.value && !memoryShort.value);

/** The user's own word about grain counts more than the device's. */
export function chooseGrain(everywhere: boolean): void {
  memoryShort.value = false;
  everyGrain.value = everywhere;
}

const forFingers = (): boolean => matchMedia('(pointer: coarse)').matches;
const onPhone = (): boolean => forFingers() && Math.min(screen.width, screen.height) < PHONE_PX;

/** Workers for one job at the same time, of `most`. */
export function workersFor(most: number): number {
  if (memoryShort.peek()) return 1;
  const { deviceMemory, hardwareConcurrency = 2 } = navigator;
  const held = deviceMemory === undefined ? forFingers() : deviceMemory <= SOME_GB;
  return Math.min(most, onPhone() ? ON_PHONES : held ? FEW : MANY, Math.max(2, hardwareConcurrency));
}

/** Every ten megabytes count here. */
export function memoryCounts(): boolean {
  return memoryShort.peek() || onPhone();
}

/** Pixels of the whole sheet at most. */
export function mostSheetPx(): number {
  return memoryCounts() ? SHEET_PX_ON_PHONES : SHEET_PX;
}
