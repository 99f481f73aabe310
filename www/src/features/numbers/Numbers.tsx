import { useState } from 'preact/hooks';
import { catalogue } from '../../store/catalogue.ts';
import { later } from '../../ui/Later.tsx';
import { Panel } from '../../ui/Panel.tsx';
import './numbers.css?sheet';

const Doubts = later('This list', async () => (await import('../doubts/Doubts.tsx')).Doubts);

const TAGS = { measured: 'measured', published: 'published', estimated: 'estimated' } as const;

/** What is reckoned, how sure it is, and under which terms. */
export function Numbers() {
  const [asked, setAsked] = useState(false);
  const constants = catalogue.value?.constants ?? [];
  const count = (tag: keyof typeof TAGS): number => constants.filter((constant) => constant.tag === tag).length;
  return (
    <Panel name="numbers" class="foot">
      <p>
        Every grain is simulated: it falls, melts, shields its spot of copper, is undercut by the bath, and the pits beside it are inked,
        wiped and printed. The laws are published ones. Some constants in them nobody has measured for a plate worked by hand,
        so the order of things can be trusted further than the third digit.
        {constants.length > 0 && ` Of ${constants.length} constants ${count('published') + count('measured')} are published or measured and ${count('estimated')} estimated.`}
        {' '}Your own step plate is the better judge.
        {catalogue.value && ` This is model ${catalogue.value.model}; links and plan files name the model that they were made with.`}
      </p>
      <details class="constants">
        <summary>What is not modelled</summary>
        <ul class="not-modelled">{catalogue.value?.not_modelled.map((one) => <li key={one}>{one}</li>)}</ul>
      </details>
      <details class="constants" onToggle={(event) => setAsked(event.currentTarget.open)}>
        <summary>What this plan depends on most</summary>
        {asked && <Doubts />}
      </details>
      {constants.length > 0 && (
        <details class="constants">
          <summary>All constants, with their sources</summary>
          <ul>
            {constants.map((constant) => (
              <li key={constant.key}>
                <span class="constant-name">{constant.meaning}</span>
                <span class="constant-number"><span class="number">{constant.default}</span> <span class="unit">{constant.unit}</span></span>
                <span class="constant-source"><em>{TAGS[constant.tag]}</em> · {constant.source}</span>
              </li>
            ))}
          </ul>
        </details>
      )}
      <p>
        The cautions stand at the step where they apply. They are reminders, not instructions: safety sheets, local rules and the person
        responsible for your shop decide.
      </p>
      <p class="licence">Free software under the MIT or Apache 2.0 licence, at your choice. Letters: Alegreya and Alegreya Sans, under the SIL Open Font License.</p>
    </Panel>
  );
}
