// What every browser test needs: a browser with a fresh profile, a record of what the page asked for and
// complained about, hands that work by role and name, and a server that can be stopped.
//
// Environment: CHROMIUM and FIREFOX name the programs; SCREENSHOTS names a folder for pictures.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { createServer } from "node:http";
import { mkdir, mkdtemp, readFile, readdir, rm, stat } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import puppeteer from "puppeteer-core";

const ROOT = fileURLToPath(new URL("../../", import.meta.url));

/** The built page and the folder of its hosted copy. */
export const PAGE_FILE = join(ROOT, "dist", "leanyear.html");
export const SITE_FOLDER = join(ROOT, "dist", "site");
export const PAGE_ADDRESS = pathToFileURL(PAGE_FILE).href;

export const BROWSERS = ["chromium", "firefox"];
export const PHONE = { width: 390, height: 844, deviceScaleFactor: 2 };
export const LAPTOP = { width: 1280, height: 800, deviceScaleFactor: 1 };

// A test that waits longer than this for the page has found a fault in it.
export const PATIENCE_MS = 20000;
const DOWNLOAD_MS = 30000;

const PROGRAMS = {
  chromium: process.env.CHROMIUM ?? "/usr/bin/chromium",
  firefox: process.env.FIREFOX ?? "/usr/bin/firefox-esr",
};
const CHROMIUM_ARGUMENTS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync",
];
const QUIET_FIREFOX = {
  "app.normandy.enabled": false,
  "browser.safebrowsing.malware.enabled": false,
  "browser.safebrowsing.phishing.enabled": false,
  "datareporting.policy.dataSubmissionEnabled": false,
  "network.captive-portal-service.enabled": false,
  "network.connectivity-service.enabled": false,
};

/**
 * Runs `work(browser)` with a fresh profile of `name`; `scripts: false` switches scripts off, `languages` are
 * those that Chromium asks for, as in `es-AR,es`.
 */
export async function withBrowser(name, work, { scripts = true, languages } = {}) {
  const asked = languages ? [`--accept-lang=${languages}`] : [];
  const profile = await mkdtemp(join(tmpdir(), `leanyear-${name}-`));
  const browser = await puppeteer.launch({
    browser: name === "firefox" ? "firefox" : "chrome",
    executablePath: PROGRAMS[name],
    headless: true,
    userDataDir: profile,
    args: name === "chromium" ? [...CHROMIUM_ARGUMENTS, ...asked] : [],
    extraPrefsFirefox: { ...QUIET_FIREFOX, "javascript.enabled": scripts },
  });
  try {
    return await work(browser);
  } finally {
    await browser.close();
    await rm(profile, { recursive: true, force: true, maxRetries: 5 });
  }
}

/** A new tab with its record: `requests` (addresses), `complaints` (errors, warnings of the policy). */
export async function newTab(browser, { viewport = PHONE, scripts = true } = {}) {
  const page = await browser.newPage();
  const record = { requests: [], complaints: [] };
  page.on("request", (request) => record.requests.push(request.url()));
  page.on("pageerror", (error) => record.complaints.push(`error: ${error.message}`));
  page.on("console", (message) => {
    if (message.type() === "error" || /content.security.policy/i.test(message.text())) {
      record.complaints.push(`console: ${message.text()}`);
    }
  });
  if (firefoxContext(page)) page.waitForFunction = (test, options, ...given) => polled(page, test, options, ...given);
  await setScreen(page, viewport);
  if (!scripts && isChromium(browser)) await page.setJavaScriptEnabled(false);
  if (scripts) {
    await page.evaluateOnNewDocument(() => {
      globalThis.policyViolations = [];
      document.addEventListener("securitypolicyviolation", (event) => {
        globalThis.policyViolations.push(`${event.effectiveDirective}: ${event.blockedURI}`);
      });
    });
  }
  return { page, record };
}

/** Lets every tab of a Chromium keep its downloads in `folder`. */
export async function keepDownloads(browser, folder) {
  const session = await browser.target().createCDPSession();
  await session.send("Browser.setDownloadBehavior", { behavior: "allow", downloadPath: folder });
}

/**
 * A file that was downloaded, once it is whole: a browser holds its name with an empty file, writes into another and
 * puts that in its place.
 */
export async function downloaded(folder, name) {
  let before = null;
  for (const begun = Date.now(); Date.now() - begun < DOWNLOAD_MS; await new Promise((done) => setTimeout(done, 50))) {
    const there = await readdir(folder);
    if (!there.includes(name) || there.some((other) => other.endsWith(".crdownload"))) continue;
    const { size } = await stat(join(folder, name));
    if (size > 0 && size === before) return readFile(join(folder, name));
    before = size;
  }
  throw new Error(`${name} was not downloaded; there is ${await readdir(folder)}`);
}

/** What Firefox knows a tab by; nothing in Chromium. */
const firefoxContext = (page) => page.mainFrame().browsingContext;

/**
 * Waits until `test` gives something in the page, also across a reload, and gives a handle of it. Puppeteer's own way
 * makes the test by `new Function`, which the page's policy refuses even its driver in a Firefox of 2025.
 */
export async function polled(page, test, { timeout = PATIENCE_MS, polling = 30 } = {}, ...given) {
  const begun = Date.now();
  let last = null;
  while (Date.now() - begun < timeout) {
    try {
      const found = await page.evaluateHandle(test, ...given);
      if (await found.evaluate((value) => Boolean(value))) return found;
    } catch (error) {
      // The page may be between two documents.
      last = error;
    }
    await new Promise((done) => setTimeout(done, Number(polling) || 30));
  }
  throw new Error(`waited ${timeout} ms for ${test}`, { cause: last });
}

/** Gives a tab the size of a screen. A Firefox of 2025 does not know the turn of a screen that goes with it. */
async function setScreen(page, { width, height, deviceScaleFactor }) {
  const context = firefoxContext(page);
  if (context) await context.setViewport({ viewport: { width, height }, devicePixelRatio: deviceScaleFactor });
  else await page.setViewport({ width, height, deviceScaleFactor });
}

function isChromium(browser) {
  return browser.process()?.spawnfile === PROGRAMS.chromium;
}

/** Waits until the page itself, not the static table, stands in `#app`. */
export async function mounted(page) {
  await page.waitForSelector("#app > *:not(.static)", { timeout: PATIENCE_MS });
}

/** What went out of the page, apart from its own file and what it made itself. */
export function strayRequests(record, own = PAGE_ADDRESS) {
  return record.requests.filter((address) => !/^(data|blob):/.test(address) && !address.startsWith(own));
}

/** Violations of the policy, seen from inside the page. */
export function policyViolations(page) {
  return page.evaluate(() => globalThis.policyViolations);
}

/** How many elements match, also where scripts are off and nothing can be evaluated in the page. */
export async function countElements(page, selector) {
  const context = firefoxContext(page);
  return context
    ? (await context.locateNodes({ type: "css", value: selector })).length
    : (await page.$$(selector)).length;
}

/** The text a reader sees. */
export function visibleText(page) {
  return page.evaluate(() => document.body.innerText);
}

/** Opens the page at `address` in a new tab and waits until it stands there. */
export async function open(browser, address = PAGE_ADDRESS, options = {}) {
  const tab = await newTab(browser, options);
  await tab.page.goto(address);
  await mounted(tab.page);
  return { ...tab, address };
}

/** Nothing went out of the tab, nothing went wrong in it, and nothing was refused by its policy. */
export async function assertClean({ page, record, address = PAGE_ADDRESS }) {
  assert.deepEqual(strayRequests(record, address.split("#")[0]), []);
  assert.deepEqual(record.complaints, []);
  assert.deepEqual(await policyViolations(page), []);
}

/** Points at the shown button whose words begin so and presses it there, as a thumb does. */
export async function press(page, words) {
  const found = await page.waitForFunction(
    (wanted) => [...document.querySelectorAll("dialog[open] button, body:not(:has(dialog[open])) button")]
      .find((button) => button.checkVisibility() && button.innerText.trim().startsWith(wanted)),
    { timeout: PATIENCE_MS }, words,
  );
  await found.asElement().click();
}

/** Opens the sheet behind the bracket of the sentence that holds these words. */
export async function openSheet(page, words) {
  await press(page, words);
  await page.waitForSelector("dialog[open] .slip", { timeout: PATIENCE_MS });
}

/** Waits until the page shows these words (a pattern), and gives everything it shows. */
export async function shows(page, pattern, timeout = PATIENCE_MS) {
  await page.waitForFunction((source) => new RegExp(source, "s").test(document.body.innerText),
    { timeout }, pattern.source);
  return visibleText(page);
}

/** Waits until no sheet is open. */
export function noSheet(page) {
  return page.waitForFunction(() => !document.querySelector("dialog[open]"), { timeout: PATIENCE_MS });
}

/** Waits until the address carries these settings; it is written a moment after a change. */
export function addressHolds(page, text) {
  return page.waitForFunction((wanted) => location.hash.includes(wanted), { timeout: PATIENCE_MS }, text);
}

/** The rows of the list as shown, top to bottom: name and bold sentence. */
export function rows(page) {
  return page.evaluate(() => [...document.querySelectorAll("li.row")].map((row) => ({
    name: row.querySelector(".name button").textContent.trim(),
    odds: row.querySelector(".odds").textContent.trim(),
  })));
}

/** Types into a field by its label, in place of what stood there. No field is ever disabled, and waiting for one to
 * be enabled does not end in Firefox where the field was out of sight. */
export function type(page, label, text) {
  return page.locator(`aria/${label}[role="textbox"]`).setTimeout(PATIENCE_MS).setWaitForEnabled(false).fill(text);
}

const focused = (page) => page.evaluate(() => document.activeElement.innerText ?? "");

/** Presses Tab until what has the focus begins so. */
export async function tabTo(page, words) {
  for (let step = 0; step < 60; step += 1) {
    if ((await focused(page)).trim().startsWith(words)) return;
    await page.keyboard.press("Tab");
  }
  assert.fail(`no way by Tab to “${words}”, only to “${await focused(page)}”`);
}

/** Waits until what has the focus begins so. */
export function focusComesTo(page, words) {
  return page.waitForFunction((wanted) => document.activeElement.innerText?.trim().startsWith(wanted),
    { timeout: PATIENCE_MS }, words);
}

/** A picture for the eye, only where SCREENSHOTS names a folder. */
export async function screenshot(page, name) {
  const folder = process.env.SCREENSHOTS;
  if (!folder) return;
  await mkdir(folder, { recursive: true });
  await page.screenshot({ path: join(folder, `${name}.png`) });
}

/** Starts `cargo run` as a reader of the README does; gives its address and a way to end it. */
export async function startCommand() {
  const command = spawn("cargo", ["run", "--quiet"], { cwd: ROOT, detached: true, stdio: ["ignore", "pipe", "ignore"] });
  const end = () => process.kill(-command.pid);
  let said = "";
  for await (const piece of command.stdout) {
    said += piece;
    const found = said.match(/http:\/\/127\.0\.0\.1:\d+\//);
    if (found) return { address: found[0], end };
  }
  throw new Error(`cargo run ended and said only: ${said}`);
}

const CONTENT_TYPES = {
  html: "text/html; charset=utf-8", js: "text/javascript", png: "image/png",
  txt: "text/plain; charset=utf-8", webmanifest: "application/manifest+json",
};

/**
 * Runs `work({ address, stop })` while a folder, or the one that `folder()` names at the time, is served.
 * `replace(path, bytes)` may give other bytes, or an answer of its own: `{ status, headers, body }`.
 */
export async function withServer(folder, work, replace = (_path, bytes) => bytes) {
  const server = createServer(async (request, response) => {
    const path = request.url === "/" ? "/index.html" : request.url.split("?")[0];
    const bytes = await readFile(join(typeof folder === "function" ? folder() : folder, path)).catch(() => null);
    const kind = CONTENT_TYPES[path.split(".").pop()] ?? "application/octet-stream";
    const given = replace(path, bytes);
    const own = given && !Buffer.isBuffer(given) ? given : { body: given };
    const { status = own.body ? 200 : 404, body = "no such file" } = own;
    response.writeHead(status, { "Content-Type": kind, "Cache-Control": "no-cache", ...own.headers });
    response.end(body ?? "no such file");
  });
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  const stop = () => new Promise((done) => { server.close(done); server.closeAllConnections(); });
  try {
    return await work({ address: `http://127.0.0.1:${server.address().port}/`, stop });
  } finally {
    await stop();
  }
}
