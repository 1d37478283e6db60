// Every view, every sheet and every step of the office, and the way to each: the one list that what must hold
// everywhere is tested by. Ways go by structure and by the name of the sheet, never by words on the screen.

import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { PATIENCE_MS } from "./harness.mjs";

const MEANS = fileURLToPath(new URL("../../data/demo/means.csv", import.meta.url));
/** A fit in the page of a slow machine. */
const FIT_MS = 120000;

const MINE = "#v=1&mine=V04&water=dry";

/** A step that presses the shown element of this selector. */
const press = (selector, place = 0) => async (page) => {
  const found = await page.waitForFunction((wanted, at) => [...document.querySelectorAll(wanted)].filter((one) => one.checkVisibility())[at],
    { timeout: PATIENCE_MS }, selector, place);
  await found.asElement().evaluate((element) => element.click());
};

/** A step that waits until something of this selector is there. */
const there = (selector, timeout = PATIENCE_MS) => (page) => page.waitForSelector(selector, { timeout });

/** A step that opens the sheet of a bracket. */
const sheet = (name) => press(`.bracket[data-sheet=${name}]`);

/** A step that unfolds whatever is folded. */
export const unfold = (page) => page.evaluate(() => document.querySelectorAll("details:not([open])").forEach((folded) => { folded.open = true; }));

/** A step that types into the field of this selector, at this place among them. */
const type = (selector, text, place = 0) => async (page) => {
  await page.waitForSelector(selector, { timeout: PATIENCE_MS });
  await page.evaluate((wanted, at, typed) => {
    const field = document.querySelectorAll(wanted)[at];
    field.value = typed;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }, selector, place, text);
};

/** A step that drops means with a cell that is no number. */
const dropFaulty = async (page) => {
  const folder = await mkdtemp(join(tmpdir(), "leanyear-faulty-"));
  try {
    const path = join(folder, "means.csv");
    await writeFile(path, (await readFile(MEANS, "utf8")).replace(/^(S01-2017-dry,V01,)[^,\n]+/m, "$1about 25"));
    await (await page.waitForSelector("input[type=file]")).uploadFile(path);
    await page.waitForSelector(".problems", { timeout: PATIENCE_MS });
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
};

const WAYS_ON = ".odds-list > .ways-on .line-button";
const FITTED = [press("section[aria-labelledby=desk-fit] .line-button"), there("section[aria-labelledby=desk-lists]", FIT_MS)];
const FILLED = [press("section[aria-labelledby=desk-files] .ways-on .line-button", 1), there("section[aria-labelledby=desk-fit]", FIT_MS)];

/** The views that a grower can be sent to by a link, with what has to be pressed there. */
export const VIEWS = {
  list: ["#v=1"],
  "list-mine-dry": [MINE, unfold],
  "list-all-needs": ["#v=1&need=straw,stripe-rust", press(WAYS_ON)],
  "list-money": [`${MINE}&money-unit=money`],
  "list-irrigated": ["#v=1&system=full-irrigation&water=driest-fifth&order=worst-fifth"],
  "list-unpriced": ["#v=1&price=&cost="],
  "list-notices": ["#v=1&water=soggy&colour=red"],
  change: [MINE, press(".change .line-button"), there(".change h2")],
  track: ["#v=1", press(".track .line-button"), there(".track-record table", FIT_MS), unfold],
  variety: [`${MINE}&view=variety&variety=V18`, unfold],
  "variety-grazed": ["#v=1&mine=V04&view=variety&variety=V18&graze=yes&graze-days=90&gain=1&value=1.1", unfold],
  "side-by-side": [`${MINE}&view=compare&with=V04,V18`, unfold],
  "side-by-side-four": ["#v=1&view=compare&with=V04,V18,V07,V01", unfold],
  acres: [`${MINE}&view=acres&acres=V18:60,V07:25,V01:15`, unfold],
  "acres-none": ["#v=1&view=acres&water=dry"],
  share: [`${MINE}&view=share`],
  "share-unpriced": ["#v=1&price=&cost=&view=share"],
  handout: [`${MINE}&view=handout`, unfold],
};

/** The sheets, each opened where it belongs. */
export const SHEETS = {
  system: ["#v=1", sheet("system")],
  site: ["#v=1", sheet("site")],
  usual: ["#v=1", sheet("usual")],
  "usual-wrong": ["#v=1", sheet("usual"), type(".slip input", "3x")],
  mine: [MINE, sheet("mine")],
  water: ["#v=1", sheet("water"), unfold, type(".thirds input", "75"), type(".thirds input", "45", 1)],
  diseases: ["#v=1&spray-leaf-rust=18:0.7&leaf-rust=severe", sheet("diseases")],
  price: ["#v=1&volatility=20", sheet("price")],
  docks: ["#v=1&dock-test-weight=58:0.05", sheet("price"), press(".slip > .line-button", 1)],
  cost: ["#v=1&cover=65&premium=7", sheet("cost"), type(".slip .entry", "650")],
  grazing: ["#v=1&mine=V04&graze=yes&graze-days=90&gain=1&value=1.1", sheet("grazing")],
  order: ["#v=1", sheet("order")],
  needs: ["#v=1&need=straw", sheet("needs")],
  find: ["#v=1", press(WAYS_ON, 1)],
  units: ["#v=1", press(WAYS_ON, 5)],
  beside: ["#v=1&view=compare&with=V04,V18", press(".detail .ways-on.first .line-button")],
  sown: ["#v=1&view=acres&acres=V18:60,V07:40", press(".acres section > .line-button")],
};

/** The steps of the office, one after the other in the same tab. */
export const OFFICE = {
  empty: ["#v=1&view=prepare", unfold],
  filled: [...FILLED, unfold],
  faulty: [dropFaulty, press(".problems .line-button"), there(".fix")],
  fitted: [press("section[aria-labelledby=desk-files] .ways-on .line-button", 1), there("section[aria-labelledby=desk-fit]", FIT_MS), ...FITTED, unfold],
  word: [press(".shortlist .word"), there(".shortlist td[colspan]")],
  report: [press("section[aria-labelledby=desk-lists] > .ways-on .line-button"), there(".report", FIT_MS)],
};

/** Every stop of a walk over all of it, the office last. */
export const ALL = [
  ...Object.entries(VIEWS).map(([name, steps]) => [name, steps]),
  ...Object.entries(SHEETS).map(([name, steps]) => [`sheet-${name}`, steps]),
  ...Object.entries(OFFICE).map(([name, steps]) => [`office-${name}`, steps]),
];

// A browser without a screen sometimes stops drawing frames. A page that is busy comes to the timer no sooner.
const FRAMES_MS = 5000;

/** Waits until what was asked for is drawn. */
export const drawn = (page) =>
  page.evaluate((most) => new Promise((done) => {
    setTimeout(done, most);
    requestAnimationFrame(() => requestAnimationFrame(done));
  }), FRAMES_MS);

/**
 * Takes the page to a stop: its address, then what is pressed there. It is loaded anew for that, so that nothing of
 * the stop before is left; `anew: false` goes on in the same document.
 */
export async function visit(page, steps, { anew = true } = {}) {
  for (const step of steps) {
    if (typeof step === "string") await goTo(page, step, anew);
    else await step(page);
  }
  await drawn(page);
}

/** Another address of the same page, once a sheet left open is put away. */
async function goTo(page, fragment, anew) {
  if (await page.$("dialog[open]")) {
    await page.evaluate(() => document.querySelector(".slip-head .word").click());
    await page.waitForFunction(() => !document.querySelector("dialog[open]"), { timeout: PATIENCE_MS });
  }
  if (!anew) {
    await page.evaluate((hash) => { location.hash = hash; }, fragment);
    await drawn(page);
    return;
  }
  // By way of a blank page: from one fragment to another nothing would be loaded.
  const address = (await page.evaluate(() => location.href)).split("#")[0];
  await page.goto("about:blank");
  await page.goto(address + fragment);
  await page.waitForSelector("#app > *:not(.static)", { timeout: PATIENCE_MS });
}
