import { useMemo } from 'preact/hooks';
import { compareWith, nameWithState, stateWords } from '../../store/versions.ts';
import { fileName, offer } from '../../store/files.ts';
import { takeInHand, withoutPicture } from '../../store/links.ts';
import { panel } from '../../store/notifications.ts';
import { pictureFrom, spreadGrey } from '../../store/picture.ts';
import { duplicate, pictureOf, remove, rename, type Kept } from '../../store/shelf.ts';
import { plateId } from '../../store/plan.ts';
import { recorded, recordPlate } from '../../store/recorded.ts';
import { saveRecord } from '../../store/saveRecord.ts';
import { shelfFile } from '../../store/shelfFile.ts';
import { PixelCanvas } from '../../ui/PixelCanvas.tsx';
import { schedule, whenWords } from './schedule.ts';

/** What the small proof shows of a plan with lines or later states. */
function shownWords({ plan, small }: Kept): string {
  const lines = plan.lines ? `etched lines “${plan.lines.picture}”${small?.without_lines ? ' left out, as their picture is not here' : ''}` : '';
  return [lines, stateWords(plan) && `shown in ${stateWords(plan)}`].filter(Boolean).join(', ');
}

/** One plan on the shelf: its small proof, its name to be written over, its schedule. */
export function ShelfPlan({ kept }: { kept: Kept }) {
  const { name, plan, small } = kept;
  const pixels = useMemo(() => {
    if (!small) return null;
    const rgba = new Uint8ClampedArray(small.grey.length * 4);
    spreadGrey(small.grey, rgba);
    return { rgba, width: small.width, height: small.grey.length / small.width };
  }, [small]);
  const open = async (): Promise<void> => {
    const own = await pictureOf(kept);
    const shown = own ? { picture: pictureFrom(own), said: null } : await withoutPicture(plan, null);
    await takeInHand(`plan “${name}” from the shelf`, plan, shown.picture, shown.said, kept.plate);
    panel.value = null;
  };
  const showRecord = (): void => {
    recordPlate.value = kept.plate === plateId.value ? null : kept.plate;
    panel.value = 'record';
  };
  const compare = async (): Promise<void> => {
    compareWith({ name: nameWithState(`“${name}”, from the shelf`, plan), plan, picture: await pictureOf(kept) });
    panel.value = 'compare';
  };
  const takeOut = async (): Promise<void> => {
    const ownPicture = kept.picture !== null;
    if (recorded.value.has(kept.plate)) { await saveRecord(kept.plate, kept); return; }
    const blob = ownPicture ? await shelfFile([kept]) : new Blob([`${JSON.stringify(plan, null, 2)}\n`], { type: 'application/json' });
    offer(blob, fileName(ownPicture ? '-with-picture.json' : '.platewright.json', name));
  };
  const { source } = plan.picture;
  return (
    <li class="shelf-plan">
      <PixelCanvas pixels={pixels} class="shelf-proof" label={small ? `Small proof of ${nameWithState(name, plan)}` : `Small proof of ${name}, not printed yet`} />
      <div class="shelf-words">
        <input class="shelf-name" aria-label={`Name of ${name}`} value={name} maxLength={120} spellcheck={false} autocomplete="off"
          onChange={(event) => rename(kept, event.currentTarget.value)} />
        <p class="shelf-schedule">{schedule(plan)}</p>
        {(stateWords(plan) || plan.lines) && <p class="shelf-schedule">{shownWords(kept)}</p>}
        <p class="shelf-schedule">
          {typeof source === 'string' ? 'harbour at dusk' : kept.picture === null ? `“${source.file}”, not kept here` : `“${source.file}”`} · {whenWords(kept.at)}
        </p>
        <p class="acts">
          <button type="button" class="act" aria-label={`Open ${name}`} onClick={() => void open()}>open</button>
          <button type="button" class="act" aria-label={`Lay ${name} side by side with this plan`} onClick={() => void compare()}>side by side</button>
          <button type="button" class="act" aria-label={`Record of ${name}`} onClick={showRecord}>record</button>
          <button type="button" class="act" aria-label={`Duplicate ${name}`} onClick={() => void duplicate(kept)}>duplicate</button>
          <button type="button" class="act" aria-label={`Save ${name} as a file`} onClick={() => void takeOut()}>as a file</button>
          <button type="button" class="quiet" aria-label={`Delete ${name}`} onClick={() => void remove(kept)}>delete</button>
        </p>
      </div>
    </li>
  );
}
