// The page in the reader's language, with the numbers of the reader's region: which language comes up, how it is
// changed and remembered, what is typed with a comma, and that links have the point whatever the screen shows.

import assert from "node:assert/strict";
import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { faults, told } from "./checks.mjs";
import * as harness from "./harness.mjs";
import { addressHolds, assertClean, noSheet, open, openSheet, press, shows, visibleText } from "./harness.mjs";
import { withBarleyPage } from "./networks.mjs";
import { SHEETS, VIEWS, drawn, unfold, visit } from "./views.mjs";

const ARGENTINA = "es-AR,es";
const MEXICO = "es-MX,es";

const inSpanish = (work, languages = ARGENTINA) => harness.withBrowser("chromium", work, { languages });
const language = (page) => page.evaluate(() => document.documentElement.lang);

/** What is wrong with the number in the open sheet. */
const problem = (page) => page.waitForFunction(
  () => document.querySelector("#sheet-problem")?.innerText.trim(), { timeout: harness.PATIENCE_MS },
).then((found) => found.jsonValue());

/** Types into the field of the open sheet in place of what stands there, and gives what stood there. */
async function typeNumber(page, text) {
  const field = await page.waitForSelector("dialog[open] .typed input", { timeout: harness.PATIENCE_MS });
  const before = await field.evaluate((input) => input.value);
  await page.locator("dialog[open] .typed input").fill(text);
  return before;
}

test("a Spanish browser opens the page in Spanish, with its own marks; links have the point", () =>
  inSpanish(async (browser) => {
    const tab = await open(browser);
    const { page } = tab;
    const shown = await shows(page, /muestre primero la que/);
    assert.equal(await language(page), "es");
    assert.match(shown, /\$5,80 por bushel/);
    assert.match(shown, /datos del 28 de julio de 2025/);
    assert.match(shown, /pierde dinero en \d+ de 20 años, en \d+ no/);
    assert.match(shown, /uy parejas para decidir/);

    await openSheet(page, "como venga");
    await press(page, "seco: el tercio más seco");
    await noSheet(page);
    await shows(page, /20 años secos/);
    await addressHolds(page, "water=dry");

    await openSheet(page, "$5,80");
    assert.equal(await typeNumber(page, "6,25"), "5,8");
    await page.keyboard.press("Enter");
    await noSheet(page);
    await shows(page, /\$6,25 por bushel/);
    await addressHolds(page, "price=6.25");

    await openSheet(page, "$6,25");
    await typeNumber(page, "6.75");
    await page.keyboard.press("Enter");
    await noSheet(page);
    await shows(page, /\$6,75 por bushel/);
    await addressHolds(page, "price=6.75");

    await openSheet(page, "$6,75");
    await typeNumber(page, "1.234");
    assert.match(await problem(page), /escriba 1,2340 o 1234/);
    await typeNumber(page, "7,1250");
    await page.keyboard.press("Enter");
    await noSheet(page);
    await addressHolds(page, "price=7.125");
    // The field never starts with what the page would then ask about.
    await openSheet(page, "$7,1");
    assert.equal(await typeNumber(page, "5,8"), "7,1250");
    await page.keyboard.press("Enter");
    await noSheet(page);
    const hash = await page.evaluate(() => location.hash);
    assert.ok(!/\d,\d/.test(decodeURIComponent(hash)), hash);
    await assertClean(tab);
  }));

test("the region has its marks in either language", () =>
  inSpanish(async (browser) => {
    const { page } = await open(browser);
    const shown = await shows(page, /muestre primero la que/);
    assert.match(shown, /\$5\.80 por bushel/);
    await press(page, "English");
    assert.match(await shows(page, /show first the one that/), /data of 28 July 2025/);
  }, MEXICO));

test("the switch turns the language, and the device remembers it but no link does", () =>
  inSpanish(async (browser) => {
    const tab = await open(browser);
    const { page } = tab;
    await shows(page, /muestre primero la que/);
    await addressHolds(page, "pack=");
    const before = await page.evaluate(() => location.hash);
    await press(page, "English");
    const shown = await shows(page, /show first the one that/);
    assert.equal(await language(page), "en");
    assert.match(shown, /\$5,80 a bushel/);
    assert.match(shown, /data of 28 July 2025/);
    assert.equal(await page.evaluate(() => location.hash), before);
    await page.reload();
    await harness.mounted(page);
    await shows(page, /show first the one that/);
    assert.equal(await language(page), "en");
    const second = await open(browser);
    await shows(second.page, /show first the one that/);
    await press(second.page, "Español");
    await shows(second.page, /muestre primero la que/);
    assert.equal(await language(second.page), "es");
    await assertClean(tab);
  }));

test("a browser that speaks neither gets the language of the network, its table too", () =>
  withBarleyPage(async (address) => {
    await harness.withBrowser("chromium", async (browser) => {
      const { page } = await open(browser, address);
      await shows(page, /muestre primero la que/);
      assert.equal(await language(page), "es");
      const bare = await harness.newTab(browser, { scripts: false });
      await bare.page.goto(address);
      const table = await bare.page.$eval(".static", (main) => [main.lang, main.innerText]);
      assert.equal(table[0], "es");
      assert.match(table[1], /Promedio en bu\/ac/);
      // The shell's own screens speak the language of the table that they stand over.
      const old = await harness.newTab(browser);
      await old.page.evaluateOnNewDocument(() => { delete globalThis.WebAssembly; });
      await old.page.goto(address);
      await shows(old.page, /Este navegador es demasiado viejo/);
      assert.equal(await language(old.page), "es");
    }, { languages: "de-DE,de" });

    // What the page saves of itself is what the command line wrote.
    const folder = await mkdtemp(join(tmpdir(), "leanyear-language-"));
    try {
      await inSpanish(async (browser) => {
        await harness.keepDownloads(browser, folder);
        const { page } = await open(browser, `${address}#v=1&view=prepare`, { viewport: harness.LAPTOP });
        await press(page, "empezar con la red de esta página");
        await shows(page, /5\. Ajustar/);
        await press(page, "ajustar");
        await shows(page, /6\. Listas cortas/, 120000);
        await press(page, "guardar la página");
        await shows(page, /leanyear\.html se entregó al navegador/, 120000);
        await press(page, "armar el informe");
        await shows(page, /Las medias ajustadas son las mejores predicciones/, 120000);
        await page.$$eval("details", (all) => all.forEach((one) => { one.open = true; }));
        assert.deepEqual(await leftOver(page, true), [], "the office");
        const made = await readFile(fileURLToPath(address));
        assert.ok((await harness.downloaded(folder, "leanyear.html")).equals(made), "the saved page is the page of the command line");
      });
    } finally {
      await rm(folder, { recursive: true, force: true });
    }
  }, { lang: "es", home_url: "" }));

/** English words that no Spanish text has, outside of what the network says of itself; files name their columns in English. */
const leftOver = (page, files = false) => page.evaluate((files) => {
  const texts = new Set();
  const gather = (value) => {
    if (typeof value === "string") texts.add(value.replace(/\s+/g, " ").trim());
    else if (value && typeof value === "object") Object.values(value).forEach(gather);
  };
  gather(JSON.parse(document.getElementById("pack").textContent).network);
  const own = [...texts].filter((text) => text.length > 5).sort((a, b) => b.length - a.length);
  let shown = document.body.innerText.replace(/\s+/g, " ").replace("English", "").replace(/«[^»]*»/g, "");
  // The terms of those who made the parts stay in their own words.
  for (const theirs of document.querySelectorAll(".made-of [lang=en]")) shown = shown.replace(theirs.innerText.replace(/\s+/g, " ").trim(), "");
  for (const text of own) shown = shown.replaceAll(text, "");
  const words = "the|and|of|with|without|from|is|are|its|this|that|years|average|wet|loses|money|than|between|what|which|you|your|irrigation|tested|never";
  const english = files ? words : `${words}|not|year|trials?|seasons?|yields?|variety|varieties|costs?|price|dryland`;
  return shown.match(new RegExp(`.{0,40}\\b(${english})\\b.{0,40}`, "gi")) ?? [];
}, files);

/** Fields that make the printed page full: many lines, long sentences, other systems. */
const PAPERS = {
  plain: "&mine=V04", dry: "&water=dry&mine=V04&need=straw,stripe-rust", driest: "&water=driest-fifth&mine=V04", metric: "&unit=kg%2Fha&mine=V11",
  long: "&water=like-2022&mine=V11&leaf-rust=severe&stripe-rust=moderate&stem-rust=light&wheat-streak=none&yellow-dwarf=severe" +
    "&need=straw,baking,stripe-rust&order=worst-fifth&usual=32.5",
  grazed: "&mine=V11&water=dry&graze=yes&graze-days=60&gain=2.2&value=2.1&off=3&spray-leaf-rust=18:0.7&leaf-rust=severe" +
    "&stripe-rust=severe&order=chance-short&need=straw,stripe-rust,grazing-recovery",
  irrigated: "&system=full-irrigation&leaf-rust=severe&stripe-rust=none&graze=yes&graze-days=90", unpriced: "&price=&cost=&water=driest-fifth",
};

test("the printed page in Spanish stays on its paper", () =>
  inSpanish(async (browser) => {
    for (const [field, settings] of Object.entries(PAPERS)) {
      const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1&view=handout${settings}`);
      await tab.page.emulateMediaType("print");
      const [content, room] = await tab.page.$eval(".paper", (paper) => [paper.scrollHeight, paper.clientHeight]);
      assert.ok(content <= room + 1, `${field}: ${content} px of content in ${room}`);
      await harness.screenshot(tab.page, `es-paper-${field}`);
      await tab.page.close();
    }
  }));

/** Stops that the list of views and sheets does not have: other settings, and the office. */
const FURTHER = {
  "track-metric": ["#v=1&unit=lb%2Fac&mine=V11&view=track-record", (page) => page.waitForSelector(".track-record table", { timeout: 120000 })],
  "acres-dry": ["#v=1&view=acres&acres=V18:60,V07:25,V01:15&water=dry"],
  office: ["#v=1&view=prepare"],
};

test("every view and every sheet is Spanish throughout, and fits a phone of 320 px", () =>
  inSpanish(async (browser) => {
    const tab = await open(browser, `${harness.PAGE_ADDRESS}#v=1`, { viewport: { width: 320, height: 640, deviceScaleFactor: 1 } });
    const { page } = tab;
    const wrong = {};
    for (const [stop, steps] of Object.entries({ ...VIEWS, ...SHEETS, ...FURTHER })) {
      await visit(page, steps);
      await unfold(page);
      await drawn(page);
      await harness.screenshot(page, `es-${stop}-320`);
      const found = [...(await leftOver(page, stop === "office")), ...(await faults(page))];
      if (found.length > 0) wrong[stop] = found;
    }
    if (Object.keys(wrong).length > 0) assert.fail(told(wrong));
    await visit(page, VIEWS.list);
    assert.match(await visibleText(page), /Datos inventados/);
    await assertClean(tab);
  }));
