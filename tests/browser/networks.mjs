// Networks other than the demo: one with next year's data in place of the demo's, and one made from a
// registry's open data: the barley trials of 1931–32 (Immer, Hayes & Powers 1934, after
// Cleveland 1993), as the npm package vega-datasets carries them. No ratings, no water, no price.

import { execFile } from "node:child_process";
import { cp, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { promisify } from "node:util";
import { PAGE_FILE } from "./harness.mjs";

const ROOT = new URL("../../", import.meta.url);

/**
 * Runs `work(address)` on a barley page made from the built page, in a folder that goes afterwards; `more` goes
 * into its network.json.
 */
export async function withBarleyPage(work, more = {}) {
  const folder = await mkdtemp(join(tmpdir(), "leanyear-barley-"));
  try {
    return await work(await barleyPage(folder, more));
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function barleyPage(folder, more) {
  const data = new URL("node_modules/vega-datasets/data/barley.json", import.meta.url);
  const rows = JSON.parse(await readFile(data, "utf8"));
  const trial = (row) => `${row.site} ${row.year}`;
  const trials = new Map(rows.map((row) => [trial(row), `${trial(row)},${row.site},${row.year}`]));
  const means = rows.map((row) => `${trial(row)},${row.variety},${row.yield}`);
  const info = { name: "Barley 1931-32", crop: "barley", yield_unit: "bu/ac", bushel_lb: 48, ...more };
  await writeFile(join(folder, "network.json"), JSON.stringify(info));
  await writeFile(join(folder, "trials.csv"), ["trial,site,season", ...trials.values(), ""].join("\n"));
  await writeFile(join(folder, "means.csv"), ["trial,variety,yield", ...means, ""].join("\n"));
  const page = join(folder, "barley.html");
  await leanyear("page", folder, "--out", page, "--template", PAGE_FILE);
  return pathToFileURL(page).href;
}

/**
 * Runs `work(address)` on a page of an invented network in which splitting pays: of its two best varieties each is
 * wide open to a rust that the other stands, and of the rusts one or the other comes in most years.
 */
export async function withTwoRustsPage(work) {
  const folder = await mkdtemp(join(tmpdir(), "leanyear-rusts-"));
  try {
    const tables = twoRusts();
    for (const [name, lines] of Object.entries(tables)) await writeFile(join(folder, name), [...lines, ""].join("\n"));
    const page = join(folder, "rusts.html");
    await leanyear("page", folder, "--out", page, "--template", PAGE_FILE);
    return await work(pathToFileURL(page).href);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

function twoRusts() {
  const varieties = [["V1", 6, 9, 1], ["V2", 6, 1, 9], ["V3", -4, 4, 4], ["V4", -6, 5, 3], ["V5", -7, 3, 5], ["V6", -8, 4, 5]];
  const [trials, means, pressure] = [["trial,site,season,system,reps,cv"], ["trial,variety,yield"], ["trial,trait,pressure"]];
  for (let season = 2014; season < 2026; season += 1) {
    for (const site of ["S1", "S2", "S3"]) {
      const [trial, first] = [`${site}-${season}`, season % 2 === 0 ? 3 : 0];
      trials.push(`${trial},${site},${season},dryland,4,6`);
      pressure.push(`${trial},rust-one,${first}`, `${trial},rust-two,${3 - first}`);
      for (const [code, better, one, two] of varieties) {
        // Scatter that repeats, so that the same network comes out each time.
        const scatter = ((season * 7 + trial.charCodeAt(1) * 13 + code.charCodeAt(1) * 29) % 11) / 5 - 1;
        const lost = 0.5 * ((((one - 1) / 8) * first) / 3 + (((two - 1) / 8) * (3 - first)) / 3);
        means.push(`${trial},${code},${((44 + better) * (1 - lost) + scatter).toFixed(1)}`);
      }
    }
  }
  const rated = varieties.flatMap(([code, , one, two]) => [`${code},rust-one,${one}`, `${code},rust-two,${two}`]);
  const rust = (code) => `${code},${code.replace("-", " ")},disease,1,9,0.5,0.05`;
  const info = { name: "Two rusts (invented)", crop: "wheat", invented: true, yield_unit: "bu/ac", currency: "$", defaults: { price: 6, cost: 185 } };
  return {
    "network.json": [JSON.stringify(info)],
    "trials.csv": trials,
    "means.csv": means,
    "pressure.csv": pressure,
    "traits.csv": ["trait,label,kind,best,worst,severe_loss,severe_loss_sd", rust("rust-one"), rust("rust-two")],
    "ratings.csv": ["variety,trait,value", ...rated],
  };
}

let built = null;

/** Runs the command line of this checkout; gives what it prints. */
export async function leanyear(...given) {
  // Together with what `cargo run` builds, so that both share one build of the engine.
  const together = ["build", "--quiet", "-p", "leanyear-build", "-p", "leanyear-engine", "--features", "leanyear-engine/cli", "--bins"];
  built ??= promisify(execFile)("cargo", together, { cwd: ROOT });
  await built;
  const target = process.env.CARGO_TARGET_DIR ?? fileURLToPath(new URL("target", ROOT));
  const { stdout } = await promisify(execFile)(join(target, "debug", "leanyear"), given, { cwd: ROOT, maxBuffer: 1 << 26 });
  return stdout;
}

/** Runs `work(folder)` on a hosted copy of the demo whose data differ in one mean, as newer data would. */
export async function withNewerSite(work) {
  const folder = await mkdtemp(join(tmpdir(), "leanyear-newer-"));
  try {
    const [data, site] = [join(folder, "data"), join(folder, "site")];
    await cp(new URL("data/demo", ROOT), data, { recursive: true });
    const means = join(data, "means.csv");
    await writeFile(means, (await readFile(means, "utf8")).replace(/^(S01-2017-dry,V01,)[^,\n]+/m, "$127.1"));
    await leanyear("page", data, "--out", join(folder, "newer.html"), "--site", site, "--template", PAGE_FILE);
    return await work(site);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** Runs `work(address)` on a page of the demo as `change(folder)` leaves a copy of it. */
async function withChangedDemo(change, work) {
  const folder = await mkdtemp(join(tmpdir(), "leanyear-changed-"));
  try {
    await cp(new URL("data/demo", ROOT), folder, { recursive: true });
    await change(folder);
    const page = join(folder, "changed.html");
    await leanyear("page", folder, "--out", page, "--template", PAGE_FILE);
    return await work(pathToFileURL(page).href);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** The lines of a file of a network, the header first. */
const lines = async (folder, name) => (await readFile(join(folder, name), "utf8")).trimEnd().split("\n");

const writeLines = (folder, name, all) => writeFile(join(folder, name), [...all, ""].join("\n"));

/** Runs `work(address)` on a page of the demo's first so many varieties that were tested in its last season. */
export const withFewerVarieties = (count, work) => withChangedDemo(async (folder) => {
  // Neither trial nor variety is a quoted field in the demo.
  const seasons = new Map((await lines(folder, "trials.csv")).slice(1).map((line) => [line.split(",")[0], line.split(",")[2]]));
  const last = [...seasons.values()].sort().at(-1);
  const means = (await lines(folder, "means.csv")).slice(1).map((line) => line.split(","));
  const lately = means.filter(([trial]) => seasons.get(trial) === last).map(([, variety]) => variety);
  const kept = [...new Set(lately)].sort().slice(0, count);
  for (const [name, column] of [["means.csv", 1], ["varieties.csv", 0], ["ratings.csv", 0], ["shortlist.csv", 1]]) {
    const [head, ...rows] = await lines(folder, name);
    await writeLines(folder, name, [head, ...rows.filter((row) => kept.includes(row.split(",")[column]))]);
  }
}, work);

/** Runs `work(address)` on a page of the demo from which every word of water has been taken. */
export const withoutWaterPage = (work) => withChangedDemo(async (folder) => {
  await rm(join(folder, "water.csv"));
  const [head, ...rows] = await lines(folder, "trials.csv");
  const place = head.split(",").indexOf("water");
  // No field before the water is quoted in the demo.
  const dry = rows.map((row) => row.split(",").map((cell, column) => (column === place ? "" : cell)).join(","));
  await writeLines(folder, "trials.csv", [head, ...dry]);
}, work);
