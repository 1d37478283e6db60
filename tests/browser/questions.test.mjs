// The growers' questions, each answered on screen within three taps of opening the page.

import assert from "node:assert/strict";
import { test } from "node:test";
import * as harness from "./harness.mjs";
import { assertClean, open, press, rows, shows } from "./harness.mjs";

/** A freshly opened page on a phone, and hands that count their taps. */
async function phone(browser, fragment = "#v=1") {
  const tab = await open(browser, harness.PAGE_ADDRESS + fragment, { viewport: { width: 390, height: 844, deviceScaleFactor: 1 } });
  const taps = { count: 0 };
  const tap = async (words) => {
    taps.count += 1;
    await press(tab.page, words);
  };
  return { ...tab, tab, tap, taps };
}

const MINE = "#v=1&mine=V04";

const QUESTIONS = {
  "best for my dryland quarter, and how sure are you?": async ({ page }) => {
    await shows(page, /Too close to call|First, and clear of the others/);
    await shows(page, /cannot tell these \d+ apart|can tell this one from all the rest/);
  },
  "if it does not rain, which loses least?": async ({ page, tap }) => {
    await tap("as it may");
    await tap("dry: the driest third");
    await shows(page, /20 dry years.*Loses money least often: \w+, in/);
  },
  "is the new one better than what I grow, by how much, and is that real?": async ({ page, tap }) => {
    await tap("show the other");
    const name = await page.evaluate(() => [...document.querySelectorAll("li.row")]
      .find((row) => row.querySelector(".state")?.textContent === "new").querySelector("button").textContent.trim());
    await tap(name);
    await shows(page, /Is it better than the one I grow\?.*is ahead in .* of 20 such years.*4 years in 5 between/);
  },
  "can I graze it, and when must cattle come off?": async ({ page, tap }) => {
    await tap((await rows(page))[1].name);
    await shows(page, /Can it be grazed, and until when\?.*first hollow stem.*A week late takes/);
  },
  "which stands the virus?": async ({ page, tap }) => {
    await tap("needs");
    await tap("stand up to wheat streak mosaic");
    await tap("Done");
    await shows(page, /it must\s+stand up to wheat streak mosaic/);
  },
  "which stands the rust?": async ({ page, tap }) => {
    await tap("needs");
    await tap("stand up to stripe rust");
    await tap("Done");
    await shows(page, /it must\s+stand up to stripe rust/);
  },
  "will a spray pay on this one?": async ({ page, tap }) => {
    await tap((await rows(page))[1].name);
    await shows(page, /Would a spray pay on it\?.*pays in .* such years on this one.*The label is the law/);
  },
  "is the water better spent here?": async ({ page, tap }) => {
    await tap("what would change this?");
    await shows(page, /Is the water better spent here\?.*One more inch of water on dryland ground adds .*\sOne more inch of water on limited irrigation ground adds/);
  },
  "which two or three spread my risk?": async ({ page, tap }) => {
    await tap("split my acres");
    await shows(page, /The split that helps most.*\d+\s%.*4 worst years of 20/);
  },
  "why did it drop off your list?": async ({ page, tap }) => {
    await tap("find a variety");
    await tap("Hollambry");
    await shows(page, /slipping since 2021/);
  },
  "test weight and protein docks?": async ({ page, tap }) => {
    await tap("$5.80");
    await tap("docks for grain quality");
    await shows(page, /Test weight.*Grain protein/);
  },
};

test("every question is answered on screen within three taps", () =>
  harness.withBrowser("chromium", async (browser) => {
    for (const [question, ask] of Object.entries(QUESTIONS)) {
      const asked = await phone(browser, MINE);
      await ask(asked);
      assert.ok(asked.taps.count <= 3, `${question}: ${asked.taps.count} taps`);
      await harness.screenshot(asked.page, `question-${question.replace(/\W+/g, "-").slice(0, 30)}`);
      await assertClean(asked.tab);
      await asked.page.close();
    }
  }));

test("a phone shows the first variety whole on its first screen", () =>
  harness.withBrowser("chromium", async (browser) => {
    const { page, tab } = await phone(browser, "");
    const { top, bottom, size } = await page.evaluate(() => {
      const box = document.querySelector("li.row").getBoundingClientRect();
      return { top: box.top, bottom: box.bottom, size: parseFloat(getComputedStyle(document.querySelector(".sentence")).fontSize) };
    });
    assert.ok(top > 0 && bottom <= 844, `from ${top} to ${bottom} of 844`);
    assert.ok(size >= 20, `the sentence is ${size} px`);
    await assertClean(tab);
  }));
