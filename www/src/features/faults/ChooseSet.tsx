import { useEffect, useRef, useState } from 'preact/hooks';
import { capital } from '../../store/capital.ts';
import { exercise, faultKinds } from '../../store/faults.ts';
import { address, fromDisk } from '../../store/links.ts';
import { titles } from '../../store/place.ts';
import { copyFrom } from '../../ui/copying.ts';
import { QrCode } from '../../ui/QrCode.tsx';
import { codeFor } from './exercise.ts';
import { learnFaults, type Kind } from './faults.ts';

const STEPS = ['dust', 'bake', 'bites', 'ink'] as const;

/** Which faults may come up, and the link for a class. */
export function ChooseSet() {
  const [out, setOut] = useState<ReadonlySet<Kind>>(new Set());
  const [made, setMade] = useState<{ code: string; wrong: string }>({ code: '', wrong: '' });
  const [copied, setCopied] = useState('');
  const [coded, setCoded] = useState(false);
  const field = useRef<HTMLInputElement>(null);
  const kinds = faultKinds.value;
  useEffect(() => { learnFaults().catch((error: Error) => setMade({ code: '', wrong: error.message })); }, []);
  useEffect(() => {
    if (kinds.length === 0) return undefined;
    let here = true;
    setCopied('');
    codeFor(kinds.map(({ kind }) => kind).filter((kind) => !out.has(kind))).then((code) => { if (here) setMade({ code, wrong: '' }); }, (error: Error) => { if (here) setMade({ code: '', wrong: error.message }); });
    return () => { here = false; };
  }, [kinds, out]);
  const put = (which: Kind[], on: boolean): void => {
    const next = new Set(out);
    for (const kind of which) if (on) next.delete(kind); else next.add(kind);
    setOut(next);
  };
  const link = `${fromDisk ? '' : address()}#what-went-wrong-${made.code}`;
  return (
    <div class="wrong-choose">
      <p class="faults-lead">One fault happens to the example’s plate. You see the print, look at it under the linen tester, and say what went wrong; then it is shown and explained.</p>
      {STEPS.map((step) => {
        const here = kinds.filter((info) => info.step === step);
        if (here.length === 0) return null;
        const all = here.every(({ kind }) => !out.has(kind));
        return (
          <fieldset key={step}>
            <legend>{titles[step]} <button type="button" class="quiet" aria-label={`${all ? 'none' : 'all'} of ${titles[step]}`} onClick={() => put(here.map(({ kind }) => kind), !all)}>{all ? 'none' : 'all'}</button></legend>
            {here.map(({ kind, name }) => (
              <label key={kind}><input type="checkbox" checked={!out.has(kind)} onChange={(event) => put([kind], event.currentTarget.checked)} /> {capital(name)}</label>
            ))}
          </fieldset>
        );
      })}
      {made.wrong && <p class="problem" role="status">{made.wrong}</p>}
      {kinds.length === 0 && !made.wrong && <p role="status">One moment</p>}
      <p class="acts"><button type="button" class="act wrong-begin" disabled={!made.code} onClick={() => { exercise.value = made.code; }}>Begin</button></p>
      {made.code && (
        <section class="wrong-link" aria-labelledby="wrong-link">
          <h3 id="wrong-link">For a class</h3>
          <p class="why">The link holds which faults may come up, and which of the exercises is the first: everybody who opens it has the same ones, and whatever plan is open stays as it is.{fromDisk && ' This page was opened from disk: put this ending behind the address of any Platewright.'}</p>
          <input class="wrong-address" ref={field} readOnly aria-label="Link to this exercise" value={link} onFocus={(event) => event.currentTarget.select()} />
          <p class="acts">
            <button type="button" class="act" onClick={() => { if (field.current) void copyFrom(field.current).then(setCopied); }}>Copy the link</button>
            <button type="button" class="quiet" aria-expanded={coded} onClick={() => setCoded(!coded)}>as a code</button>
            <span role="status" class="why">{copied}</span>
          </p>
          {coded && <QrCode text={link} label="The exercise as a QR code" />}
        </section>
      )}
    </div>
  );
}
