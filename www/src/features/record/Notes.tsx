import { useEffect, useRef, useState } from 'preact/hooks';
import { LONGEST, MOST, type PlateRecord } from '../../store/plateRecord.ts';
import { newEntry } from '../../store/records.ts';
import { today } from '../../store/today.ts';
import { byDay } from './Photographs.tsx';
import { edit, put, takeOut } from './record.ts';
import { dayWords } from './recordWords.ts';
import { DayEntry, TextEntry } from './TextEntry.tsx';

/** Dated notes, free words. */
export function Notes({ record }: { record: PlateRecord }) {
  const list = useRef<HTMLUListElement>(null);
  const [begun, setBegun] = useState('');
  useEffect(() => {
    if (begun) list.current?.querySelector<HTMLElement>(`[data-note="${begun}"] textarea`)?.focus();
  }, [begun]);
  const begin = (): void => {
    // One that is still empty is the next.
    const empty = record.notes.find(({ text }) => text.trim() === '');
    const id = empty?.id ?? newEntry();
    if (!empty) put(record.id, 'notes', { id, at: today(), text: '' });
    setBegun('');
    setTimeout(() => setBegun(id));
  };
  return (
    <section class="record-part" aria-labelledby="record-notes">
      <h3 id="record-notes" tabIndex={-1}>Notes</h3>
      <ul class="record-notes" ref={list}>
        {byDay(record.notes).map((one) => (
          <li key={one.id} data-note={one.id}>
            <p class="acts">
              <DayEntry label={`Day of the note of ${dayWords(one.at)}`} value={one.at} onSave={(at) => edit(record.id, 'notes', one.id, { at })} />
              <button type="button" class="quiet" aria-label={`Remove the note of ${dayWords(one.at)}`} onClick={() => takeOut(record.id, 'notes', one, 'A note')}>remove</button>
            </p>
            <TextEntry long label={`Note of ${dayWords(one.at)}`} placeholder="The bath was colder than planned …" value={one.text} most={LONGEST.text} onSave={(text) => edit(record.id, 'notes', one.id, { text })} />
          </li>
        ))}
      </ul>
      {record.notes.length < MOST.notes && <p class="acts"><button type="button" class="act" onClick={begin}>add a note</button></p>}
    </section>
  );
}
