import type { Inverse } from '../../engine/protocol.ts';
import { minutesWords } from '../../ui/MinutesEntry.tsx';
import { useWanted } from './WantedEntry.tsx';
import { explained } from '../../store/settings.ts';

interface Props {
  index: number;
  bite: Inverse['bites'][number];
  /** What is asked of the value now; the rest of the row answers what was asked before. */
  wanted_l: number;
  onWish: (lightness: number) => void;
}

/** One value: what is asked, the minutes, and what they print. */
export function WantedRow({ index, bite, wanted_l, onWish }: Props) {
  const { cells, said } = useWanted({ index, lightness: wanted_l, onChange: onWish });
  const answered = Math.abs(wanted_l - bite.wanted_l) < 0.05;
  // Told of the numbers as they stand there.
  const off = (Math.round(bite.lightness * 10) - Math.round(bite.wanted_l * 10)) / 10;
  return (
    <>
      <tr data-bitten={bite.bitten}>
        <th scope="row"><span class="back-swatch" style={`--l:${bite.lightness.toFixed(1)}`} aria-hidden="true" />{index + 1}{bite.bitten && <span class="unit"> has run</span>}</th>
        {cells}
        <td class="back-minutes"><span class="number">{minutesWords(bite.bite_min)}</span></td>
        <td>{bite.lightness.toFixed(1)}</td>
        <td>{answered ? off === 0 ? '0' : `${off > 0 ? '+' : '−'}${Math.abs(off).toFixed(1)}` : '…'}</td>
      </tr>
      {said.map((one) => <tr key={one.saidId} class="back-why"><td colSpan={6} id={one.saidId}><span role="alert">{one.said}</span>{' '}<button type="button" class="act" onClick={one.putBack}>put back</button></td></tr>)}
      {bite.hindrance && answered && <tr class="back-why"><td colSpan={6}>{explained(bite.hindrance)}</td></tr>}
    </>
  );
}
