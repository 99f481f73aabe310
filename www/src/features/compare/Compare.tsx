import { useEffect } from 'preact/hooks';
import { addSide, closeCompare, differ, drawn, LETTERS, loupe, MOST_SIDES, openCompare, removeSide, replaceSide, sides, spot, versions, type Side } from './compare.ts';
import { gazeMoved } from '../../engine/scheduler.ts';
import { lastState, stateWords } from '../../store/versions.ts';
import { AT_SIZE } from '../../ui/sheetView.ts';
import { Panel } from '../../ui/Panel.tsx';
import { CompareScales } from './CompareScales.tsx';
import { SideViews } from './SideViews.tsx';
import { worded } from '../../store/settings.ts';
import './compare.css?sheet';

/** Two or three plans' proofs at the same zoom and place, under one linen tester. */
export function Compare() {
  useEffect(() => {
    void openCompare();
    return () => {
      closeCompare();
      gazeMoved();
    };
  }, []);
  void drawn.value;
  const all = sides.value;
  const add = async (): Promise<void> => {
    const last = versions().at(Math.min(sides.value.length, versions().length - 1));
    if (last) addSide(await last.get());
  };
  return (
    <Panel name="compare" class="compare">
      <p class="acts">
        <button type="button" class="quiet" aria-pressed={spot.value.scale === 0} onClick={() => { spot.value = { u: 0.5, v: 0.5, scale: 0 }; }}>whole sheets</button>
        <button type="button" class="quiet" aria-pressed={spot.value.scale === AT_SIZE} onClick={() => { spot.value = { ...loupe.value, scale: AT_SIZE }; }}>at size</button>
        <button type="button" class="quiet" aria-pressed={spot.value.scale === 0.08} onClick={() => { spot.value = { ...loupe.value, scale: 0.08 }; }}>grain</button>
        {all.length < MOST_SIDES && <button type="button" class="act" onClick={() => void add()}>Lay one more beside them</button>}
      </p>
      <div class="compare-sides" data-sides={all.length} style={{ '--sides': Math.max(1, all.length) }}>
        {all.map((side, i) => <OneSide key={side.key} side={side} letter={LETTERS[i] ?? ''} alone={all.length <= 2} />)}
      </div>
      <Differences />
      <CompareScales />
    </Panel>
  );
}

function OneSide({ side, letter, alone }: { side: Side; letter: string; alone: boolean }) {
  const known = versions();
  const listed = known.some(({ name }) => name === side.name);
  return (
    <section class="compare-side" aria-label={`${letter}: ${side.name}`}>
      <p class="compare-name">
        <strong>{letter}</strong>
        <select aria-label={`Which plan is ${letter}`} value={listed ? side.name : ''}
          onChange={(event) => { void known.find(({ name }) => name === event.currentTarget.value)?.get().then((version) => replaceSide(side.key, version)); }}>
          {!listed && <option value="">{side.name}</option>}
          {known.map(({ name }) => <option key={name} value={name}>{name}</option>)}
        </select>
        {!alone && <button type="button" class="quiet" aria-label={`Take ${letter} away`} onClick={() => removeSide(side.key)}>take away</button>}
      </p>
      <SideViews side={side} letter={letter} />
    </section>
  );
}

function stateOf(side: Side | undefined): string {
  return side ? stateWords(side.plan, side.state || lastState(side.plan)) : '';
}

function sameState(a: Side | undefined, b: Side): boolean {
  return stateOf(a) === stateOf(b);
}

function Differences() {
  const all = sides.value;
  return (
    <section class="compare-differ" aria-labelledby="differ-title" aria-live="polite">
      <h3 id="differ-title">What differs</h3>
      {all.slice(1).map((side, i) => {
        const found = differ.value[i] ?? null;
        return (
          <div key={side.key}>
            <p class="unit">from A to {LETTERS[i + 1]}</p>
            {found === null && <p class="finding">Looking …</p>}
            {found?.length === 0 && <p class="finding">{sameState(all[0], side) ? 'Nothing: the plans are the same.' : `The plans are the same; A is ${stateOf(all[0])}, ${LETTERS[i + 1]} is ${stateOf(side)}.`}</p>}
            {found && found.length > 0 && <ul>{found.map((one, j) => <li key={j}>{worded(one.sentence)}</li>)}</ul>}
          </div>
        );
      })}
    </section>
  );
}
