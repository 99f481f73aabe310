interface Props { rows: [string, string, string][]; stale?: boolean }

/** What follows from the entries above: names, numbers, units in columns. */
export function Figures({ rows, stale = false }: Props) {
  return (
    <dl class="figures" data-stale={stale}>
      {rows.map(([name, number, unit]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd><span class="number">{number}</span> <span class="unit">{unit}</span></dd>
        </div>
      ))}
    </dl>
  );
}
