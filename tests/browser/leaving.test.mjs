// What leaves the page: codes that an independent reader decodes, files that are kept, one printed page; and
// what is asked of a variety, by tap and by keyboard.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { promisify } from "node:util";
import jsQR from "jsqr";
import * as harness from "./harness.mjs";
import { addressHolds, assertClean, noSheet, open, openSheet, press, rows, shows, visibleText } from "./harness.mjs";

const run = promisify(execFile);

/** What a camera would read off the code of this number on the page, as the screen shows it. */
async function readCode(page, number) {
  const code = (await page.$$("svg.code"))[number];
  const shown = await code.screenshot({ encoding: "base64" });
  const picture = await page.evaluate(async (element, png) => {
    const { width, height } = element.getBoundingClientRect();
    const image = new Image();
    image.src = `data:image/png;base64,${png}`;
    await image.decode();
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [image.width, image.height];
    const context = canvas.getContext("2d");
    context.drawImage(image, 0, 0);
    const { data } = context.getImageData(0, 0, image.width, image.height);
    return { width, height, seen: [image.width, image.height], pixels: [...data], modules: element.viewBox.baseVal.width };
  }, code, shown);
  const found = jsQR(new Uint8ClampedArray(picture.pixels), ...picture.seen);
  return { ...picture, pixels: null, text: found?.data ?? null, version: found?.version };
}

/** Waits until the field sentence says so, whatever white space a browser puts around its brackets. */
const says = (page, pattern) =>
  page.waitForFunction((source) => new RegExp(source).test(document.querySelector(".sentence").textContent.replace(/\s+/g, " ")),
    { timeout: harness.PATIENCE_MS }, pattern.source);

const outgoingLink = (page) => page.$eval("input.link", (input) => input.value);

for (const name of harness.BROWSERS) {
  test(`${name}: both codes are read by another reader, at night too, and the link opens what was sent`, () =>
    harness.withBrowser(name, (browser) => harness.withServer(harness.SITE_FOLDER, async (server) => {
      const tab = await open(browser, `${server.address}#v=1&mine=V04&water=dry&cost=170`);
      const { page } = tab;
      await press(page, "night");
      // The first is the one grown now, whose name stands in the sentence too.
      const [, first] = await rows(page);
      await press(page, first.name);
      await shows(page, /Back to all varieties/);
      await press(page, "send");
      await shows(page, /Or hold it up to another phone/);

      const link = await readCode(page, 0);
      assert.equal(link.text, await outgoingLink(page));
      assert.ok(link.version <= 12, `version ${link.version}`);
      assert.ok(link.width >= 4 * link.modules, `${link.width} px for ${link.modules} modules`);
      assert.doesNotMatch(link.text, /cost/, "money stays here");

      const plain = await readCode(page, 1);
      assert.equal(plain.text, await page.$eval(".code-text", (line) => line.textContent));
      assert.ok(Buffer.byteLength(plain.text) <= 250, `${Buffer.byteLength(plain.text)} bytes`);
      assert.match(plain.text, /Of 20 dry years, how many lose me money: .+ \(yours\) \d+, /);
      assert.match(plain.text, /Invented data/);

      await page.click("input[type=checkbox]");
      await page.waitForFunction(() => document.querySelector("input.link").value.includes("cost=170"));
      assert.equal((await readCode(page, 0)).text, await outgoingLink(page));

      const second = await open(browser, link.text);
      assert.match(await visibleText(second.page), new RegExp(`Back to all varieties\\s+${first.name}`));
      await assertClean({ ...tab, address: server.address });
    })));
}

test("a code with too little room says what it leaves out, and still opens", () =>
  harness.withBrowser("chromium", (browser) => harness.withServer(harness.SITE_FOLDER, async (server) => {
    const long = "&with=V01,V02,V03,V04&acres=V01:60,V02:40,V03:33.5,V04:12,V05:25.25,V06:10,V07:8&at-most=3&min-acres=40" +
      "&need=straw,baking,protein,test-weight,winter-hardiness&leaf-rust=severe&stripe-rust=light&wheat-streak=moderate" +
      "&stem-rust=none&yellow-dwarf=severe&crown-rot=light&hessian-fly=moderate&greenbug=none&sawfly=light&order=worst-fifth";
    const tab = await open(browser, `${server.address}#v=1&mine=V04&water=dry&view=share${long}`);
    await shows(tab.page, /To make room this code leaves out varieties side by side, acres.*What goes first: varieties side by side, acres, sprays/);
    const { text } = await readCode(tab.page, 0);
    assert.match(text, /^http:\/\/127\.0\.0\.1:\d+\/#v=1&.*water=dry/);
    assert.doesNotMatch(text, /acres=|with=/);
    assert.match(await outgoingLink(tab.page), /acres=V01:60/);
  })));

test("a page from a file shows no code of a link, and its path nowhere", () =>
  harness.withBrowser("chromium", async (browser) => {
    const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1&view=share`);
    const text = await shows(tab.page, /This page has no address on the web/);
    assert.equal(await tab.page.$$eval("svg.code", (codes) => codes.length), 1);
    assert.doesNotMatch((await readCode(tab.page, 0)).text + text, /file:|leanyear\.html/);
    await assertClean(tab);
  }));

/** Presses a button and gives the file that the browser keeps for it. */
async function kept(tab, folder, button, name) {
  await press(tab.page, button);
  return harness.downloaded(folder, name);
}

test("the table and the picture are kept as files, from a file on a stick too", () =>
  harness.withBrowser("chromium", async (browser) => {
    const folder = await mkdtemp(join(tmpdir(), "leanyear-kept-"));
    try {
      const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1&mine=V04&water=dry&view=share`);
      await harness.keepDownloads(browser, folder);
      const csv = String(await kept(tab, folder, "table for a spreadsheet", "leanyear.csv"));
      const lines = csv.trimEnd().split("\r\n");
      assert.match(lines[0], /^\ufeffplace,code,name,/);
      assert.equal(lines.length, 65);
      assert.match(lines[1], /^1,V\d\d,[A-Z][a-z]+,(yes|no),\d+\.\d\d,/);
      assert.ok(lines.every((line, at) => at === 0 || line.includes("Invented data")));
      assert.doesNotMatch(csv, /\$|165/);

      const svg = String(await kept(tab, folder, "picture to print", "leanyear.svg"));
      assert.match(svg, /^<svg xmlns[^>]+role="img".*<title>Twenty years of 12 varieties<\/title><desc>/);
      assert.match(svg, /Invented data/);
      const png = await kept(tab, folder, "picture for a message", "leanyear.png");
      assert.deepEqual([...png.subarray(0, 8)], [137, 80, 78, 71, 13, 10, 26, 10]);
      assert.equal(png.readUInt32BE(16), 1440, "twice as fine as the picture measures");
      if (process.env.SCREENSHOTS) await writeFile(join(process.env.SCREENSHOTS, "kept.png"), png);
      await press(tab.page, "copy the table as text");
      await shows(tab.page, /Copied\./);
      await assertClean(tab);
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  }));

test("a text that is sent says what else is counted, and which of its varieties lack a must-have", () =>
  harness.withBrowser("chromium", async (browser) => {
    const sent = async (settings) => {
      const { page } = await open(browser, `${harness.PAGE_ADDRESS}#v=1&view=share${settings}`);
      const code = await page.$eval(".code-text", (line) => line.textContent);
      const said = await visibleText(page);
      await page.close();
      return { code, said };
    };
    const plain = await sent("&mine=V04");
    assert.doesNotMatch(plain.code + plain.said, /docks|Also counted/);
    const docked = await sent("&mine=V04&dock-protein=13:2");
    assert.match(docked.code, /\(docks\), how many lose me money/);
    assert.match(docked.said, /Also counted: docks\./);
    assert.notEqual(docked.code.match(/Hollambry \(off[^,]*/)[0], plain.code.match(/Hollambry \(off[^,]*/)[0]);
    const needing = await sent("&mine=V04&need=straw,leaf-rust,first-hollow-stem");
    assert.match(needing.code, /Hollambry \([^)]*lacks a must-have\)/);
    assert.match(needing.code, /\(must .+\), how many|\(and more\), how many/);
  }));

const FIELDS = {
  plain: "", dry: "&water=dry&mine=V04", metric: "&unit=kg%2Fha&mine=V11",
  long: "&water=like-2022&mine=V11&leaf-rust=severe&stripe-rust=moderate&stem-rust=light&wheat-streak=none&yellow-dwarf=severe" +
    "&need=straw,baking,stripe-rust&order=worst-fifth&usual=32.5",
  grazed: "&mine=V11&water=dry&graze=yes&graze-days=60&gain=2.2&value=2.1&off=3&spray-leaf-rust=18:0.7&leaf-rust=severe" +
    "&stripe-rust=severe&order=chance-short&need=straw,stripe-rust,grazing-recovery",
  unpriced: "&price=&cost=&water=driest-fifth",
};

/** Whatever is smaller than nine points or cut off on the paper. */
const paperFaults = (page) => page.evaluate(() => {
  const faults = [];
  const paper = document.querySelector(".paper");
  const box = paper.getBoundingClientRect();
  const mm = (pixels) => (pixels / 96) * 25.4;
  if (paper.scrollHeight > paper.clientHeight + 1) faults.push(`${mm(paper.scrollHeight)} mm of content in ${mm(paper.clientHeight)}`);
  if (mm(box.width) > 180.1 || mm(box.height) > 250.1) faults.push(`${mm(box.width)} by ${mm(box.height)} mm`);
  const walker = document.createTreeWalker(paper, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode;
    const element = node.parentElement;
    if (!node.textContent.trim() || element.closest("title, desc")) continue;
    const scale = element.ownerSVGElement ? element.getScreenCTM().a : 1;
    const points = parseFloat(getComputedStyle(element).fontSize) * scale * 0.75;
    if (points < 8.99) faults.push(`${points} pt: ${node.textContent}`);
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const part of range.getClientRects()) {
      if (part.right > box.right + 1 || part.bottom > box.bottom + 1) faults.push(`outside the paper: ${node.textContent}`);
    }
  }
  return faults;
});

test("the printed page is one page of A4 and of Letter, nine points or more, dark on white", () =>
  harness.withBrowser("chromium", (browser) => harness.withServer(harness.SITE_FOLDER, async (server) => {
    const folder = await mkdtemp(join(tmpdir(), "leanyear-paper-"));
    try {
      for (const [field, settings] of Object.entries(FIELDS)) {
        const tab = await open(browser, `${server.address}#v=1&view=handout${settings}`);
        const { page } = tab;
        // Night is remembered for the fields after the first.
        if (field === "plain") await press(page, "night");
        await page.waitForSelector("html.night");
        await page.emulateMediaType("print");
        assert.deepEqual(await paperFaults(page), [], field);
        assert.deepEqual(await page.$eval(".paper", (paper) => [getComputedStyle(paper).color, getComputedStyle(paper).backgroundColor]),
          ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]);
        assert.equal(await page.$$eval(".paper svg.code", (codes) => codes.length), 2);
        for (const format of ["A4", "Letter"]) {
          const file = join(folder, `${field}-${format}`);
          await writeFile(`${file}.pdf`, await page.pdf({ format }));
          const { stdout } = await run("pdftotext", ["-layout", `${file}.pdf`, "-"]);
          assert.equal(stdout.split("\f").length - 1, 1, `${field} on ${format} is one page`);
          for (const words of [/Invented data/, /not a guarantee/, /data of July 28, 2025/, /Paid for by/, /the check/]) assert.match(stdout, words);
          if (process.env.SCREENSHOTS) {
            await run("pdftoppm", ["-r", "110", "-png", "-singlefile", `${file}.pdf`, join(process.env.SCREENSHOTS, `paper-${field}-${format}`)]);
          }
        }
        await page.close();
      }
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  })));

/** Long numbers, long names, much to say: what once ran over the foot of the paper. */
const CROWDED = [
  "&unit=kg%2Fha&mine=V04&water=dry", "&unit=kg%2Fha&mine=V05&need=straw,stripe-rust&water=dry",
  "&unit=kg%2Fha&mine=V26&need=straw,stripe-rust&water=dry",
  "&unit=lb%2Fac&mine=V26&system=limited-irrigation&site=S08&need=straw&water=driest-fifth",
  "&unit=t%2Fha&mine=V11&usual=100000&currency=ARS&price=250000&cost=1000000", FIELDS.grazed,
];

for (const lang of ["en", "es"]) {
  test(`nothing is cut off the printed page in ${lang}, however long its numbers and words`, () =>
    harness.withBrowser("chromium", (browser) => harness.withServer(harness.SITE_FOLDER, async (server) => {
      for (const settings of CROWDED) {
        const { page } = await harness.newTab(browser);
        await page.evaluateOnNewDocument((tag) => localStorage.setItem("leanyear:language", tag), lang);
        await page.goto(`${server.address}#v=1&view=handout${settings}`);
        await page.waitForSelector(".paper");
        assert.equal(await page.evaluate(() => document.documentElement.lang), lang);
        await page.emulateMediaType("print");
        assert.deepEqual(await paperFaults(page), [], settings);
        await page.close();
      }
    })));
}

test("on black-and-white paper a short year still differs from the others by its shape", () =>
  harness.withBrowser("chromium", async (browser) => {
    const { page } = await open(browser, `${harness.PAGE_ADDRESS}#v=1&view=handout&water=dry`);
    await page.emulateMediaType("print");
    const inks = await page.evaluate(() => {
      const row = document.querySelector(".paper-rows svg");
      const ink = (part, property) => getComputedStyle(row.querySelector(part))[property];
      return { short: ink(".short", "stroke"), shortFill: ink(".short", "fill"), fine: ink(".fine", "fill"),
        crosses: row.querySelector(".short").getAttribute("d"), dots: row.querySelector(".fine").getAttribute("d") };
    });
    assert.deepEqual([inks.short, inks.shortFill, inks.fine], ["rgb(0, 0, 0)", "none", "rgb(0, 0, 0)"]);
    assert.match(inks.crosses, /l6 6m-6 0l6 -6/);
    assert.match(inks.dots, /a3\.3 3\.3/);
  }));

for (const name of harness.BROWSERS) {
  test(`${name}: a must-have drops varieties below a line with the reason, and the link carries it`, () =>
    harness.withBrowser(name, async (browser) => {
      const tab = await open(browser);
      const { page } = tab;
      await openSheet(page, "needs");
      await press(page, "stand up to stripe rust");
      await press(page, "rate well for straw strength");
      await page.keyboard.press("Escape");
      await noSheet(page);
      await says(page, /and it must stand up to stripe rust and rate well for straw strength\./);
      await shows(page, /\d+ lack what they must have and stand below, with the reasons\./);
      await press(page, "show the other");
      await shows(page, /\d+ that lack what they must have/);
      // Rows far below are not laid out, so their words are not on the screen yet.
      const text = await page.evaluate(() => document.body.textContent);
      assert.match(text, /(stripe rust|straw strength) \d+(\.\d+)?, not \d+(\.\d+)? or (more|less)/);
      assert.equal((await rows(page)).length, 64, "nothing disappears");
      await addressHolds(page, "need=straw,stripe-rust");
      await assertClean(tab);
    }));

  test(`${name}: another unit changes the numbers, the sentence and the link, and changes back`, () =>
    harness.withBrowser(name, async (browser) => {
      const tab = await open(browser);
      const { page } = tab;
      const before = await rows(page);
      await openSheet(page, "about 31");
      await press(page, "count in other units");
      await shows(page, /Count in/);
      await press(page, "tonnes a hectare");
      await press(page, "millimetres");
      await press(page, "Done");
      await noSheet(page);
      await says(page, /at \$213\.11 a tonne and \$407\.72 a hectare/);
      assert.match(await visibleText(page), /averages \d\.\d; 4 years in 5/);
      assert.deepEqual(await rows(page), before, "the odds are those of the same field");
      await addressHolds(page, "unit=t%2Fha");
      await openSheet(page, "as it may");
      await shows(page, /\d{3}\sto\s\d{3}\smm/);
      await page.keyboard.press("Escape");
      await noSheet(page);
      await press(page, "units");
      await press(page, "bushels an acre");
      await page.keyboard.press("Escape");
      await noSheet(page);
      await says(page, /at \$5\.80 a bushel and \$165 an acre/);
      await assertClean(tab);
    }));

  test(`${name}: thirds are typed as a forecast has them`, () =>
    harness.withBrowser(name, async (browser) => {
      const tab = await open(browser);
      const { page } = tab;
      await openSheet(page, "as it may");
      await harness.type(page, "dry of 100", "45");
      await shows(page, /Type both; the rest is middling/);
      await harness.type(page, "wet of 100", "22");
      await shows(page, /That leaves 33 middling\./);
      await harness.type(page, "wet of 100", "62");
      await shows(page, /Together they may be 100 at most\./);
      await page.keyboard.press("Escape");
      await noSheet(page);
      await says(page, /if the year turns out as it may/);
      await openSheet(page, "as it may");
      await harness.type(page, "dry of 100", "45");
      await harness.type(page, "wet of 100", "22");
      await page.keyboard.press("Escape");
      await noSheet(page);
      await says(page, /if the odds for the year are 45.% dry, 33.% middling, 22.% wet/);
      await addressHolds(page, "water=45-33-22");
      await assertClean(tab);
    }));
}

test("the printed page and sending are reached, used and left by the keyboard alone", () =>
  harness.withBrowser("chromium", async (browser) => {
    const tab = await open(browser);
    const { page } = tab;
    await page.evaluate(() => { globalThis.print = () => { globalThis.printed = true; }; });
    await harness.tabTo(page, "one page to print");
    await page.keyboard.press("Enter");
    await shows(page, /One sheet of A4 or Letter/);
    await harness.focusComesTo(page, "One page to print");
    await harness.tabTo(page, "print it");
    await page.keyboard.press("Enter");
    assert.ok(await page.evaluate(() => globalThis.printed));
    await addressHolds(page, "view=handout");
    await page.evaluate(() => history.back());
    await shows(page, /find a variety/);

    await harness.tabTo(page, "send");
    await page.keyboard.press("Enter");
    await harness.focusComesTo(page, "Send this");
    await harness.tabTo(page, "copy the table as text");
    await page.keyboard.press("Enter");
    await shows(page, /Copied\.|copy it by hand/);
    await assertClean(tab);
  }));
