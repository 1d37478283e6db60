// The page for every hand and eye: the way back, the keyboard, narrow screens, pictures in words.

import assert from "node:assert/strict";
import { test } from "node:test";
import * as harness from "./harness.mjs";
import {
  addressHolds, assertClean, focusComesTo, noSheet, open, openSheet, press, rows, shows, tabTo, visibleText,
} from "./harness.mjs";

for (const name of harness.BROWSERS) {
  test(`${name}: a keyboard alone sets the year, looks at a variety and comes back`, () =>
    harness.withBrowser(name, async (browser) => {
      const tab = await open(browser);
      const { page } = tab;
      await tabTo(page, "as it may");
      await page.keyboard.press("Enter");
      await page.waitForSelector("dialog[open]");
      await page.keyboard.press("Escape");
      await noSheet(page);
      await focusComesTo(page, "as it may");

      await page.keyboard.press("Enter");
      await page.waitForSelector("dialog[open]");
      await tabTo(page, "dry: the driest third");
      await page.keyboard.press("Enter");
      await noSheet(page);
      await shows(page, /20 dry years/);
      await focusComesTo(page, "dry");

      const [, second] = await rows(page);
      await tabTo(page, second.name);
      await page.keyboard.press("Enter");
      await shows(page, /Back to all varieties/);
      await focusComesTo(page, second.name);
      await page.keyboard.down("Shift");
      await tabTo(page, "← Back");
      await page.keyboard.up("Shift");
      await page.keyboard.press("Enter");
      await shows(page, /find a variety/);
      await focusComesTo(page, second.name);
      await assertClean(tab);
    }));

  test(`${name}: the way back closes a sheet, then a view, and keeps what was chosen`, () =>
    harness.withBrowser(name, async (browser) => {
      const tab = await open(browser);
      const { page } = tab;
      const back = () => page.evaluate(() => history.back());
      await openSheet(page, "as it may");
      await press(page, "dry: the driest third");
      await noSheet(page);
      await addressHolds(page, "water=dry");
      const [first] = await rows(page);
      await press(page, first.name);
      await shows(page, /Back to all varieties/);
      await back();
      await shows(page, /find a variety/);
      await openSheet(page, "leaves most after costs");
      await back();
      await noSheet(page);
      assert.match(await visibleText(page), /20 dry years/);
      await assertClean(tab);
    }));
}

/** What a view lacks: width it does not have, words for its pictures, numbers that are none. */
const faults = (page) =>
  page.evaluate(() => {
    const found = [];
    for (const box of [document.documentElement, ...document.querySelectorAll("dialog[open]")]) {
      if (box.scrollWidth > box.clientWidth) found.push(`${box.tagName} is ${box.scrollWidth} px wide in ${box.clientWidth}`);
    }
    for (const picture of document.querySelectorAll("svg[role=img]")) {
      const [title, description] = [picture.querySelector("title"), picture.querySelector("desc")];
      if (!title?.textContent || !description?.textContent) found.push(`a picture has no words: ${picture.outerHTML.slice(0, 90)}`);
    }
    for (const picture of document.querySelectorAll("svg:not([role=img])")) {
      if (picture.getAttribute("aria-hidden") !== "true") found.push(`a picture has no role: ${picture.outerHTML.slice(0, 90)}`);
    }
    const odd = document.body.innerText.match(/.{0,40}(NaN|undefined|Infinity|null).{0,40}/);
    if (odd) found.push(`not a number: ${odd[0]}`);
    if (!document.body.innerText.includes("Invented data")) found.push("it does not say that its data are invented");
    return found;
  });

const VIEWS = {
  list: "#v=1", dry: "#v=1&mine=V04&water=dry", variety: "#v=1&view=variety&variety=V18&water=dry", send: "#v=1&view=share",
  handout: "#v=1&view=handout&water=dry&mine=V04", needs: "#v=1&need=straw,stripe-rust",
  compare: "#v=1&view=compare&with=V04,V18&water=dry", "compare-four": "#v=1&view=compare&with=V04,V18,V07,V01",
  acres: "#v=1&view=acres&acres=V18:60,V07:25,V01:15&water=dry", "acres-none": "#v=1&view=acres&water=dry",
  money: "#v=1&mine=V04&water=dry&money-unit=money", grazed: "#v=1&mine=V04&view=variety&variety=V18&graze=yes&graze-days=90&gain=1&value=1.1",
  track: "#v=1&view=track-record",
  irrigated: "#v=1&system=full-irrigation&water=driest-fifth&order=worst-fifth",
};
const SCREENS = [[320, 640], [390, 844], [1280, 800]];

test("every view and every sheet fits its screen, and every picture has its words", () =>
  harness.withBrowser("chromium", async (browser) => {
    for (const [width, height] of SCREENS) {
      const viewport = { width, height, deviceScaleFactor: 1 };
      for (const [view, fragment] of Object.entries(VIEWS)) {
        const tab = await open(browser, harness.PAGE_ADDRESS + fragment, { viewport });
        await harness.screenshot(tab.page, `${view}-${width}`);
        assert.deepEqual(await faults(tab.page), [], `${view} at ${width} px`);
        await assertClean(tab);
        await tab.page.close();
      }
      const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1`, { viewport });
      const brackets = await tab.page.$$eval(".bracket", (buttons) => buttons.map((button) => button.innerText));
      assert.ok(brackets.length >= 8, String(brackets));
      for (const bracket of [...brackets, "find a variety", "units"]) {
        await openSheet(tab.page, bracket);
        await harness.screenshot(tab.page, `sheet-${bracket.replace(/\W+/g, "-")}-${width}`);
        assert.deepEqual(await faults(tab.page), [], `the sheet of ${bracket} at ${width} px`);
        await tab.page.keyboard.press("Escape");
        await noSheet(tab.page);
      }
      await assertClean(tab);
    }
  }));
