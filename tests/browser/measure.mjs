// What the page costs a cheap phone, as a table beside its budgets: `node tests/browser/measure.mjs`.
//
// A new profile of headless Chromium, its main thread slowed down to a quarter (a worker is not slowed down); every
// time is also given as a multiple of a fixed loop of arithmetic, timed in the same run at the same speed, so that
// two machines can be compared. Times of a change run from the event's own time stamp, so that waiting for the
// thread counts, and taps are those of a finger, for which a browser does more than for a mouse. What of a tap is the
// browser's own is measured beside it, on a page that has nothing but two buttons. It judges nothing by its exit code.
// CHANGES=20 makes a quick look of it.

import { readFile } from "node:fs/promises";
import { promisify } from "node:util";
import { gzip } from "node:zlib";
import * as harness from "./harness.mjs";
import { withFewerVarieties } from "./networks.mjs";

const SLOWED = 4;
const ROUNDS = 5;
const CHANGES = Number(process.env.CHANGES ?? 100);
const PHONE = { width: 390, height: 844, deviceScaleFactor: 1, hasTouch: true };
// A grower's settings: he grows one, the year is dry.
const GROWER = "#v=1&mine=V04&water=dry";
// Nothing that takes time: a tap writes one word and closes an empty dialog.
const EMPTY_PAGE = `data:text/html,<!doctype html><button>open</button><p></p><dialog><button>close</button></dialog>
<script>const [open, close] = document.querySelectorAll("button"), dialog = document.querySelector("dialog");
open.onclick = () => dialog.showModal();
close.onclick = () => { document.querySelector("p").textContent += "a"; dialog.close(); };</script>`;
// What the budget of a change is for; the demo has more, most of them no longer tested.
const VARIETIES = 36;

/** Watches from the first moment: when odds stand there, what shifts, how long each change takes. */
function watch() {
  const measured = { odds: null, shifts: [], changes: [], due: null };
  globalThis.measured = measured;
  const look = new MutationObserver(() => {
    if (measured.odds === null && document.querySelector("#app li.row .odds")) {
      document.body.getBoundingClientRect();
      measured.odds = performance.now();
      look.disconnect();
    }
  });
  look.observe(document, { childList: true, subtree: true });
  new PerformanceObserver((list) => {
    for (const shift of list.getEntries()) {
      const what = shift.sources.map(({ node }) => (node instanceof Element ? node : node?.parentElement)?.className).join(", ");
      measured.shifts.push({ value: shift.value, asked: shift.hadRecentInput, when: shift.startTime, what });
    }
  }).observe({ type: "layout-shift", buffered: true });
  // Microtasks, in which the page is rendered, end before a message is heard.
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = () => {
    document.body.getBoundingClientRect();
    const change = measured.due;
    measured.due = null;
    if (!change) return;
    change.layout = performance.now() - change.from;
    requestAnimationFrame(() => {
      const after = new MessageChannel();
      after.port1.onmessage = () => {
        change.painted = performance.now() - change.from;
        measured.changes.push(change);
      };
      after.port2.postMessage(null);
    });
  };
  globalThis.measureNext = (kind) => { measured.due = { kind, from: null }; };
  for (const event of ["click", "input"]) {
    window.addEventListener(event, ({ timeStamp }) => {
      if (!measured.due || measured.due.from !== null) return;
      measured.due.from = timeStamp;
      port2.postMessage(null);
    }, { capture: true });
  }
}

/** A fixed loop of arithmetic, ms. */
const loop = (page) => page.evaluate(() => {
  const begun = performance.now();
  let [a, b] = [1, 0.5];
  for (let k = 0; k < 5e6; k += 1) {
    a = a * 1.0000001 + b;
    b = b * 0.9999999 + 1e-9 * a;
  }
  return Number.isFinite(a + b) ? performance.now() - begun : Number.NaN;
});

const sorted = (values) => [...values].sort((a, b) => a - b);
const at = (values, share) => sorted(values)[Math.min(values.length - 1, Math.ceil(share * values.length) - 1)];
const median = (values) => at(values, 0.5);

/** Does one change of settings by a real tap or key, and waits until it is painted. */
async function change(page, kind, turn, how = KINDS[kind]) {
  const count = () => page.evaluate(() => globalThis.measured.changes.length);
  const before = await count();
  await how(page, turn, () => page.evaluate((what) => globalThis.measureNext(what), kind));
  await page.waitForFunction((had) => globalThis.measured.changes.length > had, { polling: 20, timeout: 30000 }, before);
}

/** The middle of an element on the screen. Only numbers come out: a handle would keep what the page has let go. */
const middle = (page, selector, place = 0) => page.evaluate((wanted, at) => {
  const element = document.querySelectorAll(wanted)[at];
  element.scrollIntoView({ block: "center", behavior: "instant" });
  const box = element.getBoundingClientRect();
  return [box.left + box.width / 2, box.top + box.height / 2];
}, selector, place);

async function openSheet(page, name) {
  await page.touchscreen.tap(...(await middle(page, `.bracket[data-sheet=${name}]`)));
  await page.waitForFunction(() => document.querySelector("dialog[open] .slip") !== null);
  // The sheet has risen, and what its opening worked out is done.
  await page.evaluate(() => Promise.all(document.getAnimations().map((one) => one.finished)));
}

const closed = (page) => page.waitForFunction(() => !document.querySelector("dialog[open]"));

/** Taps the choice at this place of the open sheet. */
async function choose(page, place, ready) {
  const at = await middle(page, "dialog[open] .choices button", place);
  await ready();
  await page.touchscreen.tap(...at);
}

const typed = (sheet, low) => async (page, turn, ready) => {
  await openSheet(page, sheet);
  await page.evaluate(() => document.querySelector("dialog[open] .typed input").focus());
  await page.keyboard.press("End");
  await ready();
  // One digit more or one less: each is a number of its own.
  await page.keyboard.press(turn % 2 === 0 ? String(low + (Math.floor(turn / 2) % 9)) : "Backspace");
  await page.waitForFunction(() => globalThis.measured.due === null);
  await page.keyboard.press("Escape");
  await closed(page);
};

/** What a reader changes: two that keep the draws (order, money), three that take new ones. */
const KINDS = {
  order: async (page, turn, ready) => {
    await openSheet(page, "order");
    await choose(page, turn % 3, ready);
    await closed(page);
  },
  cost: typed("cost", 1),
  water: async (page, turn, ready) => {
    await openSheet(page, "water");
    await choose(page, turn % 5, ready);
    await closed(page);
  },
  disease: async (page, turn, ready) => {
    await openSheet(page, "diseases");
    const at = await middle(page, "dialog[open] .strikes button", turn % 5);
    await ready();
    await page.touchscreen.tap(...at);
    await page.waitForFunction(() => globalThis.measured.due === null);
    await page.keyboard.press("Escape");
    await closed(page);
  },
  usual: typed("usual", 1),
};
const KEEPS_DRAWS = ["order", "cost"];

async function memory(page, session) {
  await session.send("HeapProfiler.collectGarbage");
  const { usedSize } = await session.send("Runtime.getHeapUsage");
  const { metrics } = await session.send("Performance.getMetrics");
  const count = (name) => metrics.find((one) => one.name === name).value;
  const wasm = await page.evaluate(() => wasm_bindgen.initSync().memory.buffer.byteLength);
  return { heap: usedSize / 1e6, wasm: wasm / 1e6, nodes: count("Nodes"), listeners: count("JSEventListeners") };
}

/** From a link to a view until something is there, ms by the page's own clock. */
async function until(page, view, there) {
  return page.evaluate((name, wanted, settings) => new Promise((done) => {
    const begun = performance.now();
    const look = setInterval(() => {
      if (!document.querySelector(wanted)) return;
      clearInterval(look);
      done(performance.now() - begun);
    }, 5);
    location.hash = `${settings}&view=${name}`;
  }), view, there, GROWER);
}

/** What a tap takes on a page where nothing is to be done: the same count of changes as one round. */
async function floor(browser) {
  const { page } = await slowTab(browser);
  await page.goto(EMPTY_PAGE);
  const tap = async (_, turn, ready) => {
    await page.touchscreen.tap(...(await middle(page, "button")));
    await page.waitForSelector("dialog[open]");
    const at = await middle(page, "dialog button");
    await ready();
    await page.touchscreen.tap(...at);
    await closed(page);
  };
  for (let turn = 0; turn < CHANGES; turn += 1) await change(page, "nothing", turn, tap);
  const times = await page.evaluate(() => globalThis.measured.changes);
  await page.close();
  return times;
}

async function run(browser, changed) {
  const measures = { plain: [], odds: [] };
  for (let visit = 0; visit < ROUNDS; visit += 1) {
    const { page } = await opened(browser, harness.PAGE_ADDRESS);
    measures.plain.push(await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0].startTime));
    measures.odds.push(await page.evaluate(() => globalThis.measured.odds));
    if (visit + 1 === ROUNDS) {
      await new Promise((done) => setTimeout(done, 1000));
      measures.opening = await page.evaluate(() => globalThis.measured.shifts.splice(0));
      measures.track = await until(page, "track-record", ".track-record .rows");
      measures.acres = await until(page, "acres", ".acres .said");
      measures.demo = [];
      await page.evaluate((settings) => { location.hash = settings; }, GROWER);
      await page.waitForSelector("#app li.row .odds");
      await changes(page, 20);
      for (let round = 0; round < ROUNDS; round += 1) measures.demo.push(await changes(page, Math.ceil(CHANGES / ROUNDS)));
    }
    await page.close();
  }
  measures.floor = await floor(browser);
  const { page, session } = await opened(browser, changed);
  await new Promise((done) => setTimeout(done, 1000));
  const loops = [await loop(page)];
  await changes(page, 20);
  measures.memory = [await memory(page, session)];
  measures.rounds = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    measures.rounds.push(await changes(page, CHANGES));
    loops.push(await loop(page));
    measures.memory.push(await memory(page, session));
  }
  measures.shifts = await page.evaluate(() => globalThis.measured.shifts.splice(0));
  measures.loop = median(loops);
  const bytes = await readFile(harness.PAGE_FILE);
  measures.size = (await promisify(gzip)(bytes, { level: 9 })).length / 1000;
  return measures;
}

/** A slowed tab in which odds stand. */
async function opened(browser, address) {
  const tab = await slowTab(browser);
  await tab.page.goto(address + GROWER);
  await tab.page.waitForFunction(() => globalThis.measured.odds !== null, { timeout: 60000 });
  return tab;
}

/** Makes so many changes, of each kind in turn; gives their times. */
async function changes(page, count) {
  const kinds = Object.keys(KINDS);
  for (let turn = 0; turn < count; turn += 1) await change(page, kinds[turn % kinds.length], Math.floor(turn / kinds.length));
  return page.evaluate(() => globalThis.measured.changes.splice(0));
}

async function slowTab(browser) {
  const page = await browser.newPage();
  await page.setViewport(PHONE);
  await page.evaluateOnNewDocument(watch);
  const session = await page.createCDPSession();
  await session.send("Performance.enable");
  await session.send("Emulation.setCPUThrottlingRate", { rate: SLOWED });
  return { page, session };
}

/** One line of the table. */
function row(what, value, unit, budget, { loops, note = "" } = {}) {
  const shown = value > 0 && value < 0.01 ? value.toPrecision(1) : value >= 100 || Number.isInteger(value) ? value.toFixed(0) : value.toFixed(value >= 10 ? 1 : 2);
  const verdict = budget === null ? "" : value <= budget ? "within" : "OVER";
  return [what, `${shown} ${unit}`, budget === null ? "" : `${budget} ${unit}`, verdict, loops ? (value / loops).toFixed(2) : "", note];
}

function table(measures) {
  const all = measures.rounds.flat();
  const loops = measures.loop;
  const of = (kinds, what) => all.filter((one) => kinds.includes(one.kind)).map((one) => one[what]);
  const floor = (what) => measures.floor.map((one) => one[what]);
  const kinds = Object.keys(KINDS);
  const medians = measures.rounds.map((round) => median(round.map((one) => one.layout)));
  const spread = `medians of the ${ROUNDS} rounds ${Math.min(...medians).toFixed(1)} to ${Math.max(...medians).toFixed(1)}`;
  const [first, last] = [measures.memory[0], measures.memory.at(-1)];
  const sum = (shifts) => shifts.reduce((total, shift) => total + shift.value, 0);
  // What a change moves within half a second of its paint is asked for: the browser counts that half second from the
  // input, which a slow machine may need for the change itself.
  const caused = (shift) => all.some((one) => shift.when >= one.from && shift.when <= one.from + one.painted + 500);
  const own = measures.shifts.filter((shift) => !shift.asked && !caused(shift));
  return [
    row("fixed loop of arithmetic", loops, "ms", null),
    row("plain table's odds painted, new tab, median of 5", median(measures.plain), "ms", 1500, { loops, note: measures.plain.map((one) => one.toFixed(0)).join(" ") }),
    row("first odds of one's own settings, the same tabs", median(measures.odds), "ms", 1500, { loops, note: measures.odds.map((one) => one.toFixed(0)).join(" ") }),
    row(`change, ${VARIETIES} varieties, input to end of layout, median`, median(of(kinds, "layout")), "ms", 16, { loops, note: spread }),
    row("  a tap on an empty page, input to end of layout, median", median(floor("layout")), "ms", null, { loops, note: "what the browser takes for itself" }),
    row("change, input to end of layout, 95th", at(of(kinds, "layout"), 0.95), "ms", 33, { loops }),
    row("  a tap on an empty page, 95th", at(floor("layout"), 0.95), "ms", null, { loops }),
    row("change, painted, median", median(of(kinds, "painted")), "ms", 50, { loops, note: `95th ${at(of(kinds, "painted"), 0.95).toFixed(1)} ms` }),
    row("  a tap on an empty page, painted, median", median(floor("painted")), "ms", null, { loops }),
    ...kinds.map((kind) => row(`  ${kind}, to end of layout, median`, median(of([kind], "layout")), "ms", null,
      { loops, note: KEEPS_DRAWS.includes(kind) ? "keeps the draws" : "takes new draws" })),
    row("  any, the whole demo, to end of layout, median", median(measures.demo.flat().map((one) => one.layout)), "ms", null, { loops }),
    row("layout shift while it opens", sum(measures.opening), "", 0, { note: measures.opening.map((one) => one.what).join("; ") }),
    row("layout shift over the changes, not asked for", sum(own), "", 0, { note: own.slice(0, 3).map((one) => one.what).join("; ") }),
    row("script memory gained over 500 changes", Math.max(0, last.heap - first.heap), "MB", 1, { note: measures.memory.map((one) => one.heap.toFixed(1)).join(" ") }),
    row("program memory gained over 500 changes", last.wasm - first.wasm, "MB", 0, { note: measures.memory.map((one) => one.wasm.toFixed(1)).join(" ") }),
    row("nodes gained over 500 changes", Math.max(0, last.nodes - first.nodes), "", 1000, { note: measures.memory.map((one) => one.nodes).join(" ") }),
    row("listeners gained over 500 changes", Math.max(0, last.listeners - first.listeners), "", 100, { note: measures.memory.map((one) => one.listeners).join(" ") }),
    row("acre split suggested, to its view", measures.acres, "ms", 200, { loops, note: "budget is that of the engine at full speed" }),
    row("track record in the page", measures.track, "ms", 3000, { loops, note: "in a worker, which is not slowed down" }),
    row("page with the demo network, gzip -9", measures.size, "kB", 450),
  ];
}

/** Lines in columns. */
function columns(rows) {
  const widths = rows[0].map((_, column) => Math.max(...rows.map((cells) => cells[column].length)));
  return rows.map((cells) => cells.map((cell, column) => (column === 1 || column === 2 ? cell.padStart(widths[column]) : cell.padEnd(widths[column]))).join("  ").trimEnd());
}

const measures = await withFewerVarieties(VARIETIES, (address) => harness.withBrowser("chromium", (browser) => run(browser, address)));
const heads = ["what", "measured", "budget", "", "loops", ""];
console.log(`Headless Chromium at ${PHONE.width} by ${PHONE.height}, main thread slowed ${SLOWED} times, ${ROUNDS} × ${CHANGES} changes\n`);
for (const line of columns([heads, ...table(measures)])) console.log(line);
