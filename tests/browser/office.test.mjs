// The office in July: an agronomist's files as a spreadsheet writes them become her page, without anything
// installed; what is hostile is refused in words; what she typed is there after a reload.

import assert from "node:assert/strict";
import { cp, mkdir, mkdtemp, readFile, readdir, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import * as harness from "./harness.mjs";
import { assertClean, downloaded, open, press, shows } from "./harness.mjs";
import { leanyear } from "./networks.mjs";

const ROOT = fileURLToPath(new URL("../../", import.meta.url));
const DEMO = join(ROOT, "data", "demo");
const OFFICE = `${harness.PAGE_ADDRESS}#v=1&view=prepare`;
const FIT_MS = 120000;

/** Runs `work` with a folder that goes afterwards. */
async function withFolder(work) {
  const folder = await mkdtemp(join(tmpdir(), "leanyear-office-"));
  try {
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** The office in a fresh profile whose downloads go to `folder`. */
function withOffice(folder, work, { address = OFFICE, viewport = harness.LAPTOP } = {}) {
  return harness.withBrowser("chromium", async (browser) => {
    await harness.keepDownloads(browser, folder);
    const tab = await open(browser, address, { viewport });
    return work(tab, browser);
  });
}

async function drop(page, paths) {
  const input = await page.waitForSelector("input[type=file]");
  await input.uploadFile(...paths);
}

/** The files of a stored zip by name, read by the layout of the format and not by our own code. */
function unzipped(bytes) {
  const files = new Map();
  for (let at = 0; bytes.readUInt32LE(at) === 0x04034b50;) {
    const [size, name, extra] = [bytes.readUInt32LE(at + 18), bytes.readUInt16LE(at + 26), bytes.readUInt16LE(at + 28)];
    const start = at + 30 + name + extra;
    files.set(bytes.toString("utf8", at + 30, at + 30 + name), bytes.subarray(start, start + size));
    at = start + size;
  }
  return files;
}

/** The demo's files as a spreadsheet of another country writes them, with one cell that is no number. */
async function spreadsheetFiles(folder) {
  const paths = [];
  for (const name of await readdir(DEMO)) {
    let text = await readFile(join(DEMO, name), "utf8");
    if (name === "means.csv") {
      text = text.replaceAll(",", ";").replaceAll(".", ",").replaceAll("\n", "\r\n");
      text = `\ufeff${text.replace(/^(S01-2017-dry;V01;)[\d,]+/m, "$1about 25")};;;\r\n\r\n`;
    }
    const path = join(folder, name === "means.csv" ? "July means.csv" : name);
    await writeFile(path, text);
    paths.push(path);
  }
  return paths;
}

async function fit(page) {
  await press(page, "fit");
  await shows(page, /Fitted: \d+ varieties in \d+ trials, \d+ means\./, FIT_MS);
}

test("spreadsheets become a page that is the command line's to the byte, opens from disk and saves again", () =>
  withFolder(async (folder) => {
    const downloads = join(folder, "downloads");
    await mkdir(downloads);
    let saved;
    await withOffice(downloads, async (tab) => {
      const { page } = tab;
      await drop(page, await spreadsheetFiles(folder));
      const listed = await shows(page, /One thing to put right before anything can be fitted\./);
      assert.match(listed, /July means\.csv is taken as means\.csv, by its columns\./);
      assert.match(listed, /means\.csv: semicolons between cells, decimal commas, 2 rows without a value/);
      assert.match(listed, /row 2, yield: “about 25” is not a number\./);
      await press(page, "put it right");
      await page.waitForSelector(".fix .meant input");
      await page.locator(".fix .meant input").fill("25,4");
      await press(page, "put it back");
      await shows(page, /Nothing to put right\./);
      const reason = 'select[aria-label^="S02-2019-dry"]';
      const before = await page.$eval(reason, (select) => {
        select.scrollIntoView({ block: "center" });
        select.focus();
        return select.getBoundingClientRect().top;
      });
      await page.select(reason, "hail");
      await page.waitForFunction(() => [...document.querySelectorAll("tr.left-out th")].some((cell) => cell.textContent.includes("S02-2019-dry")),
        { timeout: harness.PATIENCE_MS });
      await shows(page, /Fit once, and what a trial moves is told here at once\./);
      const after = await page.$eval(reason, (select) => [select === document.activeElement, select.getBoundingClientRect().top]);
      assert.ok(after[0] && Math.abs(after[1] - before) < 2, `the table jumped under her hand: ${before}, ${after}`);
      await fit(page);
      await shows(page, /hang most on trial/, FIT_MS);
      await harness.screenshot(page, "office-fitted");

      await press(page, "put the report together");
      const report = await shows(page, /LSD \(5 %\).*Adjusted means are best linear unbiased predictions/, FIT_MS);
      assert.match(report, /Trials left out/);
      assert.match(report, /2019 \(hail\)/);
      assert.match(await harness.visibleText(page), /test weight: 63 best, 56 worst \(lb\/bu\)/);
      // The width of A4 on its side within its margins of 12 mm, in CSS pixels.
      const paper = Math.floor(((297 - 24) / 25.4) * 96);
      await page.emulateMediaType("print");
      await page.setViewport({ ...harness.LAPTOP, width: paper });
      const widest = await page.$$eval(".report-table", (tables) => Math.max(...tables.map((table) => table.getBoundingClientRect().right)));
      assert.ok(widest > 0 && widest <= paper, `the report's table ends at ${widest} of ${paper} pixels`);
      await page.emulateMediaType("screen");
      await page.setViewport(harness.LAPTOP);

      await press(page, "save the page");
      await shows(page, /leanyear\.html was handed to the browser/, FIT_MS);
      saved = await downloaded(downloads, "leanyear.html");
      await press(page, "save the files as they are now");
      await shows(page, /network\.zip was handed to the browser/, FIT_MS);
      await press(page, "save site.zip");
      await shows(page, /site\.zip was handed to the browser/, FIT_MS);
      await assertClean(tab);
    });
    const network = join(folder, "network");
    await mkdir(network);
    for (const [name, bytes] of unzipped(await downloaded(downloads, "network.zip"))) await writeFile(join(network, name), bytes);
    const site = unzipped(await downloaded(downloads, "site.zip"));
    assert.ok(site.get("index.html").equals(saved), "the hosted page is the saved page");
    assert.deepEqual([...site.keys()].filter((name) => !name.startsWith("icons/")).sort(),
      ["READ-ME.txt", "index.html", "manifest.webmanifest", "sw.js"]);

    const made = join(folder, "made.html");
    await leanyear("page", network, "--out", made, "--template", harness.PAGE_FILE);
    assert.ok((await readFile(made)).equals(saved), "the command line writes the same bytes");

    const opened = join(folder, "opened.html");
    await writeFile(opened, saved);
    await rm(join(downloads, "leanyear.html"));
    const address = pathToFileURL(opened).href;
    await withOffice(downloads, async (tab) => {
      const { page } = tab;
      await shows(page, /Too close to call/);
      await press(page, "For agronomists");
      await press(page, "start from the network in this page");
      await shows(page, /Nothing to put right\./);
      await fit(page);
      await press(page, "save the page");
      await shows(page, /leanyear\.html was handed to the browser/, FIT_MS);
      const second = await downloaded(downloads, "leanyear.html");
      assert.ok(second.equals(saved), "a page saved from a saved page is the same page");
      await assertClean({ ...tab, address });
    }, { address });
  }));

/** Last year's pack: the demo without its last season, as an older model would have fitted it. */
async function lastYear(folder, { older }) {
  const data = join(folder, "last");
  await cp(DEMO, data, { recursive: true });
  const trials = (await readFile(join(data, "trials.csv"), "utf8")).trimEnd().split("\n");
  const gone = trials.filter((line) => line.split(",")[2] === "2025").map((line) => line.split(",")[0]);
  for (const name of ["trials.csv", "means.csv", "pressure.csv"]) {
    const lines = (await readFile(join(data, name), "utf8")).trimEnd().split("\n");
    await writeFile(join(data, name), [...lines.filter((line) => !gone.includes(line.split(",")[0])), ""].join("\n"));
  }
  const made = join(folder, "last.html");
  await leanyear("page", data, "--out", made, "--template", harness.PAGE_FILE);
  const [, text] = (await readFile(made, "utf8")).match(/id="pack"[^>]*>([^<]*)</);
  const pack = JSON.parse(text);
  if (older) pack.fitted.variances.season *= 40;
  const path = join(folder, "last-year.json");
  await writeFile(path, JSON.stringify(pack));
  return path;
}

for (const older of [true, false]) {
  test(`last year's pack, ${older ? "made by an older model" : "made by this model"}: what changed, and what of it is the model's doing`, () =>
    withFolder(async (folder) => {
      const path = await lastYear(folder, { older });
      await withOffice(folder, async (tab) => {
        const { page } = tab;
        await press(page, "start from the network in this page");
        await shows(page, /Nothing to put right\./);
        await drop(page, [path]);
        await fit(page);
        await shows(page, /Last year’s network: last-year\.json\..*: (rose|fell|still).*5 new trials, 5 of them dry/, FIT_MS);
        const [, since] = (await harness.visibleText(page)).replace(/\s+/g, " ").match(/Since last year(.*?)Printed report/);
        assert.match(since, /Wandrimer: new in the list, 4 trials; 10th of all\./);
        assert.match(since, /now loses money in \d+ of 20 years, before in \d+ of 20 years/);
        assert.equal(/the newer model/.test(since), older, since);
        await assertClean(tab);
      });
    }));
}

test("what is hostile or no table is refused in words, and a number with two readings is asked about", () =>
  withFolder(async (folder) => {
    const file = async (name, content) => {
      const path = join(folder, name);
      await writeFile(path, content);
      return path;
    };
    const noise = Buffer.from(Array.from({ length: 4000 }, (_, place) => (place * 7919) % 256));
    await withOffice(folder, async (tab) => {
      const { page } = tab;
      await drop(page, [
        await file("means.csv", Buffer.concat([Buffer.from("PK\u0003\u0004"), noise])),
        await file("noise.csv", noise),
        await file("pack.json", '{"version": 99}'),
        await file("notes.csv", "who,what\nme,nothing\n"),
      ]);
      const said = await shows(page, /notes\.csv: its columns are those of no file/);
      assert.match(said, /means\.csv is not used: This is a zip archive or a spreadsheet’s own file/);
      assert.match(said, /noise\.csv is not used: This is not text/);
      assert.match(said, /pack\.json is not used: it was made by a newer page \(version 99\)/);

      await drop(page, [
        await file("trials.csv", `trial,site,season\n${Array.from({ length: 6 }, (_, k) => `T${k},S,${2015 + k}`).join("\n")}\n`),
        await file("yields.csv", `trial;variety;yield\n${Array.from({ length: 6 }, (_, k) => `T${k};A;1,23${k}\nT${k};=B;2,34${k}`).join("\n")}\n`),
        await file("ratings.csv", `${Array.from({ length: 501 }, (_, k) => `c${k}`).join(",")}\n`),
        await file("sites.csv", `site,name\nS,"${"x".repeat(70000)}"\n`),
      ]);
      const listed = await shows(page, /yields\.csv is taken as means\.csv.*in 12 cells a number can be read in two ways/);
      assert.match(listed, /more than 500 columns/);
      assert.match(listed, /longer than 64 kB/);
      const pressed = () => page.$eval('.question button[aria-pressed="true"]', (button) => button.textContent);
      assert.match(await pressed(), /1,230 in row 2 is 1\.23, a decimal fraction/);
      await press(page, "1,230 in row 2 is 1230");
      await page.waitForFunction(() => /is 1230/.test(document.querySelector('.question button[aria-pressed="true"]')?.textContent),
        { timeout: harness.PATIENCE_MS });
      await assertClean(tab);
    }, { viewport: harness.PHONE });
  }));

/** Waits until the device keeps a network with these words: a browser writes a moment after the page asks it to. */
const stored = ({ page }, words) => page.waitForFunction((wanted) => new Promise((done) => {
  indexedDB.open("leanyear").onsuccess = ({ target: { result: database } }) => {
    const kept = database.transaction("drafts").objectStore("drafts").get("network");
    kept.onsuccess = () => { database.close(); done(String(kept.result).includes(wanted)); };
  };
}), { timeout: harness.PATIENCE_MS, polling: 100 }, words);

test("what was typed is there after a reload, and goes when it is put away", () =>
  withFolder((folder) => withOffice(folder, async (tab) => {
    const { page } = tab;
    await press(page, "start from the network in this page");
    await shows(page, /Nothing to put right\./);
    await page.locator("#key-contact").fill("the desk by the window");
    await page.keyboard.press("Tab");
    await shows(page, /Kept on this device until you put it away/);
    await stored(tab, "the desk by the window");
    await page.reload();
    await shows(page, /Nothing to put right\./);
    assert.equal(await page.$eval("#key-contact", (input) => input.value), "the desk by the window");
    await press(page, "put all of this away");
    await page.waitForFunction(() => !document.querySelector("#key-contact"));
    await page.reload();
    await harness.mounted(page);
    await shows(page, /choose files/);
    assert.equal(await page.$("#key-contact"), null);
    await assertClean(tab);
  })));

test("two tabs do not write over each other's network unseen", () =>
  withFolder((folder) => withOffice(folder, async (tab, browser) => {
    const type = async ({ page }, words) => {
      await page.bringToFront();
      await page.click("#key-contact", { count: 3 });
      await page.keyboard.type(words);
      await page.keyboard.press("Tab");
    };
    await press(tab.page, "start from the network in this page");
    await shows(tab.page, /Nothing to put right\..*Kept on this device|Kept on this device.*Nothing to put right\./);
    const other = await open(browser, OFFICE, { viewport: harness.LAPTOP });
    await shows(other.page, /Nothing to put right\./);
    // That it is open there takes nothing away from here.
    await type(tab, "this desk first");
    await stored(tab, "this desk first");
    await other.page.bringToFront();
    await other.page.reload();
    await shows(other.page, /Nothing to put right\./);
    await type(other, "the other desk");
    await stored(other, "the other desk");
    await type(tab, "this desk");
    await shows(tab.page, /another tab has kept its own network since/);
    await tab.page.reload();
    await shows(tab.page, /Nothing to put right\./);
    assert.equal(await tab.page.$eval("#key-contact", (input) => input.value), "the other desk");
    await assertClean(tab);
    await assertClean(other);
  })));

test("a file a season is joined, a later one waits for a word, and a press is not lost to a field still open", () =>
  withFolder(async (folder) => {
    const downloads = join(folder, "downloads");
    await mkdir(downloads);
    const [header, ...rows] = (await readFile(join(DEMO, "means.csv"), "utf8")).trimEnd().split("\n");
    const season = (row) => /-(\d{4})-/.exec(row)[1];
    const seasons = [...new Set(rows.map(season))];
    const others = (await readdir(DEMO)).filter((name) => name !== "means.csv").map((name) => join(DEMO, name));
    const byYear = new Map();
    for (const year of seasons) {
      byYear.set(year, join(folder, `means ${year}.csv`));
      await writeFile(byYear.get(year), [header, ...rows.filter((row) => season(row) === year), ""].join("\n"));
    }
    const last = seasons.at(-1);
    await withOffice(downloads, async (tab) => {
      const { page } = tab;
      await drop(page, [...others, ...seasons.slice(0, -1).map((year) => byYear.get(year))]);
      const joined = await shows(page, new RegExp(`means ${seasons[1]}\\.csv: its \\d+ rows stand in means\\.csv behind`));
      assert.match(joined, new RegExp(`means ${seasons[0]}\\.csv is taken as means\\.csv, by its columns`));
      await drop(page, [byYear.get(last)]);
      await shows(page, /would be means\.csv, which is there already\. It is not used yet; say how:/);
      await harness.screenshot(page, "office-joining");
      await press(page, "put its rows behind those that are there");
      await shows(page, new RegExp(`means\\.csv[^]*?${rows.length} rows, from means ${seasons[0]}`));
      await fit(page);
      await page.click("#key-name", { count: 3 });
      await page.keyboard.type("Typed and not left");
      await press(page, "save the pack for next year");
      const pack = JSON.parse(await downloaded(downloads, "network.pack.json"));
      assert.equal(pack.network.info.name, "Typed and not left");
      assert.equal(pack.network.means.length, rows.length);
      await assertClean(tab);
    });
  }));

test("a fit is stopped at once while the page goes on, and a hundred thousand rows are read", () =>
  withFolder((folder) => withOffice(folder, async (tab) => {
    const { page } = tab;
    const trials = Array.from({ length: 1500 }, (_, t) => `T${t},S${t % 40},${1990 + Math.floor(t / 50)},${100 + (t * 7) % 300},4,0.16`);
    const means = trials.flatMap((_, t) => Array.from({ length: 67 }, (_, v) => `T${t},V${(t + v * 7) % 500},${1 + (v % 5)}.${(11 + (t * 13) % 80)},4`));
    const write = async (name, text) => {
      await writeFile(join(folder, name), text);
      return join(folder, name);
    };
    const paths = [
      await write("network.json", JSON.stringify({ name: "Invented", invented: true, yield_unit: "t/ha" })),
      await write("trials.csv", ["trial,site,season,water,reps,error_ms", ...trials, ""].join("\n")),
      await write("means.csv", ["trial,variety,yield,plots", ...means, ""].join("\n")),
    ];
    const begun = performance.now();
    await drop(page, paths);
    await shows(page, /100500 rows.*Nothing to put right\./, FIT_MS);
    const seconds = (performance.now() - begun) / 1000;
    console.log(`100,500 rows read and looked at in ${seconds.toFixed(1)} s`);
    assert.ok(seconds < 8, `${seconds} s`);
    await press(page, "fit");
    await page.waitForSelector("progress");
    await press(page, "stop");
    await shows(page, /Stopped\. Nothing was changed\./);
    await press(page, "put all of this away");
    await shows(page, /choose files/);
    await assertClean(tab);
  })));
