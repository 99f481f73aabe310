import { worded } from '../../store/settings.ts';
import { cost, costWrong } from './beside.ts';

/** More than this is told of a value, L*. */
const TOLD_L = 0.1;

const signed = (l: number): string => `${l > 0 ? '+' : '−'}${Math.abs(l).toFixed(1)}`;

/** What a fault costs: in words, and value by value. */
export function CostFigures({ ready = true }: { ready?: boolean }) {
  const found = ready ? cost.value : null;
  if (costWrong.value) return <p class="problem" role="alert">What it costs could not be calculated: {costWrong.value}</p>;
  return (
    <div class="cost-figures">
      <p class="cost-said" role="status">{found ? worded(found.sentence) : 'Both prints are being weighed …'}</p>
      {found?.values.some(({ most_l }) => Math.abs(most_l) > TOLD_L) && (
        <div class="scale-scroll" tabIndex={0} role="group" aria-label="What each value loses, scroll sideways when narrow">
          <table class="cost-table">
            <caption>Lighter (+) or darker (−) with it, L*</caption>
            <thead><tr><th scope="col">value</th>{found.values.map(({ value }) => <th scope="col" key={value}>{value === 0 ? 'paper' : value}</th>)}</tr></thead>
            <tbody>
              <tr><th scope="row">on the mean</th>{found.values.map(({ value, mean_l }) => <td key={value} data-none={Math.abs(mean_l) < TOLD_L}>{Math.abs(mean_l) < TOLD_L ? '0' : signed(mean_l)}</td>)}</tr>
              <tr><th scope="row">at most</th>{found.values.map(({ value, most_l }) => <td key={value} data-none={Math.abs(most_l) < TOLD_L}>{Math.abs(most_l) < TOLD_L ? '0' : signed(most_l)}</td>)}</tr>
            </tbody>
          </table>
        </div>
      )}
    </div>
  );
}
