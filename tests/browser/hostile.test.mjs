// The page in bad hands: broken packs and links, files that are none, a browser that keeps nothing or keeps rubbish,
// a clock that is wrong, two tabs, the way back and forward, a phone that is turned. It says what is wrong or goes
// on, and the screen of a failure is never seen.

import assert from "node:assert/strict";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import { BROKEN_LINKS, brokenPacks, chance, damaged, pageInParts } from "./broken.mjs";
import * as harness from "./harness.mjs";
import { addressHolds, assertClean, noSheet, open, openSheet, press, shows, visibleText } from "./harness.mjs";

const DEMO = fileURLToPath(new URL("../../data/demo/", import.meta.url));
const TABLES = ["trials", "means", "varieties", "sites", "water", "traits", "ratings", "pressure", "shortlist"];
// Most memory that the program may hold after a hundred broken files, MiB.
const MOST_MIB = 512;

async function withFolder(work) {
  const folder = await mkdtemp(join(tmpdir(), "leanyear-hostile-"));
  try {
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** What a reader must never see, whatever was handed to the page. */
async function assertSound(page, what) {
  // A notice quotes what stands in a link.
  const text = (await visibleText(page)).replace(/“[^”]*”/gs, "“…”");
  assert.doesNotMatch(text, /NaN|undefined|Infinity|\[object/, what);
  assert.equal(await page.$(".shell-notice button"), null, `${what}: the screen of a failure`);
}

// ---- packs ----

test("every broken pack is refused in a sentence above the plain table, or opens", () =>
  withFolder(async (folder) => {
    const { before, pack, after } = await pageInParts();
    const packs = await brokenPacks(pack);
    assert.ok(packs.length > 60);
    const file = join(folder, "page.html");
    await harness.withBrowser("chromium", async (browser) => {
      const { page, record } = await harness.newTab(browser);
      for (const { name, text, says, opens } of packs) {
        await writeFile(file, before + text + after);
        await page.goto(pathToFileURL(file).href);
        if (opens) {
          await harness.mounted(page);
          assert.notEqual(await page.title(), "stolen", name);
        } else {
          const notice = await page.waitForSelector("#app > .shell-notice[role=alert]", { timeout: harness.PATIENCE_MS })
            .catch(() => assert.fail(`${name}: nothing is said`));
          const said = await notice.evaluate((element) => element.innerText);
          assert.match(said, says ? new RegExp(says) : /cannot be read\. Open a fresh copy/, name);
          assert.ok(await page.$("#app > .static tbody tr"), `${name}: the plain table stands below`);
        }
        await assertSound(page, name);
        assert.deepEqual(record.complaints, [], name);
        if (name === "a newer version") await harness.screenshot(page, "hostile-newer-pack");
      }
    });
  }));

// ---- the program's own door, off the screen and on it ----

test("damaged folders and packs are answered by the program in the browser, in bounded memory", () =>
  harness.withBrowser("chromium", async (browser) => {
    const tab = await open(browser);
    const { page } = tab;
    const files = { "network.json": await readFile(join(DEMO, "network.json"), "utf8") };
    for (const table of TABLES) files[`${table}.csv`] = await readFile(join(DEMO, `${table}.csv`), "utf8");
    const random = chance(20260101);
    const names = Object.keys(files);
    const work = (changed) => JSON.stringify({ office: "read", files: changed, answers: {}, fitted: null, rules: {}, last: null });
    const requests = Array.from({ length: 120 }, () => {
      const name = names[Math.floor(random() * names.length)];
      return work({ ...files, [name]: damaged(files[name], random) });
    });
    const { pack } = await pageInParts();
    for (let k = 0; k < 40; k += 1) requests.push(damaged(`{"job":"track-record","pack":${pack.slice(0, 4000)}`, random));
    requests.push(work({ ...files, "network.json": "[".repeat(200000) }), work({ "network.json": "{}" }), work({}));
    let faults = 0;
    for (const request of requests) {
      const answer = await page.evaluate((text) => {
        try {
          return wasm_bindgen.leanyear_job(text);
        } catch (error) {
          return `thrown: ${error}`;
        }
      }, request);
      assert.doesNotMatch(answer, /^thrown/, request.slice(0, 200));
      const said = JSON.parse(answer);
      if (said.error || said.errors?.length) faults += 1;
    }
    assert.ok(faults > 60, `${faults} of ${requests.length} were found faulty`);
    const mib = await page.evaluate(() => wasm_bindgen.initSync().memory.buffer.byteLength / 1048576);
    console.log(`${requests.length} jobs, ${faults} faulty, ${mib.toFixed(0)} MiB held`);
    assert.ok(mib < MOST_MIB, `${mib} MiB`);
    await assertClean(tab);
  }));

test("small folders at the edge of what is let through are fitted in the browser, or say why not", () =>
  harness.withBrowser("chromium", async (browser) => {
    const tab = await open(browser);
    const { page } = tab;
    const edges = {
      plain: {}, "reps of a billion": { reps: "1e9" }, "reps of a trillion, an LSD": { reps: "1e12", ms: "", lsd: "0.4,0.05" },
      "one replicate and a hair": { reps: "1.0000000001", ms: "", lsd: "0.4,1e-300" }, "an error of almost nothing": { ms: "1e-9" },
      "an error of everything": { ms: "1e12" }, "yields of nothing": { yield: () => "0" },
      "one yield of a galaxy": { yield: (j, v) => (j + v === 0 ? "100000" : undefined) },
      "yields that hardly differ": { yield: (j, v) => `3.000000${(j * 3 + v * 7) % 10}1` }, "water of an ocean": { water: (j) => (j % 2 ? "100000" : "1e-300") },
    };
    for (const [name, edge] of Object.entries(edges)) {
      const trials = ["trial,site,season,water,reps,error_ms,lsd,lsd_level"];
      const means = ["trial,variety,yield"];
      for (let j = 0; j < 12; j += 1) {
        trials.push(`T${j},S${j % 3},${2018 + Math.floor(j / 3)},${edge.water?.(j) ?? 200 + (j * 37) % 150},${edge.reps ?? 3},${edge.ms ?? "0.16"},${edge.lsd ?? ","}`);
        for (let v = 0; v < 5; v += 1) means.push(`T${j},V${v},${edge.yield?.(j, v) ?? (2 + ((j * 31 + v * 17) % 97) / 50).toFixed(2)}`);
      }
      const files = {
        "network.json": '{"name":"edge","yield_unit":"t/ha"}', "trials.csv": `${trials.join("\n")}\n`, "means.csv": `${means.join("\n")}\n`,
      };
      const request = { office: "fit", files, answers: {}, fitted: null, rules: {}, last: null };
      const fit = JSON.parse(await page.evaluate((text) => leanyear.job(text), JSON.stringify(request)));
      if (fit.error) {
        assert.ok(fit.error.split(" ").length > 4, `${name}: ${fit.error}`);
        continue;
      }
      const content = JSON.parse(await page.evaluate((text) => leanyear.job(text), JSON.stringify({ ...request, office: "page", fitted: fit.fitted })));
      assert.ok(content.pack_json, `${name}: ${content.error}`);
      assert.doesNotMatch(content.static_table, /NaN|inf/, name);
    }
    await assertClean(tab);
  }));

// ---- links ----

for (const name of harness.BROWSERS) {
  test(`${name}: no link breaks the page, and what a link holds wrongly is said`, () =>
    harness.withBrowser(name, async (browser) => {
      const tab = await open(browser);
      const { page } = tab;
      for (const link of BROKEN_LINKS) {
        await page.evaluate((hash) => { location.hash = hash; }, link);
        await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
        await assertSound(page, link);
        assert.ok(await page.$("#app > *:not(.static)"), `${link}: the page stands`);
      }
      await assertClean(tab);
      for (const [link, says] of [
        ["v=1&mine=V99", /V99/], ["v=2&water=dry", /another version|newer|version/i], ["v=1&usual=1e999", /usual.*no number/],
        [`v=1&mine=${"V".repeat(6000)}`, /./],
      ]) {
        const fresh = await open(browser, `${harness.PAGE_ADDRESS}#${link}`);
        assert.match(await fresh.page.$eval(".notices", (notices) => notices.innerText), says, link.slice(0, 60));
        await assertClean(fresh);
        await fresh.page.close();
      }
    }));
}

// ---- a browser that keeps nothing, or rubbish ----

const REFUSALS = {
  blocked: () => {
    const refuse = () => { throw new DOMException("denied", "SecurityError"); };
    for (const name of ["localStorage", "sessionStorage", "indexedDB"]) {
      Object.defineProperty(window, name, { get: refuse, configurable: true });
    }
  },
  full: () => {
    Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); };
    IDBObjectStore.prototype.put = () => { throw new DOMException("full", "QuotaExceededError"); };
  },
  absent: () => {
    for (const name of ["localStorage", "sessionStorage", "indexedDB"]) {
      Object.defineProperty(window, name, { value: null, configurable: true });
    }
  },
};

for (const name of harness.BROWSERS) {
  for (const [how, refuse] of Object.entries(REFUSALS)) {
    test(`${name}: the page goes on where storage is ${how}, and the office says that it keeps nothing`, () =>
      harness.withBrowser(name, async (browser) => {
        const tab = { ...(await harness.newTab(browser)), address: harness.PAGE_ADDRESS };
        const { page } = tab;
        await page.evaluateOnNewDocument(refuse);
        await page.goto(harness.PAGE_ADDRESS);
        await harness.mounted(page);
        await openSheet(page, "as it may");
        await press(page, "dry: the driest third");
        await noSheet(page);
        await press(page, "night");
        await addressHolds(page, "water=dry");
        assert.match(await visibleText(page), /20 dry years/);
        await page.evaluate(() => { location.hash = "#v=1&view=prepare"; });
        await shows(page, /choose files/);
        await press(page, "start from the network in this page");
        await shows(page, /Nothing to put right\./);
        await shows(page, /Not saved on this device/);
        await assertSound(page, how);
        await assertClean(tab);
      }));
  }
}

test("rubbish that this device kept is passed over, in words where it was a link", () =>
  harness.withBrowser("chromium", async (browser) => {
    const first = await open(browser);
    await press(first.page, "night");
    await openSheet(first.page, "as it may");
    await press(first.page, "dry: the driest third");
    await addressHolds(first.page, "water=dry");
    const key = await first.page.evaluate(() => Object.keys(localStorage).find((name) => /^leanyear:[0-9a-f]{8}$/.test(name)));
    assert.ok(key, "the settings are kept under the data's mark");
    const rubbish = ["\u0000\u0001", "v=9", "<script>", "%", "v=1&usual=NaN&water=soggy", "{}", "x".repeat(2_000_000)];
    for (const text of rubbish) {
      await first.page.evaluate((name, value) => {
        localStorage.setItem(name, value);
        localStorage.setItem("leanyear:water-unit", value.slice(0, 50));
        localStorage.setItem("leanyear:night", value.slice(0, 50));
      }, key, text);
      const tab = await open(browser);
      await assertSound(tab.page, text.slice(0, 40));
      // There was no link, and nobody is told of one.
      const told = await tab.page.evaluate(() => document.body.innerText);
      assert.match(told, /What this page had kept of your settings could not be read in full/, text.slice(0, 40));
      assert.doesNotMatch(told, /In the link|newer page/, text.slice(0, 40));
      await assertClean(tab);
      await tab.page.close();
    }
  }));

test("a draft that is none, and a store that is somebody else's, leave the office empty and working", () =>
  harness.withBrowser("chromium", async (browser) => {
    const office = `${harness.PAGE_ADDRESS}#v=1&view=prepare`;
    const make = (page, values) => page.evaluate((drafts) => new Promise((done, failed) => {
      indexedDB.deleteDatabase("leanyear").onsuccess = () => {
        const opening = indexedDB.open("leanyear", 1);
        opening.onupgradeneeded = () => { if (drafts) opening.result.createObjectStore("drafts"); };
        opening.onerror = failed;
        opening.onsuccess = () => {
          const database = opening.result;
          const end = () => { database.close(); done(); };
          if (!drafts) return end();
          const transaction = database.transaction("drafts", "readwrite");
          for (const [name, value] of drafts) transaction.objectStore("drafts").put(value, name);
          transaction.oncomplete = end;
        };
      };
    }), values);
    const first = await open(browser, office);
    await press(first.page, "start from the network in this page");
    await shows(first.page, /Kept on this device/);
    const names = await first.page.evaluate(() => new Promise((done) => {
      indexedDB.open("leanyear", 1).onsuccess = (event) => {
        const database = event.target.result;
        database.transaction("drafts").objectStore("drafts").getAllKeys().onsuccess = (keys) => { database.close(); done(keys.target.result); };
      };
    }));
    assert.equal(names.length, 1);
    const [name] = names;
    const drafts = [
      "", "{", "null", "[]", '{"files":{"means.csv":"\\u0000"}}', '{"files":{"../../x":"y","network.json":"[[[["},"answers":{},"rules":{},"last":{"name":"x","json":"{}"}}', 17, { a: 1 },
    ];
    for (const draft of [...drafts.map((value) => [[name, value]]), null]) {
      await first.page.goto("about:blank");
      await first.page.goto(harness.PAGE_ADDRESS);
      await make(first.page, draft);
      const tab = await open(browser, office);
      await shows(tab.page, /choose files/);
      await assertSound(tab.page, JSON.stringify(draft));
      await assertClean({ ...tab, address: office });
      if (draft === null) {
        await press(tab.page, "start from the network in this page");
        await shows(tab.page, /Not saved on this device/);
      }
      await tab.page.close();
    }
  }));

// ---- a clock that is wrong ----

const CLOCKS = { "in 1969": -5e10, "at nought": 0, "in the year 275760": 8.64e15, "not a number": NaN };

for (const [when, time] of Object.entries(CLOCKS)) {
  test(`with a clock ${when} the page answers, the office opens, and failures are counted`, () =>
    harness.withBrowser("chromium", async (browser) => {
      const { page } = await harness.newTab(browser);
      await page.evaluateOnNewDocument((now) => {
        const Real = Date;
        globalThis.Date = class extends Real {
          constructor(...given) { if (given.length) super(...given); else super(now); }
          static now() { return now; }
        };
      }, time);
      await page.goto(harness.PAGE_ADDRESS);
      await harness.mounted(page);
      await openSheet(page, "as it may");
      await press(page, "wet: the wettest third");
      await addressHolds(page, "water=wet");
      await page.evaluate(() => { location.hash = "#v=1&view=prepare"; });
      await shows(page, /choose files/);
      await assertSound(page, when);
      const breakDown = () => page.evaluate(() => { setTimeout(() => wasm_bindgen.initSync().leanyear_job(0x7fffffff, 8), 0); });
      await breakDown();
      await page.waitForSelector("#app > .shell-notice button", { timeout: harness.PATIENCE_MS });
      // Not by a locator: it tells its own patience by the page's clock.
      await Promise.all([page.waitForNavigation(), page.click(".shell-notice button:nth-of-type(2)")]);
      await harness.mounted(page);
      await breakDown();
      await page.waitForSelector("#app > .shell-notice", { timeout: harness.PATIENCE_MS });
      const again = await page.$(".shell-notice button");
      // No clock at all tells no two failures apart; every other one does.
      if (Number.isNaN(time)) assert.ok(again); else assert.equal(again, null, "a second failure at once");
    }));
}

test("where nothing can be remembered a page that fails right after it was opened again shows the table alone", () =>
  harness.withBrowser("chromium", async (browser) => {
    const { page } = await harness.newTab(browser);
    await page.evaluateOnNewDocument(REFUSALS.blocked);
    await page.goto(harness.PAGE_ADDRESS);
    await harness.mounted(page);
    const breakDown = () => page.evaluate(() => { setTimeout(() => wasm_bindgen.initSync().leanyear_job(0x7fffffff, 8), 0); });
    await breakDown();
    await page.waitForSelector("#app > .shell-notice button", { timeout: harness.PATIENCE_MS });
    await Promise.all([page.waitForNavigation(), page.click(".shell-notice button")]);
    await harness.mounted(page);
    await breakDown();
    await page.waitForSelector("#app > .shell-notice", { timeout: harness.PATIENCE_MS });
    assert.equal(await page.$(".shell-notice button"), null);
    assert.ok(await page.$("#app > .static tbody tr"));
  }));

// ---- two tabs, the way back and forward, a phone that is turned ----

for (const name of harness.BROWSERS) {
  test(`${name}: two tabs keep to their own settings, and a third finds those chosen last`, () =>
    harness.withBrowser(name, async (browser) => {
      const [one, two] = [await open(browser), await open(browser)];
      const choose = async (page, year, holds) => {
        await page.bringToFront();
        await openSheet(page, "as it may");
        await press(page, year);
        await noSheet(page);
        await addressHolds(page, holds);
      };
      await choose(one.page, "dry: the driest third", "water=dry");
      await choose(two.page, "wet: the wettest third", "water=wet");
      await one.page.bringToFront();
      assert.match(await visibleText(one.page), /20 dry years/);
      await one.page.reload();
      await harness.mounted(one.page);
      assert.match(await visibleText(one.page), /20 dry years/, "its own address wins over what the other tab left");
      await press(one.page, "night");
      await two.page.bringToFront();
      await press(two.page, "find a variety");
      const third = await open(browser);
      assert.match(await visibleText(third.page), /20 (wet|dry) years/);
      for (const tab of [one, two, third]) {
        await assertSound(tab.page, "two tabs");
        await assertClean(tab);
      }
    }));

  test(`${name}: two steps back from a variety lead to the list and out of the page`, () =>
    harness.withBrowser(name, async (browser) => {
      const tab = await harness.newTab(browser);
      const { page } = tab;
      const before = new URL("../../LICENSE-MIT", import.meta.url).href;
      await page.goto(before);
      await page.goto(`${harness.PAGE_ADDRESS}#v=1`);
      await harness.mounted(page);
      await page.evaluate(() => document.querySelector("li.row .name button").click());
      await addressHolds(page, "view=variety");
      await page.evaluate(() => history.back());
      await shows(page, /find a variety/);
      // Whatever is written late has been written.
      await page.evaluate(() => new Promise((rest) => setTimeout(rest, 1200)));
      await page.evaluate(() => { setTimeout(() => history.back(), 0); });
      // Firefox's driver does not tell of a page that comes out of the browser's memory: the document is asked.
      for (let tries = 0, at = null; at !== before; tries += 1) {
        assert.ok(tries < 100, at);
        await new Promise((rest) => setTimeout(rest, 100));
        at = await page.evaluate(() => location.href).catch(() => null);
      }
    }));

  test(`${name}: back and forward, however fast, end where the address says`, () =>
    harness.withBrowser(name, async (browser) => {
      const tab = await open(browser);
      const { page } = tab;
      const steps = ["view=compare&with=V04,V18", "view=acres&acres=V18:60", "view=share", "view=handout", "view=variety&variety=V18", "water=dry"];
      for (const step of steps) {
        await page.evaluate((hash) => { location.hash = hash; }, `v=1&${step}`);
        await page.evaluate(() => new Promise((drawn) => setTimeout(drawn, 60)));
      }
      const random = chance(7);
      // One step more than the way back to the first address would leave the page.
      let place = steps.length;
      for (let k = 0; k < 40; k += 1) {
        const forward = place === 0 || (place < steps.length && random() < 0.45);
        place += forward ? 1 : -1;
        await page.evaluate((on) => { if (on) history.forward(); else history.back(); }, forward);
        if (random() < 0.5) await page.evaluate(() => new Promise((drawn) => setTimeout(drawn, 30)));
      }
      await page.evaluate(() => new Promise((rest) => setTimeout(rest, 1800)));
      await assertSound(page, "back and forward");
      const [address, text] = [await page.evaluate(() => location.hash), await visibleText(page)];
      const views = { compare: /[Ss]ide by side/, acres: /acres|ha\b/, share: /Send this/, handout: /One page to print/, variety: /Back to all varieties/ };
      const view = /view=([a-z-]+)/.exec(address)?.[1];
      assert.match(text, views[view] ?? /find a variety/, address);
      await assertClean(tab);
    }));
}

test("a year whose water is not on record is taken as it comes, by link and by tap, and it says so", () =>
  harness.withBrowser("chromium", async (browser) => {
    const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1&water=like-1850`);
    const { page } = tab;
    assert.match(await shows(page, /No water of 1850 is on record/), /20 years as they come/);
    await page.evaluate(() => { location.hash = "#v=1&water=like-1985"; });
    await shows(page, /20 years with the water of 1985/);
    await openSheet(page, "dryland");
    await press(page, "full irrigation");
    await noSheet(page);
    assert.match(await shows(page, /No water of 1985 is on record/), /20 years as they come/);
    await page.waitForFunction(() => !location.hash.includes("like"), { timeout: harness.PATIENCE_MS });
    await assertClean(tab);
  }));

test("a phone that is turned keeps what is open, what is typed and where the focus is", () =>
  harness.withBrowser("chromium", async (browser) => {
    const upright = { width: 390, height: 844, deviceScaleFactor: 2 };
    const turned = { width: 844, height: 390, deviceScaleFactor: 2 };
    const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1&water=dry`, { viewport: upright });
    const { page } = tab;
    await openSheet(page, "about ");
    const field = () => page.$eval("dialog[open] input", (input) => ({ value: input.value, focused: input === document.activeElement }));
    await page.locator("dialog[open] input").fill("41.7");
    const before = await field();
    for (const viewport of [turned, harness.LAPTOP, upright]) {
      await page.setViewport(viewport);
      await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
      assert.deepEqual(await field(), before, JSON.stringify(viewport));
      const [content, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
      assert.ok(content <= screen, `${content} px wide on a screen of ${screen}`);
    }
    await press(page, "Done");
    await noSheet(page);
    assert.match(await visibleText(page), /41\.7/);
    assert.match(await visibleText(page), /20 dry years/);
    await assertClean(tab);
  }));
