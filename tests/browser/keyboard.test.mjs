// A keyboard alone: every control of every view is reached by Tab, shows that it has the focus and is not hidden
// then, also at 400 % zoom; and whole tasks are done from the first key to the last.
//
// Environment: ONLY names a part of the stops to be visited (a pattern).

import assert from "node:assert/strict";
import { test } from "node:test";
import { told } from "./checks.mjs";
import * as harness from "./harness.mjs";
import { addressHolds, assertClean, noSheet, open } from "./harness.mjs";
import { ALL, drawn, visit } from "./views.mjs";

// A window of 1280 by 1024 whose reader has zoomed in to 400 %.
const ZOOMED = { width: 320, height: 256, deviceScaleFactor: 4 };
const only = new RegExp(process.env.ONLY ?? "");
/** Stops whose controls are those of another one, with other words or numbers. */
const LIKE_ANOTHER = new Set(["list", "list-money", "list-irrigated", "list-unpriced", "variety-grazed", "side-by-side-four", "share-unpriced", "sheet-order", "sheet-sown"]);

/** Lists what Tab should reach, and puts the focus before all of it. */
const begin = (page) => page.evaluate(() => {
  const root = document.querySelector("dialog[open]") ?? document;
  globalThis.reachable = [...root.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex='0']")]
    .filter((one) => one.checkVisibility() && !one.disabled && one.tabIndex >= 0);
  document.activeElement.blur();
  return globalThis.reachable.length;
});

/** What has the focus: its place in the list, and what is wrong with how it shows it. */
const focusNow = (page) => page.evaluate(() => {
  const element = document.activeElement;
  const place = globalThis.reachable.indexOf(element);
  if (place < 0) return { place, faults: [] };
  const luminance = (colour) => {
    const [r, g, b] = colour.match(/[\d.]+/g).map((one) => (Number(one) / 255 <= 0.04045 ? Number(one) / 255 / 12.92 : ((Number(one) / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const paper = luminance(getComputedStyle(document.documentElement).backgroundColor);
  // A field that is laid invisibly over its words shows the focus around them, a pressed word around its target.
  const label = element.closest("label");
  const around = [getComputedStyle(element), getComputedStyle(element, "::after"), ...(label ? [getComputedStyle(label)] : [])];
  const outlined = around.some((style) => {
    if (style.outlineStyle === "none" || parseFloat(style.outlineWidth) < 2 || style.opacity === "0") return false;
    const ink = luminance(style.outlineColor);
    return (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05) >= 3;
  });
  const name = `${element.tagName} “${(element.innerText || element.getAttribute("aria-label") || element.id || element.className).trim().slice(0, 40)}”`;
  const faults = outlined ? [] : [`${name} shows no focus`];
  const box = (label ?? element).getBoundingClientRect();
  const [left, right] = [Math.max(box.left, 0), Math.min(box.right, innerWidth)];
  const [top, bottom] = [Math.max(box.top, 0), Math.min(box.bottom, innerHeight)];
  const seen = left < right && top < bottom && [0.1, 0.5, 0.9].some((part) => {
    const hit = document.elementFromPoint((left + right) / 2, top + (bottom - top) * part);
    return hit && ((label ?? element).contains(hit) || hit.contains(element) && hit === label);
  });
  if (!seen) faults.push(`${name} is out of sight or covered at ${[left, top, right, bottom].map(Math.round)}`);
  return { place, faults };
});

test("at 400 % zoom every control is reached by Tab, shows its focus and is in sight then", () =>
  harness.withBrowser("chromium", async (browser) => {
    const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1`, { viewport: ZOOMED });
    const { page } = tab;
    const wrong = {};
    for (const [name, steps] of ALL.filter(([stop]) => only.test(stop) && !LIKE_ANOTHER.has(stop))) {
      await visit(page, steps);
      const count = await begin(page);
      assert.ok(count > 0, `${name} has nothing to tap`);
      const [reached, found] = [new Set(), new Set()];
      for (let step = 0; step < count + 3 && reached.size < count; step += 1) {
        await page.keyboard.press("Tab");
        const { place, faults } = await focusNow(page);
        reached.add(place);
        faults.forEach((fault) => found.add(fault));
        reached.delete(-1);
      }
      // What a job that ended took away with it needs no way to it.
      const missed = await page.evaluate((places) => globalThis.reachable.filter((one, at) => !places.includes(at) && one.isConnected)
        .map((one) => one.outerHTML.slice(0, 90)), [...reached]);
      if (missed.length > 0) found.add(`never reached: ${missed.slice(0, 5).join(" | ")}`);
      if (found.size > 0) wrong[name] = [...found];
    }
    if (Object.keys(wrong).length > 0) assert.fail(told(wrong));
    await assertClean(tab);
  }));

/** Presses Tab, or Tab with Shift, until what has the focus matches; nothing else moves the focus. */
async function tabTo(page, selector, place = 0, back = false) {
  for (let step = 0; step < 900; step += 1) {
    const at = await page.evaluate((wanted, nth) =>
      [...document.querySelectorAll(wanted)].filter((one) => one.checkVisibility()).indexOf(document.activeElement) === nth, selector, place);
    if (at) return;
    if (back) await page.keyboard.down("Shift");
    await page.keyboard.press("Tab");
    if (back) await page.keyboard.up("Shift");
  }
  assert.fail(`no way by Tab to ${selector} (${place})`);
}

const text = (page, selector) => page.$eval(selector, (element) => element.innerText);

/** Waits until the words of an element differ from what they were. */
const changed = (page, selector, before) =>
  page.waitForFunction((wanted, was) => { const found = document.querySelector(wanted); return found && found.innerText !== was; },
    { timeout: harness.PATIENCE_MS }, selector, before);

/** Replaces what stands in the field with the focus. */
async function overwrite(page, words) {
  await page.keyboard.down("Control");
  await page.keyboard.press("a");
  await page.keyboard.up("Control");
  await page.keyboard.type(words);
}

const WAYS_ON = ".odds-list > .ways-on .line-button";

const TASKS = {
  "a price is typed": async (page) => {
    const before = await text(page, "li.row .odds");
    await tabTo(page, ".bracket[data-sheet=price]");
    await page.keyboard.press("Enter");
    await page.waitForSelector("dialog[open]");
    await overwrite(page, "3.10");
    await changed(page, "li.row .odds", before);
    await page.keyboard.press("Escape");
    await noSheet(page);
    await addressHolds(page, "price=3.1");
  },
  "a rating is asked for": async (page) => {
    await tabTo(page, ".bracket[data-sheet=needs]");
    await page.keyboard.press(" ");
    await page.waitForSelector("dialog[open]");
    await tabTo(page, "dialog[open] .choices button");
    await page.keyboard.press(" ");
    await page.waitForSelector("dialog[open] .choices button[aria-pressed=true]");
    await page.keyboard.press("Escape");
    await noSheet(page);
    await addressHolds(page, "need=");
    await page.waitForSelector(".below-line");
  },
  "two are put side by side and the price is moved": async (page) => {
    await tabTo(page, WAYS_ON, 2);
    await page.keyboard.press("Enter");
    await page.waitForSelector(".turning .slider");
    await page.waitForFunction(() => document.activeElement.id === "view-top");
    await tabTo(page, ".turning .levers button", 1);
    await page.keyboard.press("Enter");
    await page.waitForSelector(".turning .levers button:nth-of-type(2)[aria-pressed=true]");
    const before = await text(page, ".turning .odds");
    await tabTo(page, ".turning .slider");
    for (let step = 0; step < 9; step += 1) await page.keyboard.press("ArrowRight");
    await changed(page, ".turning .odds", before);
  },
  "acres are split and typed": async (page) => {
    await tabTo(page, WAYS_ON, 3);
    await page.keyboard.press("Enter");
    await page.waitForSelector(".acres .ways-on.first .line-button");
    await tabTo(page, ".acres .ways-on.first .line-button");
    await page.keyboard.press("Enter");
    await page.waitForSelector(".acres section .entry");
    await tabTo(page, ".acres section .entry", 0, true);
    await overwrite(page, "240");
    await addressHolds(page, "acres=");
    await page.waitForFunction(() => Math.abs([...decodeURIComponent(location.hash).match(/acres=([^&]*)/)[1].matchAll(/:([\d.]+)/g)]
      .reduce((sum, found) => sum + Number(found[1]), 0) - 240) < 0.01, { timeout: harness.PATIENCE_MS });
  },
  "what would change the answer is unfolded, and numbers with it": async (page) => {
    await tabTo(page, ".change .line-button");
    await page.keyboard.press(" ");
    await page.waitForSelector(".change h2");
    await tabTo(page, ".odds-list > details summary");
    await page.keyboard.press("Enter");
    await page.waitForSelector(".odds-list > details[open] td");
  },
  "settings are sent with money ticked, and the page is put to print": async (page) => {
    await page.evaluate(() => { globalThis.printed = 0; window.print = () => { globalThis.printed += 1; }; });
    await tabTo(page, ".head .word");
    await page.keyboard.press("Enter");
    await page.waitForSelector("input.link");
    await tabTo(page, ".share .tick input");
    await page.keyboard.press(" ");
    await page.waitForFunction(() => document.querySelector("input.link").value.includes("cost=170"));
    await tabTo(page, ".keep .line-button", 4);
    await page.keyboard.press("Enter");
    await page.waitForSelector(".handout .paper");
    await tabTo(page, ".handout .screen-only .line-button", 1);
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => globalThis.printed === 1);
  },
  "night and day": async (page) => {
    await tabTo(page, ".head .word", 1);
    await page.keyboard.press("Enter");
    await page.waitForSelector("html.night");
    await page.keyboard.press("Enter");
    await page.waitForSelector("html:not(.night)");
  },
};

for (const name of harness.BROWSERS) {
  test(`${name}: whole tasks are done with a keyboard alone`, () =>
    harness.withBrowser(name, async (browser) => {
      for (const [task, work] of Object.entries(TASKS)) {
        const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1&mine=V04&cost=170`, { viewport: { width: 390, height: 844, deviceScaleFactor: 1 } });
        await work(tab.page).catch((error) => { throw new Error(`${task}: ${error.message}`, { cause: error }); });
        await assertClean(tab);
        await tab.page.close();
      }
    }));
}

for (const name of harness.BROWSERS) {
  test(`${name}: whoever comes back to the list finds the focus on what led away, and in a sheet that follows another`, () =>
    harness.withBrowser(name, async (browser) => {
      const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1`, { viewport: { width: 390, height: 844, deviceScaleFactor: 1 } });
      const { page } = tab;
      const focused = () => page.evaluate(() => document.activeElement.id);
      for (const [place, view] of ["compare", "acres", "handout", "share", "prepare"].entries()) {
        await page.focus(`#to-${view}`);
        await page.keyboard.press("Enter");
        await addressHolds(page, `view=${view}`);
        // By the browser's own way back, and by that of the page.
        if (place % 2) await page.goBack();
        else await page.evaluate(() => document.querySelector("#view-top").parentElement.querySelector(".line-button").click());
        await page.waitForSelector("#app li.row .odds");
        assert.equal(await focused(), `to-${view}`);
      }
      await page.focus(".bracket[data-sheet=price]");
      await page.keyboard.press("Enter");
      await page.waitForSelector("dialog[open] .slip");
      await tabTo(page, "dialog[open] .slip > .line-button", 1);
      await page.keyboard.press("Enter");
      await page.waitForFunction(() => document.querySelector("dialog[open] #sheet-title").innerText.includes("quality"));
      assert.ok(await page.evaluate(() => document.querySelector("dialog[open]").contains(document.activeElement)));
      await assertClean(tab);
    }));
}

/** Opens the browser's own choice of files by key, and cancels it. A key comes to nothing while its window waits for focus. */
async function chooserByKey(page, tries = 5) {
  await page.bringToFront();
  await tabTo(page, ".drop input[type=file]");
  const chosen = page.waitForFileChooser({ timeout: 6000 }).catch((error) => {
    if (tries === 1) throw error;
  });
  await page.keyboard.press("Enter");
  const chooser = await chosen;
  if (!chooser) return chooserByKey(page, tries - 1);
  return chooser.cancel();
}

test("the office is gone through with a keyboard alone: files chosen, fitted, a rule changed, saved", () =>
  harness.withBrowser("chromium", async (browser) => {
    const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1&view=prepare`, { viewport: harness.LAPTOP });
    const { page } = tab;
    await page.evaluate(() => {
      globalThis.saved = [];
      URL.createObjectURL = ((real) => (blob) => { globalThis.saved.push(blob.size); return real(blob); })(URL.createObjectURL.bind(URL));
    });
    await chooserByKey(page);
    await tabTo(page, "section[aria-labelledby=desk-files] > .ways-on .line-button", 1);
    await page.keyboard.press("Enter");
    await page.waitForSelector("section[aria-labelledby=desk-fit] .line-button", { timeout: harness.PATIENCE_MS });
    await tabTo(page, "section[aria-labelledby=desk-fit] .line-button");
    await page.keyboard.press("Enter");
    await page.waitForSelector("section[aria-labelledby=desk-lists]", { timeout: 120000 });
    await tabTo(page, "section[aria-labelledby=desk-lists] details summary");
    await page.keyboard.press("Enter");
    const before = await text(page, ".shortlist");
    await tabTo(page, "#rule-0");
    await overwrite(page, "9");
    await page.keyboard.press("Tab");
    await changed(page, ".shortlist", before);
    const made = await page.evaluate(() => globalThis.saved.length);
    await tabTo(page, "section[aria-labelledby=desk-save] .line-button");
    await page.keyboard.press("Enter");
    await page.waitForFunction((was) => globalThis.saved.slice(was).some((size) => size > 500000), { timeout: 120000 }, made);
    await assertClean(tab);
  }));
