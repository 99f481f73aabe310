// WebKit by its W3C WebDriver (Debian's webkit2gtk-driver and its MiniBrowser, under Xvfb): enough to open an address in
// a window of some size and to ask it things.

import { spawn } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { eventually } from './waits.mjs';

const LIBRARIES = '/usr/lib/x86_64-linux-gnu';
const browser = () => readdirSync(LIBRARIES).filter((name) => name.startsWith('webkit2gtk')).map((name) => `${LIBRARIES}/${name}/MiniBrowser`).at(-1);

/** Starts WebKit, hands `body` its window `{ open, size, ask }`, and ends it again. */
export async function withWebKit(body) {
  const port = 4000 + (process.pid % 4000);
  const child = spawn('xvfb-run', ['-a', '-s', '-screen 0 1600x1200x24', process.env.WEBKIT_DRIVER ?? 'WebKitWebDriver', `--port=${port}`], { stdio: 'ignore', detached: true });
  const call = async (method, path, asked) => {
    const answer = await fetch(`http://127.0.0.1:${port}${path}`, { method, ...(asked && { body: JSON.stringify(asked) }) });
    const { value } = await answer.json();
    if (value?.error) throw new Error(`${value.error}: ${value.message}`);
    return value;
  };
  try {
    await eventually(() => call('GET', '/status').then(() => true, () => false), (up) => up, 'the driver of WebKit', 20);
    const { sessionId } = await call('POST', '/session', { capabilities: { alwaysMatch: { 'webkitgtk:browserOptions': { binary: browser(), args: ['--automation'] } } } });
    const at = `/session/${sessionId}`;
    await body({
      open: (url) => call('POST', `${at}/url`, { url }),
      size: (width, height) => call('POST', `${at}/window/rect`, { width, height }),
      ask: (expression) => call('POST', `${at}/execute/sync`, { script: `return ${expression}`, args: [] }),
    });
    await call('DELETE', at);
  } finally {
    // The driver and the screen that it was given.
    process.kill(-child.pid);
  }
}
