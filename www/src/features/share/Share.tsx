import { useEffect, useRef, useState } from 'preact/hooks';
import { pool } from '../../engine/scheduler.ts';
import { copyFrom } from '../../ui/copying.ts';
import { savePlanWithPicture } from '../../store/fileActs.ts';
import { savePlan } from '../../store/files.ts';
import { limitsOf } from '../../store/catalogue.ts';
import { address, fromDisk } from '../../store/links.ts';
import { picture } from '../../store/picture.ts';
import { plan } from '../../store/plan.ts';
import { stale } from '../../store/results.ts';
import { HeldUp } from '../../ui/HeldUp.tsx';
import { OpenLink } from './OpenLink.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { QrCode } from '../../ui/QrCode.tsx';

interface Links { plain: string; pictured: string | null; why: string | null }

/** The plan as a link, as a code for a phone, and as a file. */
export function Share() {
  const [links, setLinks] = useState<Links | null>(null);
  const [withPicture, setWithPicture] = useState(false);
  const [copied, setCopied] = useState('');
  const own = picture.value.name !== null;
  const { picture: { source }, lines } = plan.value;
  // The plan's own picture may not be here: another stands in for it.
  const named = typeof source === 'string' ? null : source.file;
  const field = useRef<HTMLTextAreaElement>(null);
  // Below so many characters a link goes through every chat.
  const { max: chat } = limitsOf('link.chat');
  useEffect(() => {
    let wanted = true;
    if (!stale.value) {
      void makeLinks(own).then((made) => { if (wanted) setLinks(made); });
    }
    return () => { wanted = false; };
  }, [own]);
  const chosen = withPicture && links?.pictured ? links.pictured : links?.plain ?? '';
  const whole = `${address()}#${chosen}`;
  return (
    <Panel name="share" class="share">
      <p class="section-why">The whole plan stands in the link itself, after the “#”. Nothing goes to a server, and whoever opens it keeps their own plan.</p>
      {stale.value && <p class="problem">The plan can’t be used as it stands: <HeldUp so="the file can still be saved" /></p>}
      {links && (
        <>
          {own
            ? (
              <div class="share-choice" role="radiogroup" aria-label="What the link holds">
                <Choice name="plan only" chars={full(links.plain)} checked={!withPicture} onChoose={() => setWithPicture(false)} />
                <Choice name="with a small picture" chars={links.pictured === null ? null : full(links.pictured)} checked={withPicture}
                  onChoose={() => setWithPicture(true)} />
              </div>
            )
            : <p class="share-length"><span class="number">{full(links.plain)}</span> <span class="unit">characters</span>.{named === null && ' The harbour is drawn by the page itself, so its picture need not travel.'}</p>}
          {links.why !== null && <p class="why">{links.why}</p>}
          {named !== null && !withPicture && (
            <p class="why">The link names the picture, “{named}”, but does not hold it: whoever opens it is asked for it and drops the same file on the page.{!own && ' It is not here either.'}</p>
          )}
          {own && withPicture && <p class="why">Only which value goes where travels, coarsely: enough to print recognisably. Whoever opens it gets exactly the proof that this small picture prints.</p>}
          {lines && (
            <p class="why share-lines">
              The picture of the etched lines, “{lines.picture}”, does not go into a link: send that file along. Whoever opens the link is asked for it, and
              until then nothing of the lines is printed.
            </p>
          )}
          {whole.length > chat && <p class="why">Longer than {chat} characters, some chat programs cut a link off: shorten the notes, or send the file.</p>}
          {fromDisk && <p class="why">This page was opened from disk, so the address before the “#” leads nowhere for others. They can open their own Platewright and paste the link there.</p>}
          <textarea class="share-link" ref={field} readOnly rows={4} aria-label="The link" value={whole} onFocus={(event) => event.currentTarget.select()} />
          <p class="acts">
            <button type="button" class="act" onClick={() => { if (field.current) void copyFrom(field.current).then(setCopied); }}>Copy the link</button>
            <a class="act" href={`#wall/${chosen}`} target="_blank" rel="noopener">Sheet for the wall</a>
            <span role="status" class="why share-copied">{copied}</span>
          </p>
          <QrCode text={fromDisk ? chosen : whole} label="The link as a QR code" />
        </>
      )}
      <h3>As a file</h3>
      <p class="acts">
        <button type="button" class="act" onClick={savePlan}>Save the plan</button>
        {(own || lines) && <button type="button" class="act" onClick={() => void savePlanWithPicture()}>{lines && own ? 'Save it with its pictures' : lines ? 'Save it with its lines' : 'Save it with its picture'}</button>}
      </p>
      <OpenLink />
    </Panel>
  );
}

const full = (link: string): number => address().length + 1 + link.length;

/** Both links; the second is missing where the notes leave no room, and `why` says so. */
async function makeLinks(own: boolean): Promise<Links> {
  const address_chars = address().length;
  const plain = await pool.ask('link');
  if (!own) return { plain, pictured: null, why: null };
  try {
    const pictured = await pool.ask('link_with_picture', address_chars);
    return { plain, pictured, why: null };
  } catch (error) {
    return { plain, pictured: null, why: error instanceof Error ? error.message : String(error) };
  }
}

interface ChoiceProps { name: string; chars: number | null; checked: boolean; onChoose: () => void }

function Choice({ name, chars, checked, onChoose }: ChoiceProps) {
  return (
    <label class="word">
      <input type="radio" name="share-what" checked={checked} disabled={chars === null} onChange={onChoose} />
      <span>{name}</span>
      {chars !== null && <> <span class="number">{chars}</span> <span class="unit">characters</span></>}
    </label>
  );
}
