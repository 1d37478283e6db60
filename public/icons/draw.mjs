// Draws the icons beside it: an ear of grain as seven dots on a stem, over a ground line.
// Run `node public/icons/draw.mjs` after changing it; the same source gives the same files.

import { deflateSync } from "node:zlib";
import { writeFileSync } from "node:fs";

const PAPER = [0xfb, 0xfa, 0xf6];
const INK = [0x1d, 0x1b, 0x16];
const ACCENT = [0xa3, 0x48, 0x0f];

// Sixteen colours, four bits a pixel: the three, and steps from paper to each of the others at their edges.
const mix = (a, b, share) => a.map((value, i) => Math.round(value + share * (b[i] - value)));
const PALETTE = [
  PAPER, INK, ACCENT,
  ...[1, 2, 3, 4, 5, 6, 7].map((step) => mix(PAPER, INK, step / 8)),
  ...[1, 2, 3, 4, 5].map((step) => mix(PAPER, ACCENT, step / 6)),
  mix(INK, ACCENT, 0.5),
];
const distance = (a, b) => a.reduce((sum, value, i) => sum + (value - b[i]) ** 2, 0);

function nearest(colour) {
  let best = 0;
  for (let i = 1; i < PALETTE.length; i += 1) {
    if (distance(colour, PALETTE[i]) < distance(colour, PALETTE[best])) best = i;
  }
  return best;
}

// On a square of 64 units.
const DOTS = [[32, 9], [24.5, 18], [39.5, 18], [24.5, 28], [39.5, 28], [24.5, 38], [39.5, 38]];
const SHAPES = [
  { colour: ACCENT, covers: (x, y) => y >= 55 && y <= 58 && x >= 10 && x <= 54 },
  { colour: INK, covers: (x, y) => x >= 31 && x <= 33 && y >= 9 && y <= 55 },
  ...DOTS.map(([cx, cy]) => ({ colour: INK, covers: (x, y) => Math.hypot(x - cx, y - cy) <= 4.4 })),
];
const SAMPLES = 6;

function colourAt(x, y) {
  let colour = PAPER;
  for (const shape of SHAPES) if (shape.covers(x, y)) colour = shape.colour;
  return colour;
}

// `inset` shrinks the drawing about the centre, for icons that a phone cuts to a shape of its own.
function pixels(size, inset) {
  const rows = [];
  for (let row = 0; row < size; row += 1) {
    rows.push(0);
    for (let column = 0; column < size; column += 1) {
      const sum = [0, 0, 0];
      for (let i = 0; i < SAMPLES * SAMPLES; i += 1) {
        const x = (column + ((i % SAMPLES) + 0.5) / SAMPLES) / size;
        const y = (row + (Math.floor(i / SAMPLES) + 0.5) / SAMPLES) / size;
        const colour = colourAt(...[x, y].map((v) => 32 + (64 * (v - 0.5)) / inset));
        for (let channel = 0; channel < 3; channel += 1) sum[channel] += colour[channel];
      }
      const index = nearest(sum.map((total) => total / (SAMPLES * SAMPLES)));
      if (column % 2 === 0) rows.push(index << 4);
      else rows[rows.length - 1] |= index;
    }
  }
  return Buffer.from(rows);
}

function checksum(bytes) {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return (crc ^ 0xffffffff) >>> 0;
}

function chunk(kind, content) {
  const body = Buffer.concat([Buffer.from(kind, "latin1"), content]);
  const length = Buffer.alloc(4);
  length.writeUInt32BE(content.length);
  const sum = Buffer.alloc(4);
  sum.writeUInt32BE(checksum(body));
  return Buffer.concat([length, body, sum]);
}

function png(size, inset) {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(size, 0);
  header.writeUInt32BE(size, 4);
  header.set([4, 3, 0, 0, 0], 8);
  return Buffer.concat([
    Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]),
    chunk("IHDR", header),
    chunk("PLTE", Buffer.from(PALETTE.flat())),
    chunk("IDAT", deflateSync(pixels(size, inset), { level: 9 })),
    chunk("IEND", Buffer.alloc(0)),
  ]);
}

const ICONS = { "icon-192": [192, 0.9], "icon-512": [512, 0.9], "maskable-512": [512, 0.66], "touch-180": [180, 0.8] };
for (const [name, [size, inset]] of Object.entries(ICONS)) {
  writeFileSync(new URL(`${name}.png`, import.meta.url), png(size, inset));
}
