import type { Moment, WatchStage } from '../../engine/protocol.ts';
import { conversion } from '../../store/settings.ts';
import { infoOf } from '../states/states.ts';

/* What happens at each moment, in words with its numbers. */

const ORDINALS = ['', 'first', 'second', 'third', 'fourth', 'fifth', 'sixth'];

/** The name of a stage. */
export function nameOf({ work, bite, tool }: WatchStage): string {
  if (work === 'bite') return `bite ${bite}`;
  if (work === 'tool') return (tool && infoOf(tool)?.name) ?? 'tool';
  return work === 'lines' ? 'etched lines' : work;
}

/** The part of the work that a stage belongs to: the lines, the first ground, a state's work, the print. */
export function partOf({ work, state, ground }: WatchStage): string {
  if (work === 'lines') return 'etched lines';
  if (work === 'ink' || work === 'wipe' || work === 'print') return 'proof';
  return ground === 1 ? 'first ground' : `state ${state}`;
}

/** Where a stage belongs that is not the first ground's. */
function underWords(stage: WatchStage): string {
  if (stage.state < 2 || partOf(stage) === 'proof') return '';
  return `state ${stage.state}, ${stage.ground > 0 ? `${ORDINALS[stage.ground] ?? `${stage.ground}th`} ground, ` : ''}`;
}

/** How long a stage takes; empty for what the plan gives no time. */
export function lengthOf({ work, length }: WatchStage): string {
  if (work === 'wait') return `${plain(length)} s`;
  if (work === 'tool') return length > 1 ? `${length} ×` : '';
  return inMinutes(work) ? `${plain(length)} min` : '';
}

/** A moment on the time axis, as it is spoken. */
export function whenOf(stage: WatchStage, share: number): string {
  const { work, length } = stage;
  const passed = share * length;
  const name = `${underWords(stage)}${nameOf(stage)}`;
  if (work === 'wait') return `${name}, ${passed.toFixed(0)} of ${plain(length)} s`;
  return inMinutes(work) ? `${name}, ${passed.toFixed(passed < 3 || length < 4 ? 2 : 1)} of ${plain(length)} min` : name;
}

function inMinutes(work: WatchStage['work']): boolean {
  return work === 'lines' || work === 'dust' || work === 'bake' || work === 'bite';
}

/** One sentence about a moment. */
export function sentenceOf(stage: WatchStage, share: number, numbers: Moment['numbers']): string {
  const { cover, grains, domes, deepest_um: deepest } = numbers;
  const covered = `${(100 * cover).toFixed(0)} %`;
  const air = `${numbers.cloud_g_per_m3.toFixed(1)} g/m³`;
  const begins = share === 0;
  switch (stage.work) {
    case 'lines':
      if (numbers.open === 0) return `${plain(numbers.bath_min)} min in the bath: no line is drawn on this place, and the ground over it keeps the etchant off.`;
      return `${plain(numbers.bath_min)} min in the bath, all but the lines under their ground: they are ${deepest.toFixed(1)} µm deep, and ${numbers.undercut_um.toFixed(1)} µm wider on either side.`;
    case 'wait':
      return begins
        ? `The powder is stirred up, the plate still outside: ${air} hang in the air, half the weight in grains finer than ${fine(numbers.airborne_um)} µm.`
        : `The plate waits outside while the coarse grains fall: ${air} still hang in the air, half the weight in grains finer than ${fine(numbers.airborne_um)} µm.`;
    case 'dust':
      return `The dust comes down: ${numbers.landed_g_per_m2.toFixed(1)} g/m² so far, ${count(grains, 'grain')} on this place, hiding ${covered} of it.`;
    case 'bake': {
      const at = conversion('°C', 0);
      const warm = `The copper is at ${at.to(numbers.plate_c).toFixed(0)} ${at.unit}: `;
      if (domes === 0) return `${warm}${grains > 0 ? `${count(grains, 'grain')}, none of which holds yet.` : 'there is no resin on this place.'}`;
      return `${warm}${count(domes, 'dome')} ${domes === 1 ? 'holds' : 'hold'}${grains > 0 ? `, ${count(grains, 'grain')} ${grains === 1 ? 'does' : 'do'} not yet` : ''}; ${covered} is covered.`;
    }
    case 'bite':
      if (numbers.open === 0) return `${plain(numbers.bath_min)} min in the bath: this place is stopped out, and stays as it is, ${deepest.toFixed(1)} µm deep.`;
      return `${plain(numbers.bath_min)} min in the bath: ${deepest.toFixed(1)} µm deep, ${cover > 0 ? `${numbers.undercut_um.toFixed(1)} µm in under the resin, ${covered} still covered` : 'nothing covers it'}${numbers.open < 1 ? `, ${(100 * (1 - numbers.open)).toFixed(0)} % stopped out` : ''}. Stopped out now, the tone here would print L* ${numbers.lightness.toFixed(0)}.`;
    case 'clean':
      return `Ground and varnish are washed off: bare copper with pits, the deepest ${deepest.toFixed(1)} µm.`;
    case 'tool': {
      const name = nameOf(stage);
      const { strokes, strokes_begun: begun } = numbers;
      if (strokes === 0) return `Nothing of this work with the ${name} reaches this place.`;
      if (begun === 0) return `The ${name} is taken up${strokes > 1 ? `: ${strokes} of its strokes or passages reach this place` : ''}.`;
      return `The ${name}${strokes > 1 ? `, ${begun} of ${strokes} strokes or passages that reach this place` : ''}: the lands are down ${numbers.lowered_um.toFixed(1)} µm at most, the deepest copper lies ${deepest.toFixed(1)} µm under the old surface.`;
    }
    case 'ink':
      return 'Ink is dabbed over all of it, and down into the pits.';
    case 'wipe':
      return `The cloth wipes from left to right. It leaves ${numbers.held_um.toFixed(1)} µm of ink on average, nearly all of it in the pits.`;
    case 'print':
      return `The sheet is lifted off and takes ${numbers.printed_um.toFixed(1)} µm of that ink with it: this place prints L* ${numbers.lightness.toFixed(0)}.`;
  }
}

function plain(value: number): string {
  return String(Number(value.toFixed(value < 10 ? 2 : 1)));
}

function fine(um: number): string {
  return um < 10 ? um.toFixed(1) : um.toFixed(0);
}

function count(many: number, what: string): string {
  return `${many} ${what}${many === 1 ? '' : 's'}`;
}
