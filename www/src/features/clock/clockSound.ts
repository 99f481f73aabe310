/*
 * Sounds of the clock. The end of a step is set ahead in the browser's audio clock, so that it is
 * heard on time also in a hidden tab, whose timers the browser slows down.
 */

let audio: AudioContext | null = null;
let planned: AudioScheduledSourceNode[] = [];

/** Three rising tones for the end, two for the last ten seconds, one for the last minute. */
const END = [660, 880, 1320];
const NEAR = [880, 880];
const MINUTE = [660];
/** The end is told again until somebody comes. */
const AGAIN_S = 20;
const TIMES = 6;

/** Call it from a press: browsers allow no sound before one. */
export function wakeSound(): void {
  if (!canSound) return;
  audio ??= new AudioContext();
  if (audio.state === 'suspended') void audio.resume();
}

/** True once a press has let the page make sounds; false, too, where the browser makes none. */
export const soundAwake = (): boolean => audio !== null;
export const canSound = typeof AudioContext !== 'undefined';

function tones(pitches: number[], at: number, loud: number): void {
  if (!audio) return;
  const out = audio;
  pitches.forEach((pitch, i) => {
    const [from, to] = [at + i * 0.28, at + i * 0.28 + 0.24];
    const tone = new OscillatorNode(out, { type: 'triangle', frequency: pitch });
    const level = new GainNode(out, { gain: 0 });
    level.gain.setValueAtTime(0, from);
    level.gain.linearRampToValueAtTime(loud, from + 0.02);
    level.gain.setValueAtTime(loud, to - 0.08);
    level.gain.linearRampToValueAtTime(0, to);
    tone.connect(level).connect(out.destination);
    tone.start(from);
    tone.stop(to);
    planned.push(tone);
  });
}

/** Takes back whatever is still to be heard. */
export function hush(): void {
  for (const tone of planned) tone.disconnect();
  planned = [];
}

/** Sets the sounds of a step that has so many seconds left. */
export function setSounds(left_s: number): void {
  hush();
  if (!audio) return;
  const now = audio.currentTime;
  if (left_s > 75) tones(MINUTE, now + left_s - 60, 0.25);
  if (left_s > 15) tones(NEAR, now + left_s - 10, 0.25);
  for (let i = 0; i < TIMES; i++) {
    const at = left_s + i * AGAIN_S;
    if (at > -1) tones(END, now + Math.max(0, at), 0.5);
  }
}

/** One tone, so that one hears what the clock will sound like. */
export function trySound(): void {
  if (audio) tones(END, audio.currentTime, 0.4);
}
