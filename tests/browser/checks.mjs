// What must hold of everything that is on the screen: it fits, its pictures have words and ink, its numbers are
// numbers, its targets are as large as a thumb, its text stands out, and axe-core finds nothing. Each check gives
// the faults it found as sentences; an empty list is a pass.

import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";

const AXE = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Width it does not have, pictures without words or ink, numbers that are none, invented data not named so. */
export const faults = (page) =>
  page.evaluate(() => {
    const found = [];
    const brief = (element) => element.outerHTML.slice(0, 110);
    for (const box of [document.documentElement, ...document.querySelectorAll("dialog[open]")]) {
      if (box.scrollWidth <= box.clientWidth) continue;
      const widest = [...box.querySelectorAll("*")].filter((one) => one.getBoundingClientRect().right > box.clientWidth + 1).pop();
      found.push(`${box.tagName} is ${box.scrollWidth} px wide in ${box.clientWidth}: ${widest ? brief(widest) : ""}`);
    }
    for (const picture of document.querySelectorAll("svg")) {
      const [title, description] = [picture.querySelector("title"), picture.querySelector("desc")];
      const described = picture.getAttribute("role") === "img" && title?.textContent && description?.textContent;
      if (!described && picture.getAttribute("aria-hidden") !== "true") found.push(`a picture has no words: ${brief(picture)}`);
      const inked = [...picture.querySelectorAll("path, rect")].some((one) => one.getAttribute("d") || one.getAttribute("width") > 0);
      if (!inked) found.push(`a picture is blank: ${brief(picture)}`);
      const odd = picture.outerHTML.match(/ (?:d|x|y|cx|viewBox|width|transform)="[^"]*(?:NaN|undefined|inf)[^"]*"/i);
      if (odd) found.push(`a picture is drawn by no number: ${odd[0].slice(0, 80)}`);
    }
    const odd = document.body.innerText.match(/.{0,40}\b(NaN|undefined|Infinity|inf|null)\b.{0,40}/);
    if (odd) found.push(`not a number: ${odd[0]}`);
    if (!document.querySelector(".invented, .office")) found.push("it does not say that its data are invented");
    if (document.querySelector("[style]")) found.push(`a style attribute: ${brief(document.querySelector("[style]"))}`);
    return found;
  });

/** Buttons, links and fields whose own 44 by 44 pixels are not theirs to tap. */
export const smallTargets = (page) =>
  page.evaluate(() => {
    // A pixel at each side is left to the rounding of places.
    const HALF = 21;
    const found = [];
    const root = document.querySelector("dialog[open]") ?? document;
    const kept = [scrollX, scrollY];
    for (const target of root.querySelectorAll("button, a[href], input, select, textarea, summary")) {
      if (!target.checkVisibility() || target.disabled) continue;
      const label = target.closest("label");
      // All of a row opens its variety, and all of a label belongs to its field.
      const area = label ?? target.closest("li.row") ?? target;
      target.scrollIntoView({ block: "center", inline: "center", behavior: "instant" });
      const box = (label ?? target).getBoundingClientRect();
      const [x, y] = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
      const missed = [[-HALF, 0], [HALF, 0], [0, -HALF], [0, HALF]].filter(([dx, dy]) => {
        const [at, down] = [x + dx, y + dy];
        // At the edge of the screen there is nothing to hit.
        if (at < 0 || down < 0 || at >= innerWidth || down >= innerHeight) return box.width < 44 && box.height < 44;
        const hit = document.elementFromPoint(at, down);
        return !hit || !(area.contains(hit) || hit.contains(target) && hit === label);
      });
      if (missed.length > 0) {
        const size = `${Math.round(box.width)} by ${Math.round(box.height)}`;
        found.push(`${target.tagName} “${(target.innerText || target.getAttribute("aria-label") || target.id).trim().slice(0, 40)}” ${size}: missed at ${JSON.stringify(missed)}`);
      }
    }
    scrollTo(...kept);
    return found;
  });

/** Text with less than 7:1 against what lies behind it, 4.5:1 where it is large, as WCAG 2.2 has it (1.4.6). */
export const faintText = (page) =>
  page.evaluate(() => {
    const parts = (colour) => {
      const numbers = colour.match(/[\d.]+/g).map(Number);
      return { rgb: numbers.slice(0, 3), alpha: numbers[3] ?? 1 };
    };
    const luminance = (rgb) => {
      const [r, g, b] = rgb.map((one) => (one / 255 <= 0.04045 ? one / 255 / 12.92 : ((one / 255 + 0.055) / 1.055) ** 2.4));
      return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const ratio = (a, b) => {
      const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x);
      return (light + 0.05) / (dark + 0.05);
    };
    const behind = (element) => {
      for (let one = element; one; one = one.parentElement) {
        const { rgb, alpha } = parts(getComputedStyle(one).backgroundColor);
        if (alpha === 1) return rgb;
        if (alpha > 0) throw new Error(`a background that is seen through: ${one.outerHTML.slice(0, 80)}`);
      }
      return [255, 255, 255];
    };
    const found = new Set();
    const root = document.querySelector("dialog[open]") ?? document.body;
    const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const element = walker.currentNode.parentElement;
      if (!walker.currentNode.textContent.trim() || !element.checkVisibility() || element.closest("title, desc, script, style")) continue;
      const style = getComputedStyle(element);
      const inside = element.ownerSVGElement;
      const ink = parts(inside ? style.fill : style.color);
      const size = parseFloat(style.fontSize);
      const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
      const seen = ratio(ink.rgb, behind(element));
      if (ink.alpha !== 1 || seen < (large ? 4.5 : 7)) found.add(`${seen.toFixed(2)}:1 of ${style.color} for “${element.textContent.trim().slice(0, 40)}”`);
    }
    return [...found];
  });

/** What axe-core finds wrong with the whole page, or with the open sheet. */
export const axeFaults = (page) =>
  axe(page, { rules: { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } } });

/** What it finds wrong with the colours alone: by night nothing else is different. */
export const axeColours = (page) =>
  axe(page, { runOnly: ["color-contrast", "color-contrast-enhanced", "link-in-text-block"] });

async function axe(page, options) {
  if (!(await page.evaluate(() => "axe" in globalThis))) await page.evaluate(AXE);
  return page.evaluate(async (asked) => {
    const { violations } = await globalThis.axe.run(document.querySelector("dialog[open]") ?? document, { resultTypes: ["violations"], ...asked });
    return violations.map((one) => `${one.id}: ${one.help}: ${one.nodes.slice(0, 3).map((node) => node.html.slice(0, 110)).join(" | ")}`);
  }, options);
}

/** Faults by stop, a line each; empty where there are none. */
export const told = (wrong) => Object.entries(wrong).flatMap(([stop, found]) => found.map((fault) => `${stop}: ${fault}`)).join("\n");

/** A dark page, or a light one, as the switch makes it. */
export const setNight = (page, night) => page.evaluate((dark) => document.documentElement.classList.toggle("night", dark), night);
