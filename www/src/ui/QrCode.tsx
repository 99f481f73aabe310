import { useEffect, useState } from 'preact/hooks';
import { askStudies } from '../engine/studies.ts';

/** Light modules that the standard asks for all round (ISO/IEC 18004). */
const QUIET = 4;

/** An address as a QR code, or the sentence why it can't be one; `onShown` is called once one of the two stands there. */
export function QrCode({ text, label, onShown }: { text: string; label: string; onShown?: () => void }) {
  const [shown, setShown] = useState<{ path: string; side: number } | string>('');
  useEffect(() => {
    let wanted = true;
    setShown('');
    askStudies('qr_code', text)
      .then((dark) => { if (wanted) setShown(drawn(dark)); })
      .catch((error: Error) => { if (wanted) setShown(error.message); });
    return () => { wanted = false; };
  }, [text]);
  useEffect(() => { if (shown !== '') onShown?.(); }, [shown, onShown]);
  if (typeof shown === 'string') return <p class="qr-none">{shown}</p>;
  return (
    <svg class="qr" viewBox={`0 0 ${shown.side} ${shown.side}`} role="img" aria-label={label} shape-rendering="crispEdges">
      <rect width={shown.side} height={shown.side} fill="#fff" />
      <path d={shown.path} fill="#000" />
    </svg>
  );
}

/** Runs of dark modules as one path. */
function drawn(dark: Uint8Array): { path: string; side: number } {
  const modules = Math.round(Math.sqrt(dark.length));
  let path = '';
  for (let y = 0; y < modules; y++) {
    for (let x = 0; x < modules; x++) {
      let run = 0;
      while (x + run < modules && dark[y * modules + x + run]) run += 1;
      if (run) path += `M${x + QUIET} ${y + QUIET}h${run}v1h-${run}z`;
      x += run;
    }
  }
  return { path, side: modules + 2 * QUIET };
}
