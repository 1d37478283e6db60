// Thousands of random taps, keys, links, turns of the screen and steps back over all views, sheets and steps of the
// office: nothing is complained about, nothing on the screen is no number, no picture is blank, nothing is wider
// than its screen, and at every hundredth step the answers are the command line's for the same link.
//
// Environment: SOAK_STEPS (3000) and SOAK_MINUTES (3) bound it, SOAK_SEED (1931) begins another walk. For a long one:
//   SOAK_STEPS=100000 SOAK_MINUTES=120 SOAK_SEED=7 node --test --test-timeout=9000000 tests/browser/soak.test.mjs

import assert from "node:assert/strict";
import { fileURLToPath } from "node:url";
import { test } from "node:test";
import { faults } from "./checks.mjs";
import * as harness from "./harness.mjs";
import { leanyear } from "./networks.mjs";
import { ALL, drawn } from "./views.mjs";

const STEPS = Number(process.env.SOAK_STEPS ?? 3000);
const MINUTES = Number(process.env.SOAK_MINUTES ?? 3);
const SEED = Number(process.env.SOAK_SEED ?? 1931);
/** So many steps between two comparisons with the command line. */
const COMPARED_EVERY = 100;
const DEMO = fileURLToPath(new URL("../../data/demo", import.meta.url));

const SCREENS = [
  { width: 390, height: 844, deviceScaleFactor: 1 }, { width: 844, height: 390, deviceScaleFactor: 1 },
  { width: 320, height: 640, deviceScaleFactor: 1 }, harness.LAPTOP,
];
const KEYS = ["Tab", "Tab", "Enter", "Space", "Escape", "ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "Home", "End", "Backspace"];
const WORDS = ["", "0", "7", "12.5", "0,40", "-3", "65", "160", "240", "5.8", "33.333333", "999999", "1e9", "0.0001", "abc", " 42 ", "a<b>&\"'", "٣٤", "V1"];
const LINKS = [
  ...new Set(ALL.map(([, steps]) => steps[0]).filter((step) => typeof step === "string")),
  "#v=1&water=like-2022", "#v=1&water=60-30-10&order=net", "#v=1&site=S03&system=limited-irrigation", "#v=1&usual=3&unit=t%2Fha", "#v=1&unit=kg%2Fha",
  "#v=1&unit=lb%2Fac&mine=V11", "#v=1&price=0.01&haul=3", "#v=1&price=100000&cost=1", "#v=1&cost=0", "#v=9&water=dry", "#", "#nonsense&&&=", "#v=1&acres=V01:0.01,V02:999999",
];

/** A small generator with a seed (mulberry32, in the public domain). */
function generator(seed) {
  let state = seed >>> 0;
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
  return { next, one: (list) => list[Math.floor(next() * list.length)] };
}

/** Finds something to tap, kinds first so that sixty rows do not crowd out one button; gives its middle. */
const target = (page, kind, place) => page.evaluate((kindAt, placeAt) => {
  const root = document.querySelector("dialog[open]") ?? document;
  const kinds = new Map();
  for (const one of root.querySelectorAll("button, summary, select, input:not([type=file]), li.row")) {
    if (!one.checkVisibility() || one.disabled) continue;
    const part = one.closest("section, article, header, footer, dialog, table")?.className ?? "";
    const key = `${one.tagName} ${one.className} ${part}`;
    kinds.set(key, [...(kinds.get(key) ?? []), one]);
  }
  if (kinds.size === 0) return null;
  const chosen = [...kinds.values()][Math.floor(kindAt * kinds.size)];
  const element = chosen[Math.floor(placeAt * chosen.length)];
  element.scrollIntoView({ block: "center", behavior: "instant" });
  const box = element.getBoundingClientRect();
  const across = element.type === "range" ? placeAt : 0.5;
  if (element.tagName === "SELECT") {
    element.value = element.options[Math.floor(placeAt * element.options.length)].value;
    element.dispatchEvent(new Event("change", { bubbles: true }));
  }
  return {
    x: box.left + box.width * across, y: box.top + box.height / 2, select: element.tagName === "SELECT",
    text: element.tagName === "INPUT" && !["range", "checkbox"].includes(element.type),
    name: `${element.tagName} “${(element.innerText || element.getAttribute("aria-label") || element.id || element.className).trim().split("\n")[0].slice(0, 40)}”`,
  };
}, kind, place);

/** One random thing that a hand could do; gives its name. */
async function act(page, random) {
  const dice = random.next();
  if (dice < 0.78) {
    const found = await target(page, random.next(), random.next());
    const words = random.one(WORDS);
    if (!found) return "nothing to tap";
    if (found.select) return `choose in ${found.name}`;
    await page.mouse.click(found.x, found.y, { count: found.text ? 3 : 1 });
    if (!found.text) return `tap ${found.name}`;
    await page.keyboard.press("Backspace");
    await page.keyboard.type(words);
    if (random.next() < 0.4) await page.keyboard.press("Tab");
    return `type “${words}” into ${found.name}`;
  }
  if (dice < 0.88) {
    const key = random.one(KEYS);
    await page.keyboard.press(key);
    return `key ${key}`;
  }
  if (dice < 0.93) {
    const way = random.next() < 0.75 ? -1 : 1;
    await page.evaluate((step) => history.go(step), way);
    await new Promise((done) => setTimeout(done, 60));
    return `history ${way}`;
  }
  if (dice < 0.965) {
    const link = random.one(LINKS);
    await page.evaluate((fragment) => { location.hash = fragment; }, link);
    return `link ${link}`;
  }
  const screen = random.one(SCREENS);
  await page.setViewport(screen);
  return `screen ${screen.width} by ${screen.height}`;
}

/** Leaves an open sheet and the office, goes to the view for sending and takes link and table from there. */
async function linkAndTable(page) {
  const waits = { timeout: harness.PATIENCE_MS };
  if (await page.$("dialog[open]")) {
    await page.evaluate(() => document.querySelector(".slip-head .word").click());
    await page.waitForFunction(() => !document.querySelector("dialog[open]"), waits);
  }
  if (await page.$(".office")) await page.evaluate(() => document.querySelector(".office .line-button").click());
  await page.waitForSelector(".head .word", waits);
  await page.evaluate(() => document.querySelector(".head .word").click());
  await page.waitForSelector(".share input.link", waits);
  const ticked = await page.$eval(".share .tick input", (box) => box.checked || (box.click(), false));
  await page.waitForFunction(() => document.querySelector(".share .tick input").checked, waits);
  await drawn(page);
  const taken = await page.evaluate(() => {
    const real = leanyear.save;
    let table = null;
    leanyear.save = (_name, _kind, text) => { table = text; };
    document.querySelector(".keep .line-button").click();
    leanyear.save = real;
    return { link: document.querySelector("input.link").value.split("#")[1], table };
  });
  if (!ticked) await page.evaluate(() => document.querySelector(".share .tick input").click());
  return taken;
}

/** Cells of a CSV text, row by row. */
const cells = (text) => text.replace("\ufeff", "").trimEnd().split("\r\n")
  .map((line) => [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)].slice(0, -1).map((found) => found[1]));

/** Whether a number as it was written is the other one, rounded. */
function same(written, value) {
  if (written === "") return value === null || value === undefined;
  const decimals = written.split(".")[1]?.length ?? 0;
  return value !== null && Math.abs(Number(written) - value) <= 0.5 * 10 ** -decimals + 1e-6 * Math.abs(value);
}

/** The command line's varieties as the page's table parts them: the group too close to call, the rest of what can
 * be sown, then what lacks a must-have, was never tested in the system, or is no longer tested. */
function inParts(varieties) {
  const part = (one) => {
    if (one.fails.length) return 2;
    if (one.group) return 0;
    if (one.standing.trials === 0) return 3;
    return one.standing.state === "no-longer-tested" ? 4 : 1;
  };
  return [0, 1, 2, 3, 4].flatMap((wanted) => varieties.filter((one) => part(one) === wanted));
}

/** The page's table against the command line's answer for the link. */
async function assertSame({ link, table }) {
  const answer = JSON.parse(await leanyear("odds", DEMO, "--settings", link, "--json"));
  const [, ...rows] = cells(table);
  const varieties = inParts(answer.varieties);
  assert.deepEqual(rows.map((row) => row[1]), varieties.map((one) => one.variety), `the order of ${link}`);
  rows.forEach((row, at) => {
    const one = varieties[at];
    const pairs = [[4, one.expected], [5, one.low80], [6, one.high80], [8, one.marks_short], [10, one.beats_mine], [11, one.beats_check],
      [13, one.standing.trials], [18, one.net]];
    for (const [column, value] of pairs) {
      assert.ok(same(row[column], value), `${one.variety}, column ${column}: ${row[column]} on the page, ${value} by the command line, for ${link}`);
    }
  });
}

test("a table with another number, or in another order, is not the command line's", () =>
  harness.withBrowser("chromium", async (browser) => {
    const { page } = await harness.open(browser, `${harness.PAGE_ADDRESS}#v=1&mine=V04&water=dry`, { viewport: SCREENS[0] });
    const { link, table } = await linkAndTable(page);
    await assertSame({ link, table });
    const [head, first, second, ...rest] = table.split("\r\n");
    const changed = first.split(",").map((cell, at) => (at === 5 ? (Number(cell) + 0.02).toFixed(2) : cell)).join(",");
    await assert.rejects(assertSame({ link, table: [head, changed, second, ...rest].join("\r\n") }), /column 5/);
    await assert.rejects(assertSame({ link, table: [head, second, first, ...rest].join("\r\n") }), /the order of/);
    await assert.rejects(assertSame({ link: link.replace("water=dry", "water=wet"), table }));
  }));

test(`${STEPS} random steps from seed ${SEED}: no complaint, no number that is none, no blank picture, the command line's answers`, () =>
  harness.withBrowser("chromium", async (browser) => {
    const session = await browser.target().createCDPSession();
    await session.send("Browser.setDownloadBehavior", { behavior: "deny" });
    const { page, record } = await harness.newTab(browser, { viewport: SCREENS[0] });
    await page.evaluateOnNewDocument(() => { window.print = () => {}; });
    await page.goto(`${harness.PAGE_ADDRESS}#v=1`);
    await harness.mounted(page);
    const random = generator(SEED);
    const [past, comparisons, begun] = [[], [], Date.now()];
    let [step, compared] = [0, 0];
    try {
      for (; step < STEPS && Date.now() - begun < MINUTES * 60000; step += 1) {
        past.push(await act(page, random));
        if (past.length > 15) past.shift();
        await drawn(page);
        // A step back from the first address leaves the page.
        if (!page.url().startsWith(harness.PAGE_ADDRESS)) await page.goto(`${harness.PAGE_ADDRESS}#v=1`);
        assert.deepEqual(await faults(page), []);
        assert.ok(!(await page.$(".shell-notice")), "the page has failed");
        assert.deepEqual(record.complaints, []);
        assert.deepEqual(await harness.policyViolations(page), []);
        if ((step + 1) % COMPARED_EVERY === 0) {
          const at = step;
          const comparison = assertSame(await linkAndTable(page)).then(() => { compared += 1; },
            (error) => { throw new Error(`compared at step ${at}: ${error.message}`, { cause: error }); });
          comparison.catch(() => {});
          comparisons.push(comparison);
        }
      }
      await Promise.all(comparisons);
      assert.deepEqual(harness.strayRequests(record), []);
    } catch (error) {
      const link = await page.evaluate(() => location.hash).catch(() => "gone");
      throw new Error(`seed ${SEED}, step ${step} at ${link}, after:\n  ${past.join("\n  ")}\n${error.message}`, { cause: error });
    }
    console.log(`${step} steps from seed ${SEED} in ${Math.round((Date.now() - begun) / 1000)} s, ${compared} comparisons with the command line`);
    assert.ok(compared > 0 && compared === Math.floor(step / COMPARED_EVERY), `${compared} comparisons in ${step} steps`);
  }));
