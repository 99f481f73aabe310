import type { KeptCalibration } from '../../state/calibrations';
import { tell } from '../../state/notifications';
import { change, plan } from '../../state/plan';

/** Takes a calibration into the plan in hand. */
export function use(one: KeptCalibration): void {
  change(`calibration: ${one.name}`, { ...plan.value, calibration: { ...plan.value.calibration, ...one.values }, calibration_name: one.name });
  tell(`The plan is reckoned with “${one.name}”.`);
}
