// The hosted copy: served over loopback it keeps itself, lives on after the server is gone, keeps nothing that is
// not our page, takes newer data at a tap without losing a setting, and can be put on a home screen.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import * as harness from "./harness.mjs";
import { withNewerSite } from "./networks.mjs";
import { ALL, visit } from "./views.mjs";

const waitFor = (page, what) =>
  page.waitForFunction((key) => globalThis.leanyear?.site[key], { timeout: harness.PATIENCE_MS }, what);

const withSite = (name, work, replace, folder = harness.SITE_FOLDER) =>
  harness.withBrowser(name, (browser) => harness.withServer(folder, (server) => work(browser, server), replace));

/** What an answered log-in page of a network that wants money first looks like. */
const LOG_IN = Buffer.from("<!doctype html><title>Log in</title><p>Accept our terms.</p>");
/** The two ways in which such a network answers whatever is asked: a page of its own, or the way to one. */
const PORTALS = {
  "a page of its own": (path) => ({ body: LOG_IN, headers: { "Content-Type": "text/html" } }),
  "a redirect to one": (path) => path === "/log-in.html" ? { body: LOG_IN } : { status: 302, headers: { Location: "/log-in.html" } },
};

/** Every address that is kept on this device, with the words by which a log-in page would be known. */
const everythingKept = (page) => page.evaluate(async () => {
  const found = [];
  for (const name of await caches.keys()) {
    const store = await caches.open(name);
    for (const request of await store.keys()) {
      const text = await (await store.match(request)).text();
      found.push({ path: new URL(request.url).pathname, portal: text.includes("Log in"), bytes: text.length });
    }
  }
  return found.sort((a, b) => (a.path < b.path ? -1 : 1));
});

/** The settings that a page stands at, without the mark of its data. */
const settings = (page) => page.evaluate(() => location.hash.replace(/&pack=[0-9a-f]{8}/, ""));
const dataMark = (page) => page.evaluate(() => location.hash.match(/pack=([0-9a-f]{8})/)?.[1]);

/** Chooses a dry year and the night by hand. */
async function choose(page) {
  await page.click(".bracket[data-sheet=water]");
  await page.waitForSelector("dialog[open] .choices");
  await page.evaluate(() => document.querySelectorAll("dialog[open] .choices button")[2].click());
  await harness.noSheet(page);
  await page.click(".head .word:nth-of-type(2)");
  await page.waitForSelector("html.night");
  await harness.addressHolds(page, "water=dry");
}

for (const name of harness.BROWSERS) {
  test(`${name}: after a first visit the page lives without its server: opens, reloads, keeps settings, shares a link`, () =>
    withSite(name, async (browser, server) => {
      const tab = { ...(await harness.newTab(browser)), address: server.address };
      const { page } = tab;
      await page.goto(server.address);
      await harness.mounted(page);
      await waitFor(page, "kept");
      await page.waitForSelector(".kept-here", { timeout: harness.PATIENCE_MS });
      await choose(page);
      const chosen = await settings(page);
      await harness.assertClean(tab);

      await server.stop();
      await page.goto(`${server.address}?from=home#v=1`);
      await harness.mounted(page);
      assert.equal(await settings(page), "#v=1", "a link wins over what was chosen");
      await page.goto(`${server.address}${chosen}`);
      await page.reload();
      await harness.mounted(page);
      assert.equal(await settings(page), chosen);

      const again = await harness.open(browser, server.address);
      await harness.addressHolds(again.page, "water=dry");
      assert.equal(await settings(again.page), chosen, "the settings are found again");
      assert.ok(await again.page.$("html.night"), "and the night");
      await again.page.click(".head .word");
      const link = await (await again.page.waitForSelector("input.link")).evaluate((field) => field.value);
      assert.ok(link.startsWith(`${server.address}#v=1&`) && link.includes("water=dry"), link);
      assert.ok(await again.page.$("svg.code"), "the code of the link is there too");
      const sent = await harness.open(browser, link);
      await harness.addressHolds(sent.page, "water=dry");
      await harness.assertClean(again);
      await harness.assertClean({ ...sent, address: server.address });
    }));

  for (const [answer, portal] of Object.entries(PORTALS)) {
    test(`${name}: a network that answers with ${answer} keeps nothing of it while the page is new here`, () => {
      // The first request is the reader's own; the portal answers what the service worker asks for.
      let asked = 0;
      const between = (path, bytes) => {
        if (path === "/index.html") asked += 1;
        return (path === "/index.html" && asked === 1) || path === "/sw.js" ? bytes : portal(path);
      };
      return withSite(name, async (browser, server) => {
        const { page } = await harness.newTab(browser);
        await page.goto(server.address);
        await page.waitForFunction(
          async () => {
            const found = await navigator.serviceWorker.getRegistration();
            return globalThis.leanyear && !found?.installing && !found?.active;
          },
          { timeout: harness.PATIENCE_MS, polling: 200 },
        );
        for (let wait = 0; asked < 2 && wait < 100; wait += 1) await new Promise((done) => setTimeout(done, 100));
        assert.ok(asked >= 2, "the service worker asked for the page");
        await new Promise((done) => setTimeout(done, 1000));
        assert.equal(await page.evaluate(() => leanyear.site.kept), false);
        assert.deepEqual(await everythingKept(page), []);
      }, between);
    });

    test(`${name}: a network that answers with ${answer} changes nothing of a page that is kept`, () => {
      let caught = false;
      return withSite(name, async (browser, server) => {
        const { page } = await harness.newTab(browser);
        await page.goto(server.address);
        await waitFor(page, "kept");
        const before = await everythingKept(page);
        assert.ok(before.length > 1, "the page and its icons are kept");
        caught = true;
        for (const way of ["", "?from=home", "index.html"]) {
          await page.goto(`${server.address}${way}`);
          await harness.mounted(page);
          // Asks again for the service worker, as a browser does by itself now and then.
          await page.evaluate(async () => (await navigator.serviceWorker.getRegistration()).update().catch(() => {}));
        }
        assert.deepEqual(await everythingKept(page), before);
        assert.ok(before.every((one) => !one.portal));
        assert.equal(await page.evaluate(() => leanyear.site.newer), false);
      }, (path, bytes) => (caught ? portal(path) : bytes));
    });

    test(`${name}: a network that answers with ${answer} in the midst of newer data leaves the older page`, () => {
      let newer = false;
      const between = (path, bytes) => {
        if (!newer) return bytes;
        return path === "/sw.js" ? Buffer.from(String(bytes).replace('const VERSION = "', "$&newer-")) : portal(path);
      };
      return withSite(name, async (browser, server) => {
        const { page } = await harness.newTab(browser);
        await page.goto(server.address);
        await waitFor(page, "kept");
        const before = await everythingKept(page);
        newer = true;
        const state = await page.evaluate(async () => {
          const registration = await navigator.serviceWorker.getRegistration();
          const coming = new Promise((done) => registration.addEventListener("updatefound", () => done(registration.installing), { once: true }));
          await registration.update();
          const worker = await coming;
          await new Promise((done) => { worker.onstatechange = () => worker.state !== "installing" && done(); });
          return [worker.state, Boolean(registration.active), leanyear.site.newer];
        });
        assert.deepEqual(state, ["redundant", true, false]);
        assert.deepEqual((await everythingKept(page)).filter((one) => one.portal), []);
        await page.reload();
        await harness.mounted(page);
        for (const one of before) assert.deepEqual((await everythingKept(page)).find((kept) => kept.path === one.path), one);
      }, between);
    });
  }

  test(`${name}: newer data wait for a tap, and neither the tap nor closing the page loses a setting`, () =>
    withNewerSite((newerFolder) => {
      let folder = harness.SITE_FOLDER;
      return withSite(name, async (browser, server) => {
        const tab = { ...(await harness.newTab(browser)), address: server.address };
        const { page } = tab;
        await page.goto(server.address);
        await harness.mounted(page);
        await waitFor(page, "kept");
        await choose(page);
        const [chosen, before] = [await settings(page), await dataMark(page)];
        folder = newerFolder;
        await page.reload();
        await harness.mounted(page);
        await page.waitForSelector(".newer button", { timeout: harness.PATIENCE_MS });
        await page.reload();
        await harness.mounted(page);
        assert.equal(await dataMark(page), before, "nothing is taken without a tap");
        await page.waitForSelector(".newer button", { timeout: harness.PATIENCE_MS });
        await harness.screenshot(page, `${name}-newer`);
        // A setting of the last moment, not yet in the address.
        await page.click(".bracket[data-sheet=order]");
        await page.waitForSelector("dialog[open] .choices");
        await page.evaluate(() => document.querySelectorAll("dialog[open] .choices button")[2].click());
        await harness.noSheet(page);
        await page.click(".newer button");
        await harness.polled(page, (old) => document.querySelector("li.row") && /pack=[0-9a-f]{8}/.test(location.hash) && !location.hash.includes(old),
          undefined, before);
        assert.equal(await settings(page), `${chosen}&order=worst-fifth`);
        assert.ok(await page.$("html.night"));
        assert.equal(await page.$(".notices"), null, "one's own settings are nobody's link");
        assert.equal(await page.$(".newer"), null);
        await harness.assertClean(tab);

        // Back to the other data while no page is open: what waits is then taken at the next visit.
        folder = harness.SITE_FOLDER;
        await page.reload();
        await page.waitForSelector(".newer button", { timeout: harness.PATIENCE_MS });
        await page.close();
        const again = await harness.open(browser, server.address);
        await harness.addressHolds(again.page, "order=worst-fifth");
        assert.equal(await settings(again.page), `${chosen}&order=worst-fifth`);
      }, undefined, () => folder);
    }));
}

const fromFile = (work) => work(harness.PAGE_ADDRESS);
const fromServer = (work) => harness.withServer(harness.SITE_FOLDER, (server) => work(server.address));

// Chromium on a file goes through all of it in accessible.test.mjs.
for (const [name, way, under] of [["firefox", "a file", fromFile], ["firefox", "loopback", fromServer], ["chromium", "loopback", fromServer]]) {
  test(`${name}: no view, sheet or step of the office breaks the policy or asks for anything, from ${way}`, () =>
    harness.withBrowser(name, (browser) => under(async (address) => {
      const tab = await harness.open(browser, `${address}#v=1`);
      for (const [stop, steps] of ALL.filter(([stop]) => !["track", "office-faulty", "office-word", "office-report"].includes(stop))) {
        await visit(tab.page, steps, { anew: false }).catch((error) => { throw new Error(`${stop}: ${error.message}`, { cause: error }); });
        assert.deepEqual(await harness.policyViolations(tab.page), [], stop);
      }
      await harness.assertClean({ ...tab, address });
    })));
}

test("chromium: the single file on a server, without the rest of the folder, works and keeps nothing", () =>
  withSite("chromium", async (browser, server) => {
    const tab = await harness.open(browser, server.address);
    await tab.page.waitForSelector("li.row");
    await new Promise((done) => setTimeout(done, 500));
    assert.deepEqual(await everythingKept(tab.page), []);
    assert.equal(await tab.page.$(".kept-here"), null);
    assert.deepEqual(await harness.policyViolations(tab.page), []);
  }, (path, bytes) => (path === "/index.html" ? bytes : null)));

test("chromium: the hosted page can be put on a home screen", () =>
  withSite("chromium", async (browser, server) => {
    const { page, record } = await harness.newTab(browser);
    await page.goto(server.address);
    await waitFor(page, "kept");
    const session = await page.createCDPSession();
    const { errors } = await session.send("Page.getAppManifest");
    assert.deepEqual(errors, []);
    const { installabilityErrors } = await session.send("Page.getInstallabilityErrors");
    assert.deepEqual(installabilityErrors, []);
    assert.deepEqual(record.complaints, []);
  }));

test("the command's own server gives the hosted copy and nothing else", async () => {
  const { address, end } = await harness.startCommand();
  try {
    const page = await fetch(address);
    assert.equal(page.status, 200);
    assert.equal(await page.text(), await readFile(join(harness.SITE_FOLDER, "index.html"), "utf8"));
    assert.match((await fetch(`${address}sw.js`)).headers.get("content-type"), /^text\/javascript/);
    assert.equal((await fetch(`${address}..%2f..%2fCargo.toml`)).status, 404);
    assert.equal((await fetch(address, { method: "POST" })).status, 405);
  } finally {
    end();
  }
});
