// The shell: the page opens from a file in both browsers, asks for nothing, breaks no policy of its own,
// shows the plain table without scripts, works off the screen, and fails decently.

import assert from "node:assert/strict";
import { test } from "node:test";
import * as harness from "./harness.mjs";

// Words of the trade's statistics that no grower's screen has.
const NOT_FOR_GROWERS =
  /\b(laws?|packs?|fits?|fitted|standing|lapsed|regrets?|expected|quantiles?|environments?|BLUPs?)\b/i;

// Every text of it, a line each: what is seen leaves out sections below the screen, which are laid out when scrolled to.
const plainTable = (page) =>
  page.evaluate(() => {
    const texts = document.createTreeWalker(document.querySelector("#app > .static"), NodeFilter.SHOW_TEXT);
    const lines = [];
    while (texts.nextNode()) lines.push(texts.currentNode.data);
    return lines.join("\n");
  });

test("the plain table says what the page is for, in plain words", () =>
  harness.withBrowser("chromium", async (browser) => {
    const { page } = await harness.newTab(browser, { scripts: false });
    await page.goto(harness.PAGE_ADDRESS);
    const text = await plainTable(page);
    assert.match(text, /loses money in \d+ of 20/);
    assert.match(text, /not a guarantee/i);
    assert.match(text, /Invented data/);
    assert.doesNotMatch(text, NOT_FOR_GROWERS);
    const [content, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
    assert.ok(content <= screen, `${content} px wide on a screen of ${screen}`);
  }));

for (const name of harness.BROWSERS) {
  test(`${name}: the page opens from a file, alone and within its policy`, () =>
    harness.withBrowser(name, async (browser) => {
      const { page, record } = await harness.newTab(browser);
      await page.goto(harness.PAGE_ADDRESS);
      await harness.mounted(page);
      await harness.screenshot(page, `${name}-phone`);
      assert.deepEqual(harness.strayRequests(record), []);
      assert.deepEqual(await harness.policyViolations(page), []);
      assert.deepEqual(record.complaints, []);
    }));

  test(`${name}: the record sees a request and a violation when there is one`, () =>
    harness.withBrowser(name, async (browser) => {
      const { page, record } = await harness.newTab(browser);
      await page.goto(harness.PAGE_ADDRESS);
      await harness.mounted(page);
      await page.evaluate(() => fetch("http://127.0.0.1:9/").catch(() => {}));
      await page.evaluate(() => document.body.setAttribute("style", "color: red"));
      const violations = await harness.policyViolations(page);
      assert.ok(violations.some((text) => text.startsWith("connect-src")), String(violations));
      assert.ok(violations.some((text) => text.startsWith("style-src")), String(violations));
      assert.notDeepEqual(record.complaints, []);
    }));

  test(`${name}: with scripts off the plain table stands there`, () =>
    harness.withBrowser(name, async (browser) => {
      const { page, record } = await harness.newTab(browser, { scripts: false });
      await page.goto(harness.PAGE_ADDRESS);
      assert.equal(await harness.countElements(page, "#app > .static .static-how"), 1);
      assert.ok((await harness.countElements(page, "#app > .static tbody td:nth-child(3)")) > 0);
      await harness.screenshot(page, `${name}-plain-table`);
      assert.deepEqual(harness.strayRequests(record), []);
    }, { scripts: false }));

  test(`${name}: a job is answered from a worker, and one that is cancelled is not`, () =>
    harness.withBrowser(name, async (browser) => {
      const { page, record } = await harness.newTab(browser);
      await page.goto(harness.PAGE_ADDRESS);
      await harness.mounted(page);
      const outcome = await page.evaluate(async () => {
        let workers = 0;
        const RealWorker = Worker;
        globalThis.Worker = class extends RealWorker {
          constructor(address) { super(address); workers += 1; }
        };
        const onPage = wasm_bindgen.leanyear_job;
        let jobsOnPage = 0;
        wasm_bindgen.leanyear_job = (request) => { jobsOnPage += 1; return onPage(request); };
        const answer = await leanyear.job('{"job":"none"}');
        const refused = leanyear.job('{"job":"none"}').then(() => "answered", (error) => error.name);
        leanyear.cancel();
        return { answer, refused: await refused, workers, jobsOnPage };
      });
      assert.ok("error" in JSON.parse(outcome.answer), outcome.answer);
      assert.equal(outcome.refused, "AbortError");
      assert.equal(outcome.workers, 1);
      assert.equal(outcome.jobsOnPage, 0);
      assert.deepEqual(await harness.policyViolations(page), []);
      assert.deepEqual(record.complaints, []);
    }));

  test(`${name}: where no worker starts the job is done on the page`, () =>
    harness.withBrowser(name, async (browser) => {
      const { page } = await harness.newTab(browser);
      await page.goto(harness.PAGE_ADDRESS);
      await harness.mounted(page);
      const answer = await page.evaluate(() => {
        globalThis.Worker = class { constructor() { throw new Error("not allowed here"); } };
        return leanyear.job('{"job":"none"}');
      });
      assert.ok("error" in JSON.parse(answer), answer);
    }));

  test(`${name}: a page that fails keeps the link and the table, and offers to start over`, () =>
    harness.withBrowser(name, async (browser) => {
      const { page } = await harness.newTab(browser);
      await page.goto(`${harness.PAGE_ADDRESS}#v=1&water=dry`);
      await harness.mounted(page);
      const breakDown = () =>
        // A real trap in the real program: it is asked to read text from beyond its memory.
        page.evaluate(() => {
          setTimeout(() => wasm_bindgen.initSync().leanyear_job(0x7fffffff, 8), 0);
        });
      await breakDown();
      await page.waitForSelector("#app > .shell-notice", { timeout: harness.PATIENCE_MS });
      assert.ok(await page.$("#app > .static"));
      // A slow machine has written the address anew by then, with the data's own mark in it.
      assert.match(await page.$eval(".shell-notice a", (link) => link.hash), /^#v=1&(pack=[0-9a-f]{8}&)?water=dry$/);
      await harness.screenshot(page, `${name}-failed`);

      await Promise.all([page.waitForNavigation(), harness.press(page, "Start over")]);
      await harness.mounted(page);
      assert.equal(await page.evaluate(() => location.hash), "#v=1");

      await breakDown();
      await page.waitForSelector("#app > .shell-notice", { timeout: harness.PATIENCE_MS });
      assert.equal(await page.$(".shell-notice button"), null, "a second failure at once offers no restart");
      assert.ok(await page.$("#app > .static"));
    }));

  test(`${name}: a browser without WebAssembly, or without sheets, gets words above the table`, () =>
    harness.withBrowser(name, async (browser) => {
      for (const lacking of ["WebAssembly", "HTMLDialogElement"]) {
        const { page, record } = await harness.newTab(browser);
        await page.evaluateOnNewDocument((what) => { delete globalThis[what]; }, lacking);
        await page.goto(harness.PAGE_ADDRESS);
        await page.waitForSelector("#app > .shell-notice", { timeout: harness.PATIENCE_MS });
        assert.ok(await page.$("#app > .static"), lacking);
        assert.deepEqual(record.complaints, [], lacking);
      }
    }));
}
