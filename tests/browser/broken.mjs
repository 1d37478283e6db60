// Packs, links and texts that mean harm, for the tests that hand them to the page. The packs are those of
// tests/hostile/packs.json, to which the engine is held natively too.

import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { PAGE_FILE } from "./harness.mjs";

const HERE = "put the text here";
const OPENS = '<script type="application/json" id="pack">';
const CLOSES = '</script><script type="text/plain" id="wasm">';

/** The page cut at its pack: what stands before, the pack, what comes after. */
export async function pageInParts() {
  const page = await readFile(PAGE_FILE, "utf8");
  const start = page.indexOf(OPENS) + OPENS.length;
  const end = page.indexOf(CLOSES, start);
  return { before: page.slice(0, start), pack: page.slice(start, end), after: page.slice(end) };
}

/** The list of packs, each with the text that a page is to be opened with. */
export async function brokenPacks(pack) {
  const list = JSON.parse(await readFile(fileURLToPath(new URL("../hostile/packs.json", import.meta.url)), "utf8"));
  // As every page is written: nothing in a pack may end its element.
  return list.map((entry) => ({ ...entry, text: changed(pack, entry).replaceAll("<", "\\u003c") }));
}

function changed(pack, entry) {
  if (entry.text !== undefined) return entry.text;
  if (entry.cut !== undefined) return pack.slice(0, Math.floor(pack.length * entry.cut));
  const nested = entry.nest && "[".repeat(entry.nest) + "]".repeat(entry.nest);
  const value = JSON.parse(pack);
  const to = (path) => path.reduce((inner, step) => inner[step], value);
  for (const what of ["remove", "copy"]) {
    if (!entry[what]) continue;
    const holder = to(entry[what].slice(0, -1));
    const last = entry[what].at(-1);
    if (what === "copy") holder.push(holder[last]);
    else if (Array.isArray(holder)) holder.splice(last, 1);
    else delete holder[last];
    return JSON.stringify(value);
  }
  const text = nested ?? entry.json;
  if (!entry.at) return text;
  to(entry.at.slice(0, -1))[entry.at.at(-1)] = HERE;
  return JSON.stringify(value).replaceAll(`"${HERE}"`, () => text);
}

/** A generator of numbers from 0 to 1 that gives the same ones each time (Mulberry32, Ettinger 2017). */
export function chance(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

const TOKENS = [
  "", " ", "0", "-1", "1e999", "NaN", "inf", "1e300", "1e-300", "99999999999999999999", "1,5", "1.234", "−3", "½", '"', '""',
  "'", "=1+1", "\u0000", "\ufeff", "\u202e", ";", "\t", "\n", "\r", ",", ",,,,", "sep=;", "drought", "null", "true", "[]", "{}",
  "[[[[[[", '{"a":', "}", "</script>", "x".repeat(70000),
];

/** A text with a few pieces taken out and others put in. */
export function damaged(text, random) {
  let result = text;
  for (let acts = 1 + Math.floor(random() * 3); acts > 0; acts -= 1) {
    const start = Math.floor(random() * result.length);
    const length = Math.floor(random() * 12);
    result = result.slice(0, start) + TOKENS[Math.floor(random() * TOKENS.length)] + result.slice(start + length);
  }
  return result;
}

/** Links that no page would write, over every key. */
export const BROKEN_LINKS = [
  "v=2&water=dry", "v=1&v=2", "v=", "=", "&&&&", "v=1&=5", "%", "%zz=1", "v=1&mine=%ff", "v=1&mine=%00", "v=1&mine=V99",
  "v=1&system=moon", "v=1&site=nowhere&zone=nowhere", "v=1&pack=00000000", "v=1&pack=%3Cscript%3E",
  "v=1&usual=NaN", "v=1&usual=1e999", "v=1&usual=-5", "v=1&usual=0.01&price=1e8&cost=0&volatility=200&water=driest-fifth",
  "v=1&usual=100000&price=0&haul=1e8&cost=1e8&premium=1e8&order=worst-fifth", "v=1&price=1e-300&cost=1e-300&money-unit=money",
  "v=1&unit=stones", "v=1&unit=t%2Fha&price=1e8&cost=1e8&cover=100&guarantee-price=1e8",
  "v=1&water=like-99999999999", "v=1&water=like-1800", "v=1&water=255-255-255", "v=1&water=0-0-100", "v=1&water=",
  "v=1&graze=yes&graze-days=366&gain=10000&value=1e8&off=120", "v=1&graze=yes&off=-120&view=variety&variety=V18",
  "v=1&view=compare", "v=1&view=compare&with=V04", "v=1&view=compare&with=V04,V04,V04", "v=1&view=compare&with=V99,,,V04,V18&water=like-1800",
  "v=1&view=acres&acres=V04:NaN,V18:1e6,V07:0.01", "v=1&view=acres&acres=V04:1e999", "v=1&view=acres&at-most=255&min-acres=1e6&acres=V18:1",
  "v=1&view=handout&variety=", "v=1&view=track-record&water=wet", "v=1&view=share&price=1e8", "v=1&view=nothing",
  "v=1&need=straw,straw,straw,nothing", "v=1&stripe-rust=awful&leaf-rust=severe&straw=severe", "v=1&spray-stripe-rust=1e8:1&stripe-rust=severe",
  "v=1&spray-stripe-rust=1e9:9", "v=1&dock-test-weight=58:1e8,57:-1e8,1e9:1", "v=1&order=best&money-unit=shells",
  `v=1&mine=${"V".repeat(6000)}`, Array.from({ length: 300 }, (_, k) => `k${k}=${k}`).join("&"), "v=1&price=٣&cost=½", "v=1&mine=<img src=x onerror=alert(1)>",
];
