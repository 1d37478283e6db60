// Times the bound wasm and prints {"fit": ms, "reml", "passes", "redraw": ms, "table": ms, "varieties"}:
// node wasm.mjs MODULE FOLDER TERMS PACK RUNS
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const [modulePath, folder, terms, packPath, runs] = process.argv.slice(2);
const { Fit, Decision } = createRequire(import.meta.url)(modulePath);
const text = (name) => readFileSync(join(folder, name), "utf8");

/** Milliseconds of the processor so far. */
const now = () => process.cpuUsage().user / 1000 + process.cpuUsage().system / 1000;

/** Median milliseconds of `work`, given the number of the run, after two runs that do not count. */
function median(count, work) {
  const times = [];
  for (let run = -2; run < count; run += 1) {
    const start = now();
    work(run);
    if (run >= 0) times.push(now() - start);
  }
  return times.sort((a, b) => a - b)[count >> 1];
}

const fit = new Fit(text("network.json"), text("trials.csv"), text("means.csv"), terms);
let answer;
const fitTime = median(Number(runs), () => { answer = fit.run(); });
const decision = new Decision(readFileSync(packPath, "utf8"));
let varieties;
const redraw = median(41, (run) => { varieties = decision.change_water(run % 2 === 0); });
const table = median(41, (run) => decision.change_price(5 + 0.01 * run));
console.log(JSON.stringify({ fit: fitTime, reml: answer[0], passes: answer[1], redraw, table, varieties }));
