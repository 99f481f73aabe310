import type { KeptCalibration } from '../../store/calibrations.ts';
import { tell } from '../../store/notifications.ts';
import { change, plan } from '../../store/plan.ts';

/** Takes a calibration into the plan in hand. */
export function use(one: KeptCalibration): void {
  change(`calibration: ${one.name}`, { ...plan.value, calibration: { ...plan.value.calibration, ...one.values }, calibration_name: one.name });
  tell(`The plan is calculated with “${one.name}”.`);
}
