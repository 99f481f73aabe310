import { useId } from 'preact/hooks';
import type { SharedLesson } from '../../engine/protocol.ts';
import { rangeOf } from '../../store/catalogue.ts';

type Question = SharedLesson['question'];
type Paragraph = SharedLesson['paragraphs'][number];

interface WrittenProps { label: string; limit: string; value: string; rows?: number; onWrite: (text: string) => void }

/** Plain text, with how long it is and may be. */
export function Written({ label, limit, value, rows = 1, onWrite }: WrittenProps) {
  const id = useId();
  return (
    <div class="teach-entry">
      <label for={id}>{label}</label>
      <textarea id={id} class="teach-text" rows={rows} value={value} aria-describedby={`${id}-count`} onInput={(event) => onWrite(event.currentTarget.value)} />
      <Count id={`${id}-count`} limit={limit} text={value} />
    </div>
  );
}

function Count({ id, limit, text }: { id: string; limit: string; text: string }) {
  const [, most] = rangeOf(limit);
  const chars = [...text].length;
  return <p id={id} class="teach-count unit" data-over={chars > most}>{chars} of {most}</p>;
}

interface PlaceProps { label: string; at: number; places: string[]; onChange: (at: number) => void }

function PlaceChoice({ label, at, places, onChange }: PlaceProps) {
  return (
    <label class="teach-place">
      {label}{' '}
      <select value={String(at)} onChange={(event) => onChange(Number(event.currentTarget.value))}>
        {places.map((words, i) => <option key={i} value={String(i)}>{words}</option>)}
        {at >= places.length && <option value={String(at)}>{places.length > 0 ? 'a patch that is no more' : '…'}</option>}
      </select>
    </label>
  );
}

/** The question with its answers, one of them right. */
export function QuestionEntries({ question, places, onChange }: { question: Question; places: string[]; onChange: (next: Question) => void }) {
  const { ask, options, right, because, at } = question;
  const [least, most] = rangeOf('lesson.options');
  const set = (next: Partial<Question>): void => onChange({ ...question, ...next });
  const setOption = (index: number, words: string): void => set({ options: options.map((old, i) => (i === index ? words : old)) });
  const without = (index: number): void => set({
    options: options.filter((_, i) => i !== index), right: right > index || right === options.length - 1 ? Math.max(0, right - 1) : right,
  });
  return (
    <fieldset class="teach-part">
      <legend>The question, asked first</legend>
      <Written label="Question" limit="lesson.ask" value={ask} rows={2} onWrite={(words) => set({ ask: words })} />
      <ol class="teach-options" aria-label="Answers to choose from; mark the right one">
        {options.map((words, i) => (
          <li key={i}>
            <input type="radio" name="teach-right" aria-label={`Answer ${i + 1} is right`} title="the right one" checked={right === i} onChange={() => set({ right: i })} />
            <Written label={`Answer ${i + 1}${right === i ? ', the right one' : ''}`} limit="lesson.option" value={words} onWrite={(next) => setOption(i, next)} />
            {options.length > least && <button type="button" class="quiet" aria-label={`Remove answer ${i + 1}`} onClick={() => without(i)}>remove</button>}
          </li>
        ))}
      </ol>
      <p class="acts">
        {options.length < most && <button type="button" class="act" onClick={() => set({ options: [...options, ''] })}>Add an answer</button>}
        {places.length >= least && places.length <= most && (
          <button type="button" class="act" onClick={() => set({ options: places.map((words) => words.replaceAll('\u00a0', ' ')), right: at })}>Take the patches for answers</button>
        )}
      </p>
      <Written label="What is said after the guess" limit="lesson.words" value={because} rows={3} onWrite={(words) => set({ because: words })} />
      <PlaceChoice label="The patch that shows it:" at={at} places={places} onChange={(next) => set({ at: next })} />
    </fieldset>
  );
}

/** The paragraphs that are read after the guess, each beside a patch. */
export function ParagraphEntries({ paragraphs, places, onChange }: { paragraphs: Paragraph[]; places: string[]; onChange: (next: Paragraph[]) => void }) {
  const [, most] = rangeOf('lesson.paragraphs');
  const set = (index: number, next: Partial<Paragraph>): void => onChange(paragraphs.map((old, i) => (i === index ? { ...old, ...next } : old)));
  return (
    <fieldset class="teach-part">
      <legend>The words, read after it</legend>
      {paragraphs.map(({ words, at }, i) => (
        <div key={i} class="teach-paragraph">
          <Written label={`Paragraph ${i + 1}`} limit="lesson.words" value={words} rows={4} onWrite={(next) => set(i, { words: next })} />
          <PlaceChoice label="beside the patch" at={at} places={places} onChange={(next) => set(i, { at: next })} />
          {paragraphs.length > 1 && <button type="button" class="quiet" aria-label={`Remove paragraph ${i + 1}`} onClick={() => onChange(paragraphs.filter((_, j) => j !== i))}>remove</button>}
        </div>
      ))}
      {paragraphs.length < most && <p class="acts"><button type="button" class="act" onClick={() => onChange([...paragraphs, { words: '', at: 0 }])}>Add a paragraph</button></p>}
    </fieldset>
  );
}
