// The way back, and a keyboard that sets the year and looks at a variety: where the focus comes to.

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
      // What was set in the sheet stays in the address and on the device, though the way back leaves the sheet's entry.
      await openSheet(page, "$165");
      await page.click("dialog[open] .typed input", { count: 3 });
      await page.keyboard.type("250");
      await addressHolds(page, "cost=250");
      await back();
      await noSheet(page);
      await shows(page, /\$250 an acre/);
      await addressHolds(page, "cost=250");
      await page.reload();
      await shows(page, /\$250 an acre/);
      await assertClean(tab);
    }));
}
