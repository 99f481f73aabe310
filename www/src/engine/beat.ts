/** Time between two beats of a worker, and between two looks at them, ms. */
export const BEAT_MS = 1000;

/** In a worker: has the beats go out by this door for as long as it lives. */
export function beat(door: MessagePort): void {
  const source = `onmessage=({data})=>{data.postMessage(0);setInterval(()=>data.postMessage(0),${BEAT_MS})}`;
  const url = URL.createObjectURL(new Blob([source], { type: 'text/javascript' }));
  new Worker(url).postMessage(door, [door]);
}
