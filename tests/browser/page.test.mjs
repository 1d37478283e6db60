// The page as a grower uses it: he sets the year to dry, sees the order change, sends the settings on, and
// finds them again; with a thumb, with a keyboard, in two browsers, on the demo and on a bare network.

import assert from "node:assert/strict";
import { test } from "node:test";
import * as harness from "./harness.mjs";
import { barleyPage } from "./networks.mjs";

const NOTHING_WRITTEN_YET_MS = 1600;
const pause = (ms) => new Promise((done) => setTimeout(done, ms));

const open = async (browser, address = harness.PAGE_ADDRESS, options = {}) => {
  const tab = await harness.newTab(browser, options);
  await tab.page.goto(address);
  await harness.mounted(tab.page);
  return tab;
};

/** Presses the button whose words begin so, as a thumb would find it. */
const press = async (page, words) => {
  const handle = await page.waitForFunction(
    (wanted) => [...document.querySelectorAll("button")].find((b) => b.offsetParent && b.innerText.trim().startsWith(wanted)),
    { timeout: harness.PATIENCE_MS }, words,
  );
  await handle.asElement().evaluate((button) => button.click());
  await pause(150);
};

/** Opens the bracket of the sentence that holds these words. */
const bracket = (page, words) =>
  page.evaluate((wanted) => [...document.querySelectorAll("button.bracket")].find((b) => b.innerText.includes(wanted)).click(), words)
    .then(() => pause(250));

const rows = (page) =>
  page.evaluate(() => [...document.querySelectorAll("[id^=row-]")].map((button) => button.textContent.trim()));

const unfold = (page) => press(page, "show the other");

test("chromium: a dry year changes the order, and the link carries it to a second tab and to firefox", async () => {
  let link;
  let sent;
  await harness.withBrowser("chromium", async (browser) => {
    const { page, record } = await open(browser);
    await bracket(page, "leaves most after costs");
    await press(page, "loses money least often");
    await unfold(page);
    const before = await rows(page);
    assert.ok(before.length > 20, `${before.length} rows`);
    await bracket(page, "as it may");
    await press(page, "dry: the driest third");
    const text = await harness.visibleText(page);
    assert.match(text, /20 dry years, each as likely\. Not past years, not a weather forecast\./);
    const after = await rows(page);
    assert.deepEqual([...after].sort(), [...before].sort());
    assert.notDeepEqual(after, before, "the order of the rows changes");
    await press(page, "send");
    link = await page.$eval("input.link", (input) => input.value);
    assert.match(link, /water=dry/);
    assert.doesNotMatch(link, /price|cost/, "money stays out unless ticked");
    await pause(NOTHING_WRITTEN_YET_MS);
    await page.goBack();
    await pause(NOTHING_WRITTEN_YET_MS);
    const fragment = await page.evaluate(() => location.hash);
    const second = await open(browser, harness.PAGE_ADDRESS + fragment);
    await second.page.bringToFront();
    sent = await harness.visibleText(second.page);
    assert.match(sent, /if the year turns out\s+dry/);
    assert.equal(sent, await harness.visibleText(page).then((t) => refold(t, sent)));
    assert.deepEqual(harness.strayRequests(record), []);
    assert.deepEqual(await harness.policyViolations(page), []);
    assert.deepEqual(record.complaints, []);
    link = fragment;
  });
  await harness.withBrowser("firefox", async (browser) => {
    const { page, record } = await open(browser, harness.PAGE_ADDRESS + link);
    const words = (text) => text.replace(/\s+/g, "");
    assert.equal(words(await harness.visibleText(page)).slice(0, 1200), words(sent).slice(0, 1200));
    assert.deepEqual(record.complaints, []);
  });
});

/** The first tab still has its list unfolded, which no link carries: compare what both show. */
function refold(unfolded, folded) {
  const lines = new Set(unfolded.split("\n"));
  const missing = folded.split("\n").filter((line) => !lines.has(line) && !line.startsWith("show the other"));
  return missing.length === 0 ? folded : `not in the first tab: ${missing.join(" | ")}`;
}

for (const name of harness.BROWSERS) {
  test(`${name}: settings are found again, a link wins over them, a broken link says what is wrong`, () =>
    harness.withBrowser(name, async (browser) => {
      const first = await open(browser);
      await bracket(first.page, "as it may");
      await press(first.page, "very dry: the driest fifth");
      await pause(NOTHING_WRITTEN_YET_MS);
      const again = await open(browser);
      assert.match(await harness.visibleText(again.page), /20 very dry years/);
      const linked = await open(browser, `${harness.PAGE_ADDRESS}#v=1&water=wet`);
      assert.match(await harness.visibleText(linked.page), /20 wet years/);
      const broken = await open(browser, `${harness.PAGE_ADDRESS}#v=1&water=soggy&colour=red`);
      const text = await harness.visibleText(broken.page);
      assert.match(text, /soggy/);
      assert.match(text, /colour/);
      for (const tab of [first, again, linked, broken]) assert.deepEqual(tab.record.complaints, []);
    }));

  test(`${name}: the track record runs in a worker while the page goes on`, () =>
    harness.withBrowser(name, async (browser) => {
      const { page, record } = await open(browser);
      const workers = await page.evaluate(() => {
        globalThis.startedWorkers = 0;
        const Plain = globalThis.Worker;
        globalThis.Worker = class extends Plain {
          constructor(...given) {
            super(...given);
            globalThis.startedWorkers += 1;
          }
        };
        return globalThis.startedWorkers;
      });
      assert.equal(workers, 0);
      await page.evaluate(() => [...document.querySelectorAll("button")].at(-1).scrollIntoView());
      await press(page, "check");
      await bracket(page, "as it may");
      await press(page, "dry: the driest third");
      await page.waitForFunction(() => /\b20(19|2\d)\b.*\bof\b/s.test(document.body.innerText) && /held|fell/.test(document.body.innerText), { timeout: 60000 });
      assert.equal(await page.evaluate(() => globalThis.startedWorkers), 1);
      assert.match(await harness.visibleText(page), /20 dry years/);
      assert.deepEqual(record.complaints, []);
    }));
}

test("chromium: every view fits its screen, and every picture has its words", () =>
  harness.withBrowser("chromium", async (browser) => {
    const views = ["#v=1", "#v=1&mine=V04&water=dry", "#v=1&view=variety&variety=V18", "#v=1&view=share", "#v=1&system=full-irrigation"];
    for (const [width, height] of [[320, 640], [390, 844], [1280, 800]]) {
      for (const [k, view] of views.entries()) {
        const { page, record } = await open(browser, harness.PAGE_ADDRESS + view, { viewport: { width, height, deviceScaleFactor: 1 } });
        await harness.screenshot(page, `view-${k}-${width}`);
        const [content, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
        assert.ok(content <= screen, `${view} is ${content} px wide on a screen of ${screen}`);
        const text = await harness.visibleText(page);
        assert.match(text, /Invented data/, `${view} says that its data are invented`);
        assert.doesNotMatch(text, /NaN|undefined|Infinity/);
        const wordless = await page.evaluate(() =>
          [...document.querySelectorAll("svg")].filter((svg) => svg.getAttribute("role") === "img")
            .filter((svg) => !svg.querySelector("title")?.textContent || !svg.querySelector("desc")?.textContent).length);
        assert.equal(wordless, 0, `pictures of ${view} without title or description`);
        assert.deepEqual(record.complaints, []);
        await page.close();
      }
    }
  }));

test("chromium: a keyboard alone sets the year", () =>
  harness.withBrowser("chromium", async (browser) => {
    const { page } = await open(browser);
    const focused = () => page.evaluate(() => document.activeElement.tagName === "BUTTON" ? document.activeElement.innerText : "");
    for (let k = 0; k < 40 && !(await focused()).includes("as it may"); k += 1) await page.keyboard.press("Tab");
    assert.match(await focused(), /as it may/);
    await page.keyboard.press("Enter");
    await pause(300);
    for (let k = 0; k < 20 && !(await focused()).startsWith("dry"); k += 1) await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    await pause(300);
    assert.match(await harness.visibleText(page), /20 dry years/);
    await page.keyboard.press("Escape");
    await pause(300);
    assert.equal(await page.evaluate(() => document.querySelector("dialog[open]")), null);
  }));

test("chromium: a bare network from a registry's barley data says what it cannot do, and answers the rest", async () => {
  const address = await barleyPage();
  await harness.withBrowser("chromium", async (browser) => {
    const { page, record } = await open(browser, address);
    await harness.screenshot(page, "barley-phone");
    const text = await harness.visibleText(page);
    assert.match(text, /Barley 1931-32/);
    assert.match(text, /falls short of \d+/);
    assert.match(text, /water/i, "says that no water is known");
    assert.match(text, /price/i, "says that no price is set");
    assert.doesNotMatch(text, /NaN|undefined|Infinity|Invented/);
    await page.evaluate(() => [...document.querySelectorAll("[id^=row-]")][0].click());
    await pause(600);
    const detail = await harness.visibleText(page);
    assert.match(detail, /1931/);
    assert.match(detail, /Waseca|Morris|Crookston/);
    assert.doesNotMatch(detail, /NaN|undefined|Infinity/);
    await harness.screenshot(page, "barley-variety");
    assert.deepEqual(harness.strayRequests(record, address), []);
    assert.deepEqual(record.complaints, []);
  });
});
