// The hosted copy: served over loopback it keeps itself, opens after the server is gone, keeps nothing
// that is not our page, says when newer data wait, and can be put on a home screen.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { test } from "node:test";
import * as harness from "./harness.mjs";

const waitFor = (page, what) =>
  page.waitForFunction((key) => globalThis.leanyear?.site[key], { timeout: harness.PATIENCE_MS }, what);

const withSite = (name, work, replace) =>
  harness.withBrowser(name, (browser) =>
    harness.withServer(harness.SITE_FOLDER, (server) => work(browser, server), replace));

for (const name of harness.BROWSERS) {
  test(`${name}: the hosted page opens after its server is stopped`, () =>
    withSite(name, async (browser, server) => {
      const { page, record } = await harness.newTab(browser);
      await page.goto(server.address);
      await harness.mounted(page);
      await waitFor(page, "kept");
      assert.deepEqual(harness.strayRequests(record, server.address), []);
      assert.deepEqual(record.complaints, []);
      assert.deepEqual(await harness.policyViolations(page), []);

      await server.stop();
      await page.goto(`${server.address}?from=home#v=1`);
      await harness.mounted(page);
      assert.equal(await page.evaluate(() => location.hash), "#v=1");
    }));

  test(`${name}: what a captive portal answers is not kept`, () => {
    // The first request is the reader's own; the portal answers what the service worker asks for.
    let asked = 0;
    const portal = (path, bytes) => {
      if (path !== "/index.html") return bytes;
      asked += 1;
      return asked === 1 ? bytes : Buffer.from("<!doctype html><title>Log in</title>");
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
      const state = await page.evaluate(async () => ({ kept: leanyear.site.kept, stores: await caches.keys() }));
      assert.deepEqual(state, { kept: false, stores: [] });
    }, portal);
  });

  test(`${name}: newer data wait until they are asked for`, () => {
    let newer = false;
    const change = (path, bytes) => {
      if (newer && path === "/index.html") return Buffer.from(String(bytes).replace("<title>", "<title>Newer "));
      if (newer && path === "/sw.js") return Buffer.from(String(bytes).replace('const VERSION = "', "$&newer-"));
      return bytes;
    };
    return withSite(name, async (browser, server) => {
      const { page } = await harness.newTab(browser);
      await page.goto(server.address);
      await waitFor(page, "kept");
      newer = true;
      await page.reload();
      await waitFor(page, "newer");
      assert.doesNotMatch(await page.title(), /^Newer /);

      await Promise.all([page.waitForNavigation(), page.evaluate(() => leanyear.update())]);
      await harness.mounted(page);
      assert.match(await page.title(), /^Newer /);
    }, change);
  });
}

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
