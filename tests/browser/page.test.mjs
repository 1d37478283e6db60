// The page as a grower uses it: he sets the year to dry, sees the order change, sends the settings on and
// finds them again; in two browsers, on the demo and on a network that knows little.

import assert from "node:assert/strict";
import { test } from "node:test";
import * as harness from "./harness.mjs";
import { withBarleyPage, withoutWaterPage } from "./networks.mjs";
import { addressHolds, assertClean, noSheet, open, openSheet, press, rows, shows, visibleText } from "./harness.mjs";

/** The words on a screen, whatever white space a browser puts between them. */
const words = (text) => text.replace(/\s+/g, "");

async function chooseYear(page, now, year) {
  await openSheet(page, now);
  await press(page, year);
  await noSheet(page);
}

test("a dry year changes the order and the odds, and the link carries it to a second tab and another browser", async () => {
  let link;
  let sent;
  await harness.withBrowser("chromium", async (browser) => {
    const tab = await open(browser);
    const { page } = tab;
    await openSheet(page, "leaves most after costs");
    await press(page, "loses money least often");
    await noSheet(page);
    await press(page, "show the other");
    assert.match(await visibleText(page), /20 years as they come, each as likely/);
    const before = await rows(page);
    assert.ok(before.length > 20, `${before.length} rows`);

    await chooseYear(page, "as it may", "dry: the driest third");
    await shows(page, /20 dry years, each as likely\. Not past years, not a weather forecast\./);
    const after = await rows(page);
    const names = (list) => list.map((row) => row.name);
    assert.deepEqual(names(after).sort(), names(before).sort());
    assert.notDeepEqual(names(after), names(before), "the order changes");
    const odds = new Map(before.map((row) => [row.name, row.odds]));
    const worse = after.filter((row) => row.odds !== odds.get(row.name));
    assert.ok(worse.length > before.length / 2, "most varieties lose money more or less often when it is dry");
    assert.match(after[0].odds, /^loses money in (\d+ of 20 years, not in \d+|(fewer|more) than \d+ in 20 years)$/);

    await press(page, "show fewer");
    // Rows that are scrolled out of sight are not laid out, and have no words then.
    await page.evaluate(() => scrollTo(0, 0));
    await page.waitForFunction(() => document.querySelector("li.row .odds").innerText);
    const shown = await visibleText(page);
    await press(page, "send");
    link = await (await page.waitForSelector("input.link")).evaluate((input) => input.value);
    assert.match(link, /^#v=1&.*water=dry/);
    assert.doesNotMatch(link, /price|cost|file:/, "money and the path of the file stay here");
    await press(page, "copy");
    await shows(page, /Copied\./);
    const second = await open(browser, harness.PAGE_ADDRESS + link);
    sent = await visibleText(second.page);
    assert.equal(words(sent), words(shown));
    await assertClean(tab);
    await assertClean(second);
  });
  await harness.withBrowser("firefox", async (browser) => {
    const tab = await open(browser, harness.PAGE_ADDRESS + link);
    assert.equal(words(await visibleText(tab.page)), words(sent));
    await assertClean(tab);
  });
});

test("a cost is typed, what is no number changes nothing, and money goes out only when ticked", () =>
  harness.withBrowser("chromium", async (browser) => {
    const tab = await open(browser);
    const { page } = tab;
    await openSheet(page, "$165");
    const before = await rows(page);
    await harness.type(page, "What does an acre cost you?", "a16");
    await shows(page, /Use digits only.*Still showing the last number that could be used/);
    assert.deepEqual(await rows(page), before);
    await harness.type(page, "What does an acre cost you?", "240");
    await page.waitForFunction((odds) => document.querySelector("li.row .odds").textContent !== odds,
      { timeout: harness.PATIENCE_MS }, before[0].odds);
    await page.keyboard.press("Enter");
    await noSheet(page);
    await press(page, "send");
    const link = () => page.$eval("input.link", (input) => input.value);
    await page.waitForSelector("input.link");
    assert.doesNotMatch(await link(), /cost/);
    await page.click("input[type=checkbox]");
    await page.waitForFunction(() => document.querySelector("input.link").value.includes("cost=240"));
    await assertClean(tab);
  }));

for (const name of harness.BROWSERS) {
  test(`${name}: settings and the light are found again, a link wins over them, a broken one says what is wrong`, () =>
    harness.withBrowser(name, async (browser) => {
      const first = await open(browser);
      await chooseYear(first.page, "as it may", "very dry: the driest fifth");
      await press(first.page, "night");
      await addressHolds(first.page, "water=driest-fifth");

      const again = await open(browser);
      assert.match(await visibleText(again.page), /20 very dry years/);
      assert.ok(await again.page.$("html.night"), "night is remembered");
      await press(again.page, "daylight");

      const linked = await open(browser, `${harness.PAGE_ADDRESS}#v=1&water=wet`);
      assert.match(await visibleText(linked.page), /20 wet years/);
      assert.equal(await linked.page.$("html.night"), null, "daylight is remembered");

      const broken = await open(browser, `${harness.PAGE_ADDRESS}#v=1&water=soggy&colour=red`);
      const text = await visibleText(broken.page);
      assert.match(text, /In the link, “water” is “soggy”, which it cannot be; the usual setting stands instead\./);
      assert.match(text, /This page does not know “colour” in the link; it was left out\./);
      await press(broken.page, "put away");
      await broken.page.waitForFunction(() => !document.querySelector(".notices"));
      for (const tab of [first, again, linked, broken]) await assertClean(tab);
    }));

  test(`${name}: the track record is worked out in a worker while the page goes on`, () =>
    harness.withBrowser(name, async (browser) => {
      const tab = await open(browser);
      const { page } = tab;
      await page.evaluate(() => {
        globalThis.startedWorkers = 0;
        globalThis.Worker = class extends Worker {
          constructor(...given) {
            super(...given);
            globalThis.startedWorkers += 1;
          }
        };
        globalThis.longestGap = 0;
        let last = performance.now();
        setInterval(() => {
          globalThis.longestGap = Math.max(globalThis.longestGap, performance.now() - last);
          last = performance.now();
        }, 20);
      });
      await press(page, "check it now");
      await shows(page, /Working through the past seasons/);
      await press(page, "\u2190 Back to all varieties");
      await chooseYear(page, "as it may", "dry: the driest third");
      await shows(page, /20 dry years/);
      await press(page, "check it now");
      const text = await shows(page, /held in \d+ of \d+ results/, 60000);
      assert.match(text, /was missed by [\d.]+\sbu\/ac as a rule; a table of plain averages missed it by/);
      for (const system of ["Dryland", "Limited irrigation", "Full irrigation"]) assert.match(text, new RegExp(system));
      for (const season of [2020, 2022, 2024]) assert.match(text, new RegExp(`${season}\\s+\\d+ of \\d+`));
      const { startedWorkers, longestGap } = await page.evaluate(() =>
        ({ startedWorkers: globalThis.startedWorkers, longestGap: globalThis.longestGap }));
      assert.equal(startedWorkers, 1);
      assert.ok(longestGap < 1500, `the page stood still for ${Math.round(longestGap)} ms`);
      await assertClean(tab);
    }));
}

test("a network from a registry's barley data says what it cannot do, and answers the rest", async () => {
  await withBarleyPage((address) => Promise.all(harness.BROWSERS.map((name) =>
    harness.withBrowser(name, async (browser) => {
      const tab = await open(browser, address);
      const { page } = tab;
      await harness.screenshot(page, `${name}-barley`);
      const text = await visibleText(page);
      assert.match(text, /Barley 1931-32/);
      assert.match(text, /falls\sshort\sof\s\d+\sbu\/ac\sin\s\d+\sof\s20\syears,\snot\sin\s\d+/);
      for (const missing of [
        "No water was recorded", "No disease ratings came with the data", "did not report their own error",
        "No trial was reported lost to drought", "short means short of a yield, not of money",
        "No list of sites came with the data", "No list of varieties came with the data",
      ]) assert.ok(text.includes(missing), `“${missing}” in:\n${text}`);
      assert.doesNotMatch(text, /NaN|undefined|Infinity|Invented|null/);

      const [first] = await rows(page);
      await press(page, first.name);
      const detail = await shows(page, /Every trial it stood in/);
      assert.match(detail, /1932\s+(Waseca|Morris|Crookston|Duluth|Grand Rapids|University Farm)\s+\d/);
      assert.match(detail, /1931\s+(Waseca|Morris|Crookston|Duluth|Grand Rapids|University Farm)\s+\d/);
      assert.match(detail, /2 seasons, 12 trials/);
      assert.doesNotMatch(detail, /NaN|undefined|Infinity|null/);
      await harness.screenshot(page, `${name}-barley-variety`);
      await assertClean(tab);
    }))));
});

test("where no water is known no year is called dry, whatever the link or an older page says", () =>
  withoutWaterPage((address) => harness.withBrowser("chromium", async (browser) => {
    const tab = await open(browser, `${address}#v=1&water=dry`);
    await shows(tab.page, /No water is on record for this ground: the years are taken as they come\./);
    assert.doesNotMatch(await visibleText(tab.page), /20 dry years|of them dry/);
    await tab.page.waitForFunction(() => !location.hash.includes("water="), { timeout: harness.PATIENCE_MS });
    await assertClean({ ...tab, address });
  })));
