import type { Finding, Misfit } from '../../engine/protocol.ts';
import { soundPlan, stale } from '../../store/results.ts';
import { explained, worded } from '../../store/settings.ts';
import { busy, find, setAllowed, takeFinding } from './stepPlate.ts';
import { onBench } from './kept.ts';

/** What the readings say may be amiss, each with what is done about it in one press. */
export function Amiss({ misfit }: { misfit: Misfit }) {
  const of = soundPlan.value;
  const press = (finding: Finding) => (finding.press === '' || !of ? null : (
    <button type="button" class="act" disabled={busy.value || stale.value} onClick={() => takeFinding(finding, of)}>{finding.press}</button>
  ));
  return (
    <div class="calibrate-amiss" role="status">
      {misfit.findings.length > 0 && (
        <ul>
          {misfit.findings.map((finding) => <li key={finding.said.code + finding.said.field}><span>{explained(finding.said)}</span> {press(finding)}</li>)}
        </ul>
      )}
      <p class="unit">{worded(misfit.said)}</p>
    </div>
  );
}

/** What is found beside the constants, to be put back. */
export function TakenIntoAccount() {
  const { allowed } = onBench.value;
  const of = soundPlan.value;
  const back = (next: typeof allowed): void => {
    setAllowed(next);
    if (of) void find(of);
  };
  return (
    <>
      {allowed.bites.map((bite) => (
        <p key={bite}>
          The minutes of bite {bite + 1} are found with the constants, not taken as noted.{' '}
          <button type="button" class="quiet" onClick={() => back({ ...allowed, bites: allowed.bites.filter((one) => one !== bite) })}>take them as noted</button>
        </p>
      ))}
      {allowed.ground && (
        <p>
          The ground’s cover is found with the constants, not taken from the plan.{' '}
          <button type="button" class="quiet" onClick={() => back({ ...allowed, ground: false })}>take it from the plan</button>
        </p>
      )}
    </>
  );
}
