// The page for every hand and eye, everywhere: each view, sheet and step of the office, by day and by night, on a
// phone, on a laptop, on the narrowest screen and at 400 % zoom.
//
// Environment: ONLY names a part of the stops to be visited (a pattern); UPDATE_SNAPSHOTS writes what a screen
// reader is told anew.

import assert from "node:assert/strict";
import { readFile, writeFile } from "node:fs/promises";
import { test } from "node:test";
import { axeColours, axeFaults, faintText, faults, setNight, smallTargets, told } from "./checks.mjs";
import * as harness from "./harness.mjs";
import { assertClean, open } from "./harness.mjs";
import { ALL, drawn, visit } from "./views.mjs";

const PHONE = { width: 390, height: 844, deviceScaleFactor: 1 };
const NARROWEST = { width: 320, height: 640, deviceScaleFactor: 1 };
// A window of 1280 by 1024 whose reader has zoomed in to 400 %.
const ZOOMED = { width: 320, height: 256, deviceScaleFactor: 4 };

const only = new RegExp(process.env.ONLY ?? "");
const STOPS = ALL.filter(([name]) => only.test(name));

/** Every fault of a stop in one list, each with where it was found. */
async function everyFault(page, checks) {
  const found = [];
  for (const [where, check] of checks) found.push(...(await check(page)).map((fault) => `${where}: ${fault}`));
  return found;
}

async function byDayAndNight(page) {
  const found = await everyFault(page, [["day", axeFaults], ["day", faintText], ["day", faults], ["day", smallTargets]]);
  await setNight(page, true);
  found.push(...(await everyFault(page, [["night", axeColours], ["night", faintText]])));
  await setNight(page, false);
  return found;
}

for (const [screen, viewport] of Object.entries({ phone: PHONE, laptop: harness.LAPTOP })) {
  test(`on a ${screen} nothing is wrong with any view, sheet or step, light or dark`, () =>
    harness.withBrowser("chromium", async (browser) => {
      const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1`, { viewport });
      const { page } = tab;
      const wrong = {};
      for (const [name, steps] of STOPS) {
        await visit(page, steps);
        await harness.screenshot(page, `${name}-${screen}`);
        const found = await byDayAndNight(page);
        if (screen === "phone") {
          for (const [where, narrow] of Object.entries({ "320 px": NARROWEST, "400 %": ZOOMED })) {
            await page.setViewport(narrow);
            await drawn(page);
            await harness.screenshot(page, `${name}-${narrow.height}`);
            found.push(...(await everyFault(page, [[where, faults], [where, smallTargets]])));
          }
          await page.setViewport(viewport);
        }
        if (found.length > 0) wrong[name] = found;
        // Tells of a policy broken here end with this document.
        const refused = await harness.policyViolations(page);
        if (refused.length > 0) (wrong[name] ??= []).push(...refused);
      }
      if (Object.keys(wrong).length > 0) assert.fail(told(wrong));
      await assertClean(tab);
    }));
}

test("each of these checks sees a fault where there is one", () =>
  harness.withBrowser("chromium", async (browser) => {
    const { page } = await open(browser, `${harness.PAGE_ADDRESS}#v=1`, { viewport: PHONE });
    const seen = async (check, fault, markup) => {
      await page.evaluate((html) => {
        const box = document.createElement("main");
        box.id = "fault";
        box.innerHTML = html;
        document.body.prepend(box);
      }, markup);
      const found = (await check(page)).join("\n");
      assert.match(found, fault, `${check.name} on ${markup}`);
      await page.evaluate(() => document.getElementById("fault").remove());
      assert.doesNotMatch((await check(page)).join("\n"), fault, `${check.name} without it`);
    };
    await seen(faults, /wide in 390/, '<svg class="sized" aria-hidden="true" width="2000" height="9"><path d="M0 0h9"/></svg>');
    await seen(faults, /a picture has no words/, '<svg viewBox="0 0 9 9"><path d="M0 0h9"/></svg>');
    await seen(faults, /a picture is blank/, '<svg aria-hidden="true" viewBox="0 0 9 9"><path d=""/></svg>');
    await seen(faults, /drawn by no number/, '<svg aria-hidden="true" viewBox="0 0 9 9"><path d="MNaN 0h9"/></svg>');
    await seen(faults, /not a number: .*NaN bu/, "<p>averages NaN bu/ac</p>");
    await seen(faults, /not a number: .*inf/, "<p>averages inf</p>");
    await seen(faintText, /2\.\d+:1/, '<p><font color="#999">too faint</font></p>');
    await seen(smallTargets, /BUTTON “x”/, "<p><button>x</button></p>");
    await seen(axeFaults, /button-name/, "<button></button>");
    await seen(axeFaults, /color-contrast-enhanced/, '<p><font color="#666">not faint enough for most</font></p>');
    await seen(axeColours, /color-contrast-enhanced/, '<p><font color="#666">not faint enough for most</font></p>');
  }));

// ---- as a screen reader has it ----

const SNAPSHOTS = new URL("snapshots/", import.meta.url);
/** What a reader moves by: landmarks, headings, controls, pictures, tables. Running text is not held here. */
const MOVED_BY = new Set([
  "banner", "main", "complementary", "contentinfo", "navigation", "region", "heading", "button", "link", "textbox", "searchbox",
  "checkbox", "slider", "combobox", "image", "img", "table", "columnheader", "dialog", "status", "alert", "group", "DisclosureTriangle",
  "progressbar", "list", "listitem", "article",
]);

/** The tree as lines: numbers and names of varieties masked, what repeats said once, so that other data give the same. */
function outline(node, names, depth = 0) {
  const masked = (text) => names.reduce((said, name) => said.replaceAll(name, "‹variety›"), text).replace(/\d+([.,]\d+)*/g, "#");
  const children = [];
  for (const child of node.children ?? []) {
    const lines = outline(child, names, depth + (MOVED_BY.has(node.role) ? 1 : 0));
    if (lines.length > 0 && children.at(-1)?.join("\n") !== lines.join("\n")) children.push(lines);
  }
  if (!MOVED_BY.has(node.role)) return children.flat();
  const states = ["level", "checked", "pressed", "expanded", "invalid", "haspopup", "modal"].filter((state) => node[state] !== undefined)
    .map((state) => ` ${state}=${node[state]}`);
  const named = ["list", "listitem", "group"].includes(node.role) ? "" : ` “${masked(node.name ?? "").replace(/\s+/g, " ")}”`;
  return [`${"  ".repeat(depth)}${node.role}${named}${states.join("")}`, ...children.flat()];
}

const TOLD = {
  list: ["list-mine-dry", harness.LAPTOP], variety: ["variety", PHONE], "side-by-side": ["side-by-side", PHONE], acres: ["acres", PHONE],
  share: ["share", PHONE], "sheet-water": ["sheet-water", PHONE], office: ["office-empty", PHONE],
};

test("a screen reader is told the same landmarks, headings, controls and pictures as before", () =>
  harness.withBrowser("chromium", async (browser) => {
    const table = await readFile(new URL("../../data/demo/varieties.csv", import.meta.url), "utf8");
    const names = table.split("\n").slice(1).map((line) => line.split(",")[1]).filter(Boolean);
    for (const [name, [stop, viewport]] of Object.entries(TOLD)) {
      const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1`, { viewport });
      await visit(tab.page, new Map(ALL).get(stop));
      const tree = await tab.page.accessibility.snapshot({ interestingOnly: false });
      const heard = `${outline(tree, names).join("\n")}\n`;
      const file = new URL(`${name}.txt`, SNAPSHOTS);
      if (process.env.UPDATE_SNAPSHOTS) await writeFile(file, heard);
      assert.equal(heard, await readFile(file, "utf8"), `${name}: if it is meant, run again with UPDATE_SNAPSHOTS=1`);
      await tab.page.close();
    }
  }));

// ---- motion and paper ----

test("nothing moves where reduced motion is asked for, and a sheet rises where it is not", () =>
  harness.withBrowser("chromium", async (browser) => {
    for (const [asked, moves] of [["reduce", false], ["no-preference", true]]) {
      const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1`, { viewport: PHONE });
      const { page } = tab;
      await page.emulateMediaFeatures([{ name: "prefers-reduced-motion", value: asked }]);
      await page.evaluate(() => {
        globalThis.moved = [];
        for (const kind of ["animationstart", "transitionstart"]) document.addEventListener(kind, (event) => globalThis.moved.push(event.animationName ?? event.propertyName));
      });
      await page.click(".bracket[data-sheet=order]");
      await page.waitForSelector("dialog[open] .choices");
      await page.click("dialog[open] .choices button[aria-pressed=false]");
      await page.waitForFunction(() => !document.querySelector("dialog[open]"));
      await page.click("li.row .name button");
      await page.waitForSelector(".detail .title");
      await drawn(page);
      assert.equal((await page.evaluate(() => globalThis.moved)).length > 0, moves, asked);
      await assertClean(tab);
      await page.close();
    }
  }));

/** Crosses for what falls short and dots for what does not, on every strip that has both; and what each is drawn in. */
const strips = (page) => page.evaluate(() => [...document.querySelectorAll("svg.marks, .paper-rows svg")]
  .filter((strip) => strip.checkVisibility())
  .map((strip) => ["short", "fine"].map((kind) => {
    const path = strip.querySelector(`.${kind}`);
    const { stroke, fill } = getComputedStyle(path);
    return { d: path.getAttribute("d"), stroke, fill };
  })));

test("printed in black and white, every strip of every view tells short from not short by its shape", () =>
  harness.withBrowser("chromium", async (browser) => {
    for (const stop of ["list-mine-dry", "list-money", "variety", "side-by-side", "acres", "handout"].filter((name) => only.test(name))) {
      const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1`, { viewport: PHONE });
      const { page } = tab;
      await visit(page, new Map(ALL).get(stop));
      await setNight(page, true);
      await page.emulateMediaType("print");
      const found = await strips(page);
      assert.ok(found.length > 0, `${stop} shows no strip on paper`);
      assert.ok(found.some(([short, fine]) => short.d && fine.d), `${stop} has both kinds`);
      for (const [short, fine] of found) {
        // Strokes that cross, without a filling, against filled rounds; an abandoned year is a stroke as well.
        assert.doesNotMatch(short.d, /a/, stop);
        assert.equal(short.fill, "none", stop);
        assert.equal(short.stroke, "rgb(0, 0, 0)", stop);
        if (fine.d) assert.match(fine.d, /a[\d.]+ /, stop);
        assert.equal(fine.fill, "rgb(0, 0, 0)", stop);
      }
      await page.close();
    }
  }));
