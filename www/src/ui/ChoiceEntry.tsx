import { useId, useState } from 'preact/hooks';
import type { Choice } from '../engine/protocol.ts';
import { setChoice, usePlan, wordAt } from '../store/plan.ts';
import { Said } from './Said.tsx';
import { worded } from '../store/settings.ts';

/** One choice made by name: the words stand in a row, the chosen one underlined. */
export function ChoiceEntry({ choice }: { choice: Choice }) {
  const id = useId();
  const [open, setOpen] = useState(false);
  const chosen = usePlan((plan) => wordAt(plan, choice.key));
  return (
    <div class="entry entry-choice" role="radiogroup" aria-labelledby={`${id}l`} aria-describedby={`${id}w`}>
      <button type="button" class="entry-label" id={`${id}l`} aria-expanded={open} aria-controls={`${id}w`} onClick={() => setOpen(!open)}>
        {choice.label}
      </button>
      <Words name={choice.key} options={choice.options} chosen={chosen} onChoose={(word) => setChoice(choice, word)} />
      <p class="why" id={`${id}w`} hidden={!open}>{worded(choice.why)}</p>
      <Said field={choice.key} />
    </div>
  );
}

interface WordsProps { name: string; options: readonly (readonly [string, string])[]; chosen: string; onChoose: (word: string) => void }

/** A row of words of which one holds. */
export function Words({ name, options, chosen, onChoose }: WordsProps) {
  return (
    <span class="words">
      {options.map(([word, words]) => (
        <label key={word} class="word" data-chosen={word === chosen}>
          <input type="radio" name={name} value={word} checked={word === chosen} onChange={() => onChoose(word)} />
          <span>{words}</span>
        </label>
      ))}
    </span>
  );
}
