import type { Moment, WatchStage } from '../../reckon/protocol';
import { conversion } from '../../state/settings';

/* What happens at each moment, in words with its numbers. */

/** The name of a stage. */
export function nameOf({ work, bite }: WatchStage): string {
  return work === 'bite' ? `bite ${bite}` : {
    wait: 'wait', dust: 'dust', bake: 'bake', clean: 'clean', ink: 'ink', wipe: 'wipe', print: 'print',
  }[work];
}

/** How long a stage takes; empty for what the plan gives no time. */
export function lengthOf({ work, length }: WatchStage): string {
  if (work === 'wait') return `${plain(length)} s`;
  return work === 'dust' || work === 'bake' || work === 'bite' ? `${plain(length)} min` : '';
}

/** A moment on the time axis, as it is spoken. */
export function whenOf(stage: WatchStage, share: number): string {
  const { work, length } = stage;
  const passed = share * length;
  if (work === 'wait') return `wait, ${passed.toFixed(0)} of ${plain(length)} s`;
  if (work === 'dust' || work === 'bake' || work === 'bite') return `${nameOf(stage)}, ${passed.toFixed(passed < 3 || length < 4 ? 2 : 1)} of ${plain(length)} min`;
  return nameOf(stage);
}

/** One sentence about a moment. */
export function sentenceOf(stage: WatchStage, share: number, numbers: Moment['numbers']): string {
  const { cover, grains, domes, deepest_um: deepest } = numbers;
  const covered = `${(100 * cover).toFixed(0)} %`;
  const air = `${numbers.cloud_g_per_m3.toFixed(1)} g/m³`;
  const begins = share === 0;
  switch (stage.work) {
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
      return `${plain(numbers.bath_min)} min in the bath: ${deepest.toFixed(1)} µm deep, ${cover > 0 ? `${numbers.undercut_um.toFixed(1)} µm in under the resin, ${covered} still covered` : 'nothing covers it'}${numbers.open < 1 ? `, ${(100 * (1 - numbers.open)).toFixed(0)} % stopped out` : ''}. Stopped out now, it would print L* ${numbers.lightness.toFixed(0)}.`;
    case 'clean':
      return `Ground and varnish are washed off: bare copper with pits, the deepest ${deepest.toFixed(1)} µm.`;
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
