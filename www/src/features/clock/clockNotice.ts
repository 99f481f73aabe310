import { signal } from '@preact/signals';
import { fromDisk } from '../../store/links.ts';
import { persisted } from '../../store/persisted.ts';

/*
 * The end of a step told by the device itself while the page is out of sight: behind another tab or program, or on a
 * phone that lies dark. Asked for by a press alone; where it cannot be, a sentence says so.
 */

/** Whether the user wants to be told. */
export const notices = persisted('platewright.clock-notices', false, (kept) => kept === 'on', { form: (on) => (on ? 'on' : undefined) });
/** Why the device does not tell, though it was asked to; or null. */
export const untold = signal<string | null>(null);

/** One notice at a time: a later one takes the place of the one before. */
const TAG = 'platewright-clock';
const KEEP = 'Keep the clock in sight, or the sound on.';

function why(): string | null {
  if (!('Notification' in window)) return `This browser has no notices for a page that is out of sight. ${KEEP}`;
  if (Notification.permission === 'granted') return null;
  return fromDisk
    ? `The browser gives no notices to a page opened from disk. ${KEEP}`
    : `The browser does not allow this page to send notices; its settings for the page can allow it. ${KEEP}`;
}

/** By a press only: asks the browser where it has not been asked. */
export async function setNotices(on: boolean): Promise<void> {
  if (on && 'Notification' in window && Notification.permission === 'default') await Notification.requestPermission().catch(() => undefined);
  untold.value = on ? why() : null;
  notices.value = on && untold.value === null;
}

/** Whether what was once allowed still is. */
export function lookAgain(): void {
  if (notices.value) untold.value = why();
}

let shown: Notification | null = null;

/** The page's own keeper, where there is one: on phones only it can show a notice. */
const keeper = async (): Promise<ServiceWorkerRegistration | undefined> => navigator.serviceWorker?.getRegistration().catch(() => undefined);

/** Tells, where the page is out of sight and the user has asked for it. */
export async function notice(title: string, body: string): Promise<void> {
  if (!notices.value || document.visibilityState === 'visible' || why() !== null) return;
  const icon = document.querySelector<HTMLLinkElement>('link[rel="icon"]')?.href;
  const about: NotificationOptions = { body, tag: TAG, requireInteraction: true, ...(icon ? { icon } : {}) };
  try {
    const by = await keeper();
    if (by?.active) {
      await by.showNotification(title, about);
      return;
    }
    shown = new Notification(title, about);
    shown.addEventListener('click', () => {
      window.focus();
      shown?.close();
    });
  } catch {
    untold.value = `The browser could not show a notice. ${KEEP}`;
  }
}

/** The page is seen, or the step goes on: nothing more is to be told. */
export async function putNoticeAway(): Promise<void> {
  shown?.close();
  shown = null;
  if (!notices.value) return;
  for (const one of await (await keeper())?.getNotifications({ tag: TAG }).catch(() => []) ?? []) one.close();
}

let alarm: Worker | null = null;

/** Calls once at a moment, also when the page is out of sight: its own timers then go off once a minute, a worker's in time. */
export function callAt(moment: number | null, call: () => void): void {
  if (moment === null) {
    alarm?.terminate();
    alarm = null;
    return;
  }
  if (!alarm) {
    const source = 'let timer;onmessage=({data})=>{clearTimeout(timer);timer=setTimeout(()=>postMessage(0),data)}';
    alarm = new Worker(URL.createObjectURL(new Blob([source], { type: 'text/javascript' })));
  }
  alarm.onmessage = call;
  alarm.postMessage(Math.max(0, moment - Date.now()));
}
