// Three engines by one client: Selenium's, over the W3C's WebDriver, with the driver that each engine's makers keep.
// What is asked of a page here is asked the same way of all three.

import { spawn } from 'node:child_process';
import { closeSync, openSync, readdirSync } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { Builder, By, Capabilities } from 'selenium-webdriver';
import chrome from 'selenium-webdriver/chrome.js';
import firefox from 'selenium-webdriver/firefox.js';
import { DriverService } from 'selenium-webdriver/remote/index.js';
import { ROOT } from './page.mjs';
import { eventually } from './waits.mjs';

const RESULTS = path.join(ROOT, 'test-results/engines');

// Keeps a fresh profile from greeting, updating or measuring anything over the network.
const FIREFOX_PREFERENCES = {
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

/** The program that stands with WebKit's driver, beside its libraries. */
function miniBrowser() {
  for (const machine of readdirSync('/usr/lib')) {
    for (const folder of /-linux-gnu/.test(machine) ? readdirSync(path.join('/usr/lib', machine)) : []) {
      if (folder.startsWith('webkit2gtk-')) return path.join('/usr/lib', machine, folder, 'MiniBrowser');
    }
  }
  throw new Error('the driver of WebKit has no browser beside it');
}

/** A screen that nobody sees, for what has no way to do without: its name, and how it is put away. */
async function hiddenScreen() {
  const child = spawn('Xvfb', ['-displayfd', '3', '-screen', '0', '1600x1200x24', '-nolisten', 'tcp'], { stdio: ['ignore', 'ignore', 'ignore', 'pipe'] });
  const name = await new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('exit', (code) => reject(new Error(`Xvfb ended at once (${code})`)));
    child.stdio[3].once('data', (bytes) => resolve(`:${String(bytes).trim()}`));
  });
  return { name, close: () => child.kill() };
}

async function startChromium() {
  const options = new chrome.Options().setChromeBinaryPath(process.env.CHROMIUM ?? '/usr/bin/chromium')
    .addArguments('--headless=new', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync')
    .enableBidi();
  const driver = await new Builder().forBrowser('chrome').setChromeOptions(options).setChromeService(new chrome.ServiceBuilder(process.env.CHROMEDRIVER ?? '/usr/bin/chromedriver')).build();
  return { driver, close: () => driver.quit() };
}

async function startFirefox() {
  const options = new firefox.Options().setBinary(process.env.FIREFOX ?? '/usr/bin/firefox-esr').addArguments('-headless').enableBidi();
  for (const [key, value] of Object.entries(FIREFOX_PREFERENCES)) options.setPreference(key, value);
  const program = process.env.GECKODRIVER ?? path.join(process.env.CARGO_TARGET_DIR ?? path.join(ROOT, 'target'), 'tools/bin/geckodriver');
  const driver = await new Builder().forBrowser('firefox').setFirefoxOptions(options).setFirefoxService(new firefox.ServiceBuilder(program)).build();
  return { driver, close: () => driver.quit() };
}

async function startWebKit() {
  const screen = await hiddenScreen();
  await mkdir(RESULTS, { recursive: true });
  const log = openSync(path.join(RESULTS, 'webkit-driver.log'), 'w');
  const service = new DriverService.Builder(process.env.WEBKIT_DRIVER ?? '/usr/bin/WebKitWebDriver')
    .setEnvironment({ ...process.env, DISPLAY: screen.name }).setStdio(['ignore', log, log]).setLoopback(true).build();
  const end = async () => {
    await service.kill();
    screen.close();
    closeSync(log);
  };
  try {
    const wanted = new Capabilities({ browserName: 'MiniBrowser', 'webkitgtk:browserOptions': { binary: miniBrowser(), args: ['--automation'] } });
    const driver = await new Builder().usingServer(await service.start()).withCapabilities(wanted).build();
    return { driver, close: () => driver.quit().finally(end) };
  } catch (error) {
    await end();
    throw error;
  }
}

/** Every engine there is: how it starts, whether its driver tells what its console says, and whether what it prints is looked at here. */
const ENGINES = {
  // What Chromium prints is tried by itself (`paper.test.mjs`); WebKit's driver prints nothing.
  Chromium: { start: startChromium, tells: true, prints: false },
  Firefox: { start: startFirefox, tells: true, prints: true },
  WebKit: { start: startWebKit, tells: false, prints: false },
};

/** Those that are tried: all, or the ones that `scripts/test` names, since it says of the others why they cannot be. */
export const TRIED = (process.env.ENGINES ?? Object.keys(ENGINES).join(' ')).split(' ').filter(Boolean);

/** Starts an engine, hands `body` a window of it, and ends it again. */
export async function withEngine(name, body) {
  const { start, tells, prints } = ENGINES[name];
  const { driver, close } = await start();
  try {
    await driver.manage().setTimeouts({ script: 60_000, pageLoad: 60_000 });
    const version = (await driver.getCapabilities()).get('browserVersion');
    await body(await windowOf(driver, { name, version, tells, prints }));
  } finally {
    await close().catch(() => {});
  }
}

/** What can be done with a window. */
async function windowOf(driver, engine) {
  const heard = tellingOf(engine.tells ? await driver.getBidi() : null);
  await heard.begin();
  /** Runs a function in the page, with these arguments, and gives what it, or its promise, comes to. */
  const ask = (work, ...args) => driver.executeScript(work, ...args);
  const until = (work, what, { seconds = 60, args = [] } = {}) => eventually(() => ask(work, ...args), Boolean, `${what}, in ${engine.name}`, seconds);
  const there = (selector, seconds = 60) => until((css) => document.querySelector(css)?.checkVisibility() === true, `${selector} is there`, { seconds, args: [selector] });
  const gone = (selector) => until((css) => document.querySelector(css) === null, `${selector} is gone`, { args: [selector] });
  /** Waits until some words stand in a place. */
  const says = (selector, words, seconds = 60) => eventually(() => ask((css) => [...document.querySelectorAll(css)].map((one) => one.textContent).join('\n'), selector),
    (text) => (words instanceof RegExp ? words.test(text) : text.includes(words)), `${selector} says ${words}, in ${engine.name}`, seconds);
  const find = async (selector) => { await there(selector); return driver.findElement(By.css(selector)); };
  /** Brings something into the window and waits until it stands where it stood two frames ago: what moves as it is clicked is missed by a hand, too. */
  const bring = async (on) => {
    await ask((one) => one.scrollIntoView({ block: 'center' }), on);
    await until((one) => new Promise((resolve) => {
      const place = () => { const { x, y } = one.getBoundingClientRect(); return `${x} ${y}`; };
      const was = place();
      requestAnimationFrame(() => requestAnimationFrame(() => resolve(place() === was)));
    }), 'it stands still', { args: [on], seconds: 10 });
  };
  const click = async (selector) => {
    const on = await find(selector);
    await bring(on);
    await on.click();
  };
  /** Clicks as a hand does: again, where something that is just going has been in the way. */
  const clicked = (on, words) => eventually(() => on.click().then(() => true, (refused) => {
    if (/ElementNotInteractable|ElementClickIntercepted/.test(refused.name)) return false;
    throw refused;
  }), Boolean, `“${words}” can be clicked, in ${engine.name}`, 10);
  /** Presses the button, word or summary with these words; an act of a menu once the menu is unfolded. */
  const press = async (words, within = 'body') => {
    const menu = await ask(menuOf, words, within);
    if (menu) await clicked(menu, words);
    const on = await eventually(() => ask(byWords, words, within), Boolean, `“${words}” can be pressed, in ${engine.name}`, 30);
    await bring(on);
    await clicked(on, words);
  };
  const key = (keys) => driver.actions().sendKeys(keys).perform();
  /** Types into an entry, over what stands there; the entry itself, or where it is found. */
  const write = async (entry, text, end = '') => {
    const on = typeof entry === 'string' ? await find(entry) : entry;
    await ask((one) => { one.scrollIntoView({ block: 'center' }); one.focus(); one.select(); }, on);
    // To whatever has the keyboard: sent to the entry, Chromium's driver would put them behind what stands there.
    await key(String(text) + end);
  };
  const open = async (address) => {
    await driver.get(address);
    await ask(hearWithin, engine.tells);
  };
  const reload = async () => {
    await driver.navigate().refresh();
    await ask(hearWithin, engine.tells);
  };
  /** A window whose page has so many CSS pixels. */
  const size = async (width, height) => {
    const [wide, high] = await ask(() => [innerWidth, innerHeight]);
    const rect = await driver.manage().window().getRect();
    await driver.manage().window().setRect({ x: 0, y: 0, width: width + rect.width - wide, height: height + rect.height - high });
    await eventually(() => ask(() => [innerWidth, innerHeight]), ([nowWide, nowHigh]) => nowWide === width && nowHigh === height, `the page is ${width} × ${height}, in ${engine.name}`, 10);
  };
  /** Gives a file to the field that the browser's own chooser is for. */
  const giveFile = async (selector, file) => (await driver.findElement(By.css(selector))).sendKeys(file);
  /** Has the next press that asks for a file leave its field in the page, where the driver finds it. */
  const chooseFile = async (words, file, within) => {
    await ask(keepChooser);
    await press(words, within);
    await giveFile('input[data-chooser]', file);
    await ask(() => document.querySelector('input[data-chooser]')?.remove());
  };
  const print = async ([width_mm, height_mm]) => Buffer.from(await driver.printPage({ background: true, width: width_mm / 10, height: height_mm / 10 }), 'base64');
  const screenshot = async (name) => {
    await mkdir(RESULTS, { recursive: true });
    await writeFile(path.join(RESULTS, `${name}-${engine.name}.png`), Buffer.from(await driver.takeScreenshot(), 'base64'));
  };
  /** Puts a pointer down at a point of the window, draws it along the others and lets go. */
  const drag = async ([from, ...along]) => {
    const hand = driver.actions().move({ x: Math.round(from[0]), y: Math.round(from[1]) }).press();
    for (const [x, y] of along) hand.move({ x: Math.round(x), y: Math.round(y), duration: 80 });
    await hand.release().perform();
  };
  /** What the console and the page's policy complained of so far. */
  const complaints = async () => [...heard.all, ...await ask(() => window.complaints ?? [])];
  return { ...engine, driver, ask, until, there, gone, says, find, click, press, write, open, reload, size, giveFile, chooseFile, print, screenshot, key, drag, complaints };
}

/** Errors and warnings of every console, by the driver's own door for events. */
function tellingOf(bidi) {
  const all = [];
  return {
    all,
    begin: async () => {
      if (!bidi) return;
      await bidi.subscribe('log.entryAdded');
      (await bidi.socket).on('message', (bytes) => {
        const { method, params } = JSON.parse(bytes.toString());
        if (method === 'log.entryAdded' && ['error', 'warn'].includes(params.level)) all.push(`${params.level}: ${params.text}`);
      });
    },
  };
}

/* What follows runs in the page. */

/** Notes what breaks the policy and, where the driver does not `tell`, errors and what the console is given, from now on. */
function hearWithin(tells) {
  window.complaints = [];
  const note = (words) => window.complaints.push(words);
  document.addEventListener('securitypolicyviolation', (event) => note(`policy: ${event.violatedDirective} blocked ${event.blockedURI || 'inline'}`));
  if (tells) return;
  addEventListener('error', (event) => note(`error: ${event.message}`));
  addEventListener('unhandledrejection', (event) => note(`error: ${event.reason}`));
  for (const level of ['error', 'warn']) console[level] = (...words) => note(`${level}: ${words.join(' ')}`);
}

function byWords(words, within) {
  const said = (one) => (one.querySelector(':scope > span:first-child:not(.unseen)') ?? one).textContent.trim();
  return [...document.querySelectorAll(within)].flatMap((place) => [...place.querySelectorAll('button, summary, label.word')])
    .find((one) => one.checkVisibility() && !one.disabled && (said(one) === words || one.textContent.trim() === words || one.getAttribute('aria-label') === words)) ?? null;
}

/** The folded menu that holds an act of these words. */
function menuOf(words, within) {
  if (within !== 'body') return null;
  const act = [...document.querySelectorAll('.menu-list button')].find((one) => (one.querySelector(':scope > span:first-child') ?? one).textContent.trim() === words);
  return act?.closest('.menu').querySelector('.menu-word[aria-expanded=false]') ?? null;
}

function keepChooser() {
  const press = HTMLInputElement.prototype.click;
  HTMLInputElement.prototype.click = function stay() {
    if (this.type !== 'file') {
      press.call(this);
      return;
    }
    HTMLInputElement.prototype.click = press;
    this.dataset.chooser = '';
    document.body.append(this);
  };
}
