import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import { lesson, term } from '../../store/lessons.ts';
import { panel } from '../../store/notifications.ts';
import { units } from '../../store/settings.ts';
import { inUnits } from '../../ui/inUnits.ts';
import { Panel } from '../../ui/Panel.tsx';
import { entry, GLOSSARY } from './entries.ts';
import { TermPicture } from './TermPicture.tsx';
import './glossary.css?sheet';

/** Every term of the trade that the page uses. */
export function Glossary() {
  const [sought, setSought] = useState('');
  const list = useRef<HTMLDListElement>(null);
  const words = sought.trim().toLowerCase();
  const shown = GLOSSARY.filter((one) => words === '' || one.word.toLowerCase().includes(words) || one.words.toLowerCase().includes(words));
  const go = useCallback((id: string): void => {
    setSought('');
    // After the whole list stands again.
    requestAnimationFrame(() => {
      const on = list.current?.querySelector<HTMLElement>(`#term-${id}`);
      on?.scrollIntoView({ block: 'start' });
      on?.focus({ preventScroll: true });
    });
  }, []);
  useEffect(() => {
    if (term.value !== null) go(term.value);
    return () => { term.value = null; };
  }, [go]);
  return (
    <Panel name="glossary" class="glossary">
      {lesson.value !== null && <p class="acts"><button type="button" class="act" onClick={() => { panel.value = 'lessons'; }}>Back to the lesson</button></p>}
      <input class="shelf-search" type="search" aria-label="Search the glossary" placeholder="Search" autocomplete="off" value={sought}
        onInput={(event) => setSought(event.currentTarget.value)} />
      <p class="unseen" role="status">{shown.length} {shown.length === 1 ? 'term' : 'terms'}</p>
      <dl ref={list} class="glossary-list">
        {shown.map((one) => (
          <div key={one.id} class="glossary-entry" data-pictured={one.picture !== undefined}>
            <dt id={`term-${one.id}`} tabIndex={-1}>{one.word}</dt>
            <dd>
              {inUnits(one.words, units.value)}
              {one.see.length > 0 && (
                <span class="glossary-see">
                  See {one.see.map((id, i) => <span key={id}>{i > 0 && ', '}<button type="button" class="act" onClick={() => go(id)}>{entry(id).word}</button></span>)}
                </span>
              )}
            </dd>
            {one.picture && <dd class="glossary-picture"><TermPicture entry={one} /></dd>}
          </div>
        ))}
      </dl>
      {shown.length === 0 && <p class="why">No term holds “{sought.trim()}”.</p>}
    </Panel>
  );
}
