import { useEffect, useState } from 'preact/hooks';
import type { Plan } from '../../engine/protocol.ts';
import { choosePhotographs } from '../../store/files.ts';
import { panel } from '../../store/notifications.ts';
import { takePhotographs } from '../../store/photographs.ts';
import { LONGEST, MOST, type Photograph, type PlateRecord } from '../../store/plateRecord.ts';
import { readPhotograph } from '../../store/recorded.ts';
import { edit, takeOutPhotograph, urlOf } from './record.ts';
import { dayWords, proofsOf } from './recordWords.ts';
import { DayEntry, TextEntry } from './TextEntry.tsx';

/** Photographs in the order of their days. */
export const byDay = <T extends { at: string }>(all: readonly T[]): T[] => [...all].sort((a, b) => a.at.localeCompare(b.at));

/** Photographs of the proofs. */
export function Photographs({ record, plan }: { record: PlateRecord; plan: Plan | null }) {
  const [busy, setBusy] = useState(false);
  const take = (files: File[]): void => {
    setBusy(true);
    void takePhotographs(files, record.id).finally(() => setBusy(false));
  };
  return (
    <section class="record-part" aria-labelledby="record-photographs">
      <h3 id="record-photographs" tabIndex={-1}>Proofs, photographed</h3>
      {record.photographs.length === 0 && <p class="why">Photographs are made smaller and stay on this machine. They can also be dropped on this page.</p>}
      <ul class="record-photographs">{byDay(record.photographs).map((one) => <PhotographEntry key={one.id} one={one} plate={record.id} plan={plan} />)}</ul>
      <p class="acts" role="status">
        {record.photographs.length < MOST.photographs
          ? (
            <>
              <button type="button" class="act" disabled={busy} onClick={() => choosePhotographs({ camera: false, several: true }, take)}>choose photographs…</button>
              <button type="button" class="act record-camera" disabled={busy} onClick={() => choosePhotographs({ camera: true, several: false }, take)}>take one with the camera…</button>
              {busy && <span class="unit">one moment</span>}
            </>
          )
          : `A record holds ${MOST.photographs} photographs: take one out before the next.`}
      </p>
    </section>
  );
}

function PhotographEntry({ one, plate, plan }: { one: Photograph; plate: string; plan: Plan | null }) {
  const [large, setLarge] = useState(false);
  const proofs = proofsOf(plan, one.of);
  const words = photographWords(one, plan);
  return (
    <li data-large={large}>
      <button type="button" class="record-photograph" aria-pressed={large} aria-label={`${words}: ${large ? 'smaller' : 'larger'}`} onClick={() => setLarge(!large)}>
        <PhotographPixels one={one} words={words} />
      </button>
      <div class="record-about">
        <TextEntry label={`Caption of ${words}`} placeholder="in a few words" value={one.caption} most={LONGEST.caption} onSave={(caption) => edit(plate, 'photographs', one.id, { caption })} />
        <select aria-label={`What ${words} shows`} value={String(one.of)} onChange={(event) => edit(plate, 'photographs', one.id, { of: Number(event.currentTarget.value) })}>
          {proofs.map(([number, called]) => <option key={number} value={String(number)}>{called}</option>)}
        </select>
        <p class="acts">
          {one.of > 0 && <button type="button" class="act" aria-label={`Read this proof, ${words}`} onClick={() => { [readPhotograph.value, panel.value] = [one.id, 'pulled']; }}>Read this proof</button>}
          <DayEntry label={`Day of ${words}`} value={one.at} onSave={(at) => edit(plate, 'photographs', one.id, { at })} />
          <button type="button" class="quiet" aria-label={`Remove ${words}`} onClick={() => void takeOutPhotograph(plate, one)}>remove</button>
        </p>
      </div>
    </li>
  );
}

/** A photograph in words. */
export function photographWords(one: Photograph, plan: Plan | null): string {
  const called = proofsOf(plan, one.of).find(([number]) => number === one.of)?.[1] ?? 'a proof';
  return `photograph of ${called.replace(/^proof/, 'the proof')}, ${dayWords(one.at)}`;
}

/** Its pixels, or a sentence where they are not here. */
export function PhotographPixels({ one, words, onIn }: { one: Photograph; words: string; onIn?: (id: string) => void }) {
  const [url, setUrl] = useState<string | null | undefined>(undefined);
  useEffect(() => {
    let here = true;
    void urlOf(one.id).then((found) => {
      if (!here) return;
      setUrl(found);
      if (found === null) onIn?.(one.id);
    });
    return () => { here = false; };
  }, [one.id, onIn]);
  if (url === null) return <span class="record-missing">This photograph is not here.</span>;
  return (
    <img src={url} alt={words} width={one.width} height={one.height} onLoad={() => onIn?.(one.id)} onError={() => { setUrl(null); onIn?.(one.id); }} />
  );
}
