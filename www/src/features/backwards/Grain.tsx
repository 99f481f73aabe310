import { useState } from 'preact/hooks';
import { askStudies, breakOff } from '../../engine/studies.ts';
import type { GrainAnswer } from '../../engine/protocol.ts';
import { wordsOf } from '../../engine/workerClient.ts';
import { tell } from '../../store/notifications.ts';
import { change, plan } from '../../store/plan.ts';
import { summary } from '../../store/results.ts';
import { Words } from '../../ui/ChoiceEntry.tsx';
import { explained, measured } from '../../store/settings.ts';
import { Waiting } from '../../ui/Waiting.tsx';
import { readNumber } from '../../ui/numbers.ts';

/** From the grain one wants to the wait, the powder, the dustings and the bake. */
export function Grain() {
  const ground = summary.value?.ground;
  const [by, setBy] = useState<'footprint' | 'domes'>('footprint');
  const [size, setSize] = useState('');
  const [cover, setCover] = useState('50');
  const [now, setNow] = useState<GrainAnswer | null>(null);
  const [failed, setFailed] = useState('');
  const [busy, setBusy] = useState(false);
  const usual = by === 'footprint' ? ground?.median_footprint_um : ground?.domes_per_mm2;
  const limits: [number, number] = by === 'footprint' ? [5, 300] : [1, 5000];
  const wantedSize = size.trim() === '' ? Math.round(usual ?? 45) : readNumber(size);
  const wantedCover = readNumber(cover) / 100;
  const sound = wantedSize >= limits[0] && wantedSize <= limits[1] && wantedCover >= 0.05 && wantedCover <= 0.9;
  const seek = (): void => {
    const of = plan.value;
    setBusy(true);
    setNow(null);
    setFailed('');
    askStudies('grain', of, by === 'footprint' ? wantedSize : 0, by === 'domes' ? wantedSize : 0, wantedCover).then(setNow, (error: unknown) => setFailed(wordsOf(error))).finally(() => setBusy(false));
  };
  const take = (): void => {
    if (!now) return;
    const { wait_s, powder_g_per_m2, dustings, dusting_min, hot_plate_c, bake_min } = now;
    change('dust and bake planned backwards', {
      ...plan.value,
      dust: { ...plan.value.dust, wait_s, powder_g_per_m2, dustings, dusting_min },
      bake: { ...plan.value.bake, hot_plate_c, bake_min },
    });
    tell('This dust and bake are in the plan.');
  };
  return (
    <section class="back-grain" aria-labelledby="back-grain-title">
      <h3 id="back-grain-title">A grain of a wanted size</h3>
      <p class="section-why">The wait, the powder raised and the dustings that give it, and the bake that keeps it.</p>
      <div role="radiogroup" aria-label="How the grain is told">
        <Words name="back-grain" options={[['footprint', 'width of a dome'], ['domes', 'domes per mm²']]} chosen={by}
          onChoose={(word) => { setBy(word === 'domes' ? 'domes' : 'footprint'); setSize(''); }} />
      </div>
      <p class="back-grain-line">
        <label>{by === 'footprint' ? 'Half are wider than' : 'Domes'} <input class="entry-value back-entry" inputMode="decimal" value={size} placeholder={String(Math.round(usual ?? 45))} onInput={(event) => setSize(event.currentTarget.value)} /> <span class="unit">{by === 'footprint' ? 'µm' : 'per mm²'}</span></label>
        <label>Cover <input class="entry-value back-entry" inputMode="decimal" value={cover} onInput={(event) => setCover(event.currentTarget.value)} /> <span class="unit">%</span></label>
        <button type="button" class="act" disabled={!sound || busy} onClick={seek}>Find settings</button>
      </p>
      {!sound && <p class="problem">Give {limits[0]} to {limits[1]} {by === 'footprint' ? 'µm' : 'domes per mm²'} and a cover of 5 to 90 %.</p>}
      {failed && <p class="problem" role="alert">{failed}</p>}
      <div role="status">{busy && <Waiting words={`Grounds are laid until ${by === 'footprint' ? `half the domes are wider than ${wantedSize} µm` : `there are ${wantedSize} domes per mm²`}, at a cover of ${Math.round(100 * wantedCover)} %.`} onStop={breakOff} />}</div>
      {now && (
        <div role="status">
          <p>
            {now.dustings === 1 ? 'One dusting' : `${now.dustings} dustings`} of {now.powder_g_per_m2} g/m², wait {now.wait_s} s, {now.dusting_min} min in the box, {now.bake_min} min on the hot plate at {measured(now.hot_plate_c, '°C', 0)}: domes
            of {now.median_footprint_um.toFixed(0)} µm, {now.domes_per_mm2.toFixed(0)} per mm², cover {(now.cover * 100).toFixed(0)} %.
          </p>
          {now.hindrance && <p class="problem">{explained(now.hindrance)}</p>}
          <p class="acts"><button type="button" class="act" onClick={take}>Take this dust and bake</button></p>
        </div>
      )}
    </section>
  );
}
