// Firefox by its own WebDriver BiDi door: enough to open a page, ask it things, and hear its complaints.
// (Playwright drives only a Firefox build of its own.) Node 20 needs --experimental-websocket.

import { spawn } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';

const PROGRAM = process.env.FIREFOX ?? '/usr/bin/firefox-esr';

// Keeps a fresh profile from greeting, updating or measuring anything over the network.
const PREFERENCES = {
  'app.normandy.enabled': false,
  'app.update.enabled': false,
  'browser.shell.checkDefaultBrowser': false,
  'browser.startup.homepage_override.mstone': 'ignore',
  'datareporting.policy.dataSubmissionEnabled': false,
  'extensions.systemAddon.update.enabled': false,
  'network.captive-portal-service.enabled': false,
  'network.connectivity-service.enabled': false,
  'services.settings.server': 'data:,',
  'toolkit.telemetry.enabled': false,
};

/** Starts Firefox, hands `body` a function that opens addresses, and ends it again. */
export async function withFirefox(body) {
  const home = await mkdtemp(path.join(tmpdir(), 'platewright-firefox-'));
  const lines = Object.entries(PREFERENCES).map(([key, value]) => `user_pref("${key}", ${JSON.stringify(value)});`);
  await writeFile(path.join(home, 'user.js'), lines.join('\n'));
  const child = spawn(PROGRAM, ['--headless', '--no-remote', '--profile', home, '--remote-debugging-port', '0'], {
    stdio: ['ignore', 'ignore', 'pipe'],
    env: { ...process.env, HOME: home },
  });
  const ended = new Promise((resolve) => child.once('exit', resolve));
  try {
    const door = await connect(`${await listening(child)}/session`);
    await body((address, tab = 'this', steps = 'all') => open(door, address, tab, steps));
    door.close();
  } finally {
    child.kill();
    await ended;
    await rm(home, { recursive: true, force: true, maxRetries: 5 });
  }
}

/** Where Firefox says that it listens. */
function listening(child) {
  return new Promise((resolve, reject) => {
    let said = '';
    child.stderr.setEncoding('utf8').on('data', (text) => {
      said += text;
      const found = /WebDriver BiDi listening on (ws:\S+)/.exec(said);
      if (found) resolve(found[1]);
    });
    child.once('error', reject);
    child.once('exit', (code) => reject(new Error(`Firefox ended at once (${code}):\n${said}`)));
  });
}

/** A session: `send(method, params)` answers with the result; `heard` gathers events. */
async function connect(address) {
  const socket = new WebSocket(address);
  await new Promise((resolve, reject) => {
    socket.onopen = resolve;
    socket.onerror = () => reject(new Error(`no answer from Firefox at ${address}`));
  });
  const waiting = new Map();
  const heard = [];
  let last = 0;
  socket.onmessage = ({ data }) => {
    const message = JSON.parse(data);
    if (message.type === 'event') heard.push(message);
    else if (message.type === 'error') waiting.get(message.id)?.reject(new Error(`${message.error}: ${message.message}`));
    else waiting.get(message.id)?.resolve(message.result);
  };
  const send = (method, params) => new Promise((resolve, reject) => {
    last += 1;
    waiting.set(last, { resolve, reject });
    socket.send(JSON.stringify({ id: last, method, params }));
  });
  await send('session.new', { capabilities: {} });
  await send('session.subscribe', { events: ['log.entryAdded'] });
  return { send, heard, close: () => socket.close() };
}

/** Opens an address in this tab or a `new` one, with all `steps` of the plan unfolded or as it opens by itself (`one`); gives `ask(expression)`, `reload()`, `print([width, height] in mm)` and `complaints()`. */
async function open(door, address, tab, steps) {
  const { contexts: [{ context: first }] } = await door.send('browsingContext.getTree', {});
  const { context } = tab === 'new' ? await door.send('browsingContext.create', { type: 'tab' }) : { context: first };
  await door.send('script.addPreloadScript', {
    functionDeclaration: `() => {
      window.violations = [];
      document.addEventListener('securitypolicyviolation', (event) =>
        window.violations.push('policy: ' + event.violatedDirective + ' blocked ' + (event.blockedURI || 'inline')));
      try {
        if (${steps === 'all'}) localStorage.setItem('platewright.settings', JSON.stringify({ ...JSON.parse(localStorage.getItem('platewright.settings') ?? '{}'), steps: 'all' }));
      } catch { /* The blank page before has no store. */ }
    }`,
  });
  await door.send('browsingContext.navigate', { context, url: address, wait: 'complete' });
  const ask = async (expression) => {
    const { result, exceptionDetails } = await door.send('script.evaluate', {
      expression: `Promise.resolve(${expression}).then((value) => JSON.stringify(value))`,
      target: { context },
      awaitPromise: true,
    });
    if (exceptionDetails) throw new Error(exceptionDetails.text);
    return JSON.parse(result.value ?? 'null');
  };
  const complaints = async () => [
    ...door.heard.filter(({ params }) => params.level === 'error' || params.level === 'warn')
      .map(({ params }) => `${params.level}: ${params.text}`),
    ...await ask('window.violations'),
  ];
  const reload = () => door.send('browsingContext.reload', { context, wait: 'complete' });
  // Its own margins, 1 cm, which the page's styles may change as they may at a printer.
  const print = async ([width, height]) => {
    const { data } = await door.send('browsingContext.print', { context, background: true, page: { width: width / 10, height: height / 10 } });
    return Buffer.from(data, 'base64');
  };
  return { ask, reload, print, complaints };
}

/** Asks until the answer is truthy. */
export async function until(ask, expression, seconds = 20) {
  const deadline = Date.now() + seconds * 1000;
  for (;;) {
    const answer = await ask(expression);
    if (answer) return answer;
    if (Date.now() > deadline) throw new Error(`after ${seconds} s still not so: ${expression}`);
    await new Promise((resolve) => setTimeout(resolve, 100));
  }
}
