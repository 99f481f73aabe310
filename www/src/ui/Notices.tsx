import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { notes, panel, putAway, told } from '../store/notifications.ts';
import { errors, progress, refused, said } from '../store/results.ts';
import { explained } from '../store/settings.ts';
import { NoStudies } from './Fault.tsx';

/** What the page has to say to its user, until it is put away; `children` are offers that have more to show than words. */
export function Notices({ children }: { children: ComponentChildren }) {
  const file = refused.value;
  return (
    <div class="notices" role="status" aria-live="polite">
      {said.value !== null && (
        <div class="notice">
          <p>{said.value}</p>
          <button type="button" class="quiet" onClick={() => { said.value = null; }}>dismiss</button>
        </div>
      )}
      {file && (
        <div class="notice notice-file">
          <div>
            <p>{file.what}</p>
            {file.sentences.length > 0 && <ul>{file.sentences.map((sentence) => <li key={sentence}>{sentence}</li>)}</ul>}
          </div>
          <p class="notice-acts">
            {file.acts?.map((act) => <button key={act.name} type="button" class="quiet" onClick={act.run}>{act.name}</button>)}
            <button type="button" class="quiet" onClick={() => { refused.value = null; }}>dismiss</button>
          </p>
        </div>
      )}
      {notes.value.map((note) => (
        <div class="notice" key={note.key}>
          <p>{note.words}</p>
          <p class="notice-acts">
            {note.acts.map((act) => <button key={act.name} type="button" class="quiet" onClick={act.run}>{act.name}</button>)}
            <button type="button" class="quiet" onClick={() => putAway(note.key)}>dismiss</button>
          </p>
        </div>
      ))}
      {panel.value === null && <NoStudies />}
      {children}
      {told.value && <p class="told">{told.value}</p>}
      <p class="unseen">{heard()}</p>
      <p class="unseen"><Held /></p>
    </div>
  );
}

/** The proof's progress for the ear: only the quarters. */
function heard(): string {
  const { done, of } = progress.value;
  if (of === 0 || done === 0) return '';
  const quarters = Math.floor((4 * done) / of);
  return quarters === 4 ? 'The proof is complete, grain by grain.' : quarters === 0 ? '' : `The proof is ${quarters * 25} % done.`;
}

/** Time after the last change before the ear is told, ms: not of every digit typed. */
const TOLD_AFTER_MS = 500;

/** For the ear: what holds the plan up, and that nothing does any longer. */
function Held() {
  const [problem] = errors.value;
  const now = problem ? `${explained(problem)} Until then the plan is not calculated.` : '';
  const [told, setTold] = useState('');
  useEffect(() => {
    const timer = setTimeout(() => setTold((before) => now || (before && 'The plan is calculated again.')), TOLD_AFTER_MS);
    return () => clearTimeout(timer);
  }, [now]);
  return <>{told}</>;
}
