import { panel } from '../../store/notifications.ts';
import type { PlateRecord } from '../../store/plateRecord.ts';
import { readPhotograph } from '../../store/recorded.ts';
import { worded } from '../../store/settings.ts';
import { takeOut } from './record.ts';
import { dayWords } from './recordWords.ts';

/** What proofs of this plate have told, and teach the shop. */
export function Told({ record }: { record: PlateRecord }) {
  if (record.told.length === 0) return null;
  const open = (id: string): void => {
    readPhotograph.value = record.photographs.some((one) => one.id === id) ? id : null;
    panel.value = 'pulled';
  };
  return (
    <section class="record-part" aria-labelledby="record-told">
      <h3 id="record-told" tabIndex={-1}>What its proofs have told</h3>
      <ul class="record-notes">
        {record.told.map((one) => (
          <li key={one.id}>
            <p><b>{dayWords(one.at)}</b> {worded(one.said)}</p>
            <p class="acts">
              <button type="button" class="act" onClick={() => open(one.id)}>what the shop has learned…</button>
              <button type="button" class="quiet" aria-label={`Take out what the proof of ${dayWords(one.at)} told`} onClick={() => takeOut(record.id, 'told', one, 'What a proof told')}>take out</button>
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}
