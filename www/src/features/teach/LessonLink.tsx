import { useEffect, useRef, useState } from 'preact/hooks';
import { askStudies } from '../../engine/studies.ts';
import { limitsOf } from '../../store/catalogue.ts';
import { address, fromDisk, offerLink, type Way } from '../../store/links.ts';
import { setLesson, type OwnLesson } from '../../store/ownLessons.ts';
import { copyFrom } from '../../ui/copying.ts';
import { QrCode } from '../../ui/QrCode.tsx';

/** Quiet time after a key before the link is made anew, ms. */
const AFTER_MS = 300;

/** The lesson as a link, as soon as it is whole; until then what is missing. */
export function LessonLink({ of }: { of: OwnLesson }) {
  const { id, plan, withPicture } = of;
  const { link, wrong } = useLink(of);
  const [copied, setCopied] = useState('');
  const field = useRef<HTMLTextAreaElement>(null);
  const whole = link === null ? '' : `${fromDisk ? '' : `${address()}#`}${link}`;
  const show = (way: Way): void => { if (link !== null) void offerLink(link, way); };
  return (
    <section class="teach-link" aria-labelledby="teach-link">
      <h3 id="teach-link">The link</h3>
      {plan?.pictured && (
        <label><input type="checkbox" checked={withPicture} onChange={() => setLesson(id, { withPicture: !withPicture })} /> with a small picture, for whoever takes the plan to the bench</label>
      )}
      <p class={wrong === null ? 'finding' : 'warning'} role="status">{wrong ?? (link === null ? 'Being written …' : <Length chars={whole.length} />)}</p>
      {link !== null && (
        <div class="lesson-link">
          <QrCode text={whole} label="The lesson as a QR code" />
          <div>
            <textarea class="share-link" ref={field} readOnly rows={4} aria-label="Link to your lesson" value={whole} onFocus={(event) => event.currentTarget.select()} />
            <p class="acts">
              <button type="button" class="act" onClick={() => { if (field.current) void copyFrom(field.current).then(setCopied); }}>Copy the link</button>
              <button type="button" class="act" onClick={() => show('read')}>Try it as a student</button>
              <button type="button" class="act" onClick={() => show('present')}>Show it to a class</button>
              <button type="button" class="act" onClick={() => show('handout')}>Handout…</button>
              <span role="status" class="why share-copied">{copied}</span>
            </p>
            <p class="why">The link holds the lesson as it is now: what you change later stands in a new link. Whoever has it can read all of it, the answer too.{fromDisk && ' This page was opened from disk: others paste the link into their own Platewright, under “share…”.'}</p>
          </div>
        </div>
      )}
    </section>
  );
}

/** How long the link is, and what bears that. */
function Length({ chars }: { chars: number }) {
  const [code, chat, most] = ['link.code', 'link.chat', 'link'].map((key) => limitsOf(key).max);
  const bears = chars <= Number(code) ? 'short enough for a code that a phone reads, and for every chat.'
    : chars <= Number(chat) ? `short enough for every chat; a code that a phone reads well bears ${code}.`
    : `over ${chat} some chat programs cut a link off: shorten the words, or leave the picture out. An address bears ${most}.`;
  return <><span class="number">{chars}</span> <span class="unit">characters</span>: {bears}</>;
}

/** The link of a draft; what is missing comes from where links are written. */
function useLink({ plan, withPicture, lesson }: OwnLesson): { link: string | null; wrong: string | null } {
  const [made, setMade] = useState<{ link: string | null; wrong: string | null }>({ link: null, wrong: null });
  const wanted = JSON.stringify({ ...lesson, shares: plan?.shares ?? [] });
  const on = withPicture && plan?.pictured ? plan.pictured : plan?.link;
  useEffect(() => {
    let here = true;
    setMade({ link: null, wrong: null });
    if (on === undefined) return undefined;
    const timer = setTimeout(() => {
      askStudies('lesson_link', on, JSON.parse(wanted) as Parameters<typeof askStudies<'lesson_link'>>[2])
        .then((link) => { if (here) setMade({ link, wrong: null }); })
        .catch((error: Error) => { if (here) setMade({ link: null, wrong: error.message }); });
    }, AFTER_MS);
    return () => { here = false; clearTimeout(timer); };
  }, [on, wanted]);
  return made;
}
