import type { Evenness, ProofReading, ValueReading } from '../../engine/protocol.ts';
import { worded } from '../../store/settings.ts';
import { signed } from './signed.ts';

/** Value by value: planned, read, and how good that is. */
export function Values({ reading, planned }: { reading: ProofReading; planned: number[] }) {
  return (
    <div class="back-scroll">
      <table class="back-table pulled-values">
        <caption class="unseen">Each value: L* as planned and as read</caption>
        <thead>
          <tr><th scope="col">Value</th><th scope="col">planned <span class="unit">L*</span></th><th scope="col">read <span class="unit">L*</span></th>
            <th scope="col">differs</th><th scope="col">spread</th><th scope="col">good to</th></tr>
        </thead>
        <tbody>{reading.values.map((one, value) => <ValueRow key={value} value={value} one={one} planned_l={planned[value] ?? 0} />)}</tbody>
      </table>
    </div>
  );
}

function ValueRow({ value, one, planned_l }: { value: number; one: ValueReading | null; planned_l: number }) {
  const name = value === 0 ? 'bare' : String(value);
  return (
    <tr data-read={one !== null}>
      <th scope="row">
        <span class="pulled-pair-swatch" aria-hidden="true"><span style={{ '--l': planned_l.toFixed(1) }} />{one && <span style={{ '--l': one.lightness.toFixed(1) }} />}</span>{name}
      </th>
      <td>{planned_l.toFixed(1)}</td>
      {one
        ? (
          <>
            <td class="back-minutes">{one.lightness.toFixed(1)}</td><td>{signed(one.lightness - planned_l)}</td>
            <td>{one.spread_l.toFixed(1)}</td><td>± {one.good_to_l.toFixed(1)}</td>
          </>
        )
        : <td colSpan={4} class="pulled-unread">not read: too little of it lies plain</td>}
    </tr>
  );
}

/** Where the print is lighter or darker than its own values, as a map of the plate. */
export function Unevenness({ of }: { of: Evenness }) {
  const { columns, rows, piece_mm: [wide, high], lighter_l } = of;
  const most = Math.max(2, Math.ceil(Math.max(...lighter_l.map((l) => Math.abs(l ?? 0)))));
  const known = lighter_l.filter((l) => l !== null);
  const [darkest, lightest] = [Math.min(0, ...known), Math.max(0, ...known)];
  const part = (l: number): string => `${((100 * Math.abs(l)) / most).toFixed(0)}%`;
  return (
    <figure class="pulled-even">
      <svg viewBox={`0 0 ${columns * wide} ${rows * high}`} role="img" style={{ '--ratio': String((columns * wide) / (rows * high)) }}
        aria-label={`A map of the plate: from ${signed(darkest)} to ${signed(lightest)} L* beside its own values`}>
        {lighter_l.map((l, i) => l !== null && (
          <rect key={i} class={l > 0 ? 'pulled-lighter' : 'pulled-darker'} style={{ '--part': part(l) }} x={(i % columns) * wide} y={Math.floor(i / columns) * high} width={wide} height={high} />
        ))}
      </svg>
      <div class="pulled-scale" aria-hidden="true"><span>{signed(-most, 0)} L*, darker</span><span class="pulled-ramp" /><span>lighter, {signed(most, 0)} L*</span></div>
      <figcaption>{worded(of.said)}</figcaption>
    </figure>
  );
}
