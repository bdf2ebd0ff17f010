// The squares of a QR code: where finders, timing, format and data go, and which mask reads best. Pure.
//
// After ISO/IEC 18004 (from memory; tests read every size back with a decoder of somebody else's). A matrix is rows of
// true for dark; the quiet zone is added by whoever draws it.

import { codewordsOf } from "./bits.js";

const ALIGNED = [[], [6, 18], [6, 22], [6, 26], [6, 30], [6, 34], [6, 22, 38], [6, 24, 42], [6, 26, 46], [6, 28, 50]];
/** Level M in the format bits. */
const LEVEL = 0b00;
const MASKS = [
  (row, column) => (row + column) % 2, (row) => row % 2, (row, column) => column % 3, (row, column) => (row + column) % 3,
  (row, column) => (Math.floor(row / 2) + Math.floor(column / 3)) % 2,
  (row, column) => ((row * column) % 2) + ((row * column) % 3),
  (row, column) => (((row * column) % 2) + ((row * column) % 3)) % 2,
  (row, column) => (((row + column) % 2) + ((row * column) % 3)) % 2,
];

/** The code of a text as rows of booleans. Throws a RangeError when it is too long. */
export function matrixOf(text) {
  const { version, codewords } = codewordsOf(text);
  const choices = MASKS.map((_, mask) => drawn(version, codewords, mask));
  return choices.reduce((best, other) => (penalty(other) < penalty(best) ? other : best));
}

function drawn(version, codewords, mask) {
  const size = 17 + 4 * version;
  const dark = Array.from({ length: size }, () => Array(size).fill(false));
  const fixed = Array.from({ length: size }, () => Array(size).fill(false));
  const set = (row, column, is) => {
    if (row < 0 || column < 0 || row >= size || column >= size) return;
    dark[row][column] = Boolean(is);
    fixed[row][column] = true;
  };
  const square = (row, column, reach, isDark) => {
    for (let down = -reach; down <= reach; down += 1) {
      for (let right = -reach; right <= reach; right += 1) {
        set(row + down, column + right, isDark(Math.max(Math.abs(down), Math.abs(right))));
      }
    }
  };
  for (let at = 0; at < size; at += 1) {
    set(6, at, at % 2 === 0);
    set(at, 6, at % 2 === 0);
  }
  for (const [row, column] of [[3, 3], [3, size - 4], [size - 4, 3]]) square(row, column, 4, (ring) => ring !== 2 && ring !== 4);
  const middles = ALIGNED[version - 1];
  for (const row of middles) {
    for (const column of middles) {
      const atFinder = (row === 6 && (column === 6 || column === size - 7)) || (row === size - 7 && column === 6);
      if (!atFinder) square(row, column, 2, (ring) => ring !== 1);
    }
  }
  drawFormat(size, mask, set);
  if (version >= 7) drawVersion(size, version, set);
  drawData(dark, fixed, codewords, mask);
  return dark;
}

/** The remainder of a value behind `width` zero bits, by a binary polynomial of that degree. */
function checked(value, width, polynomial) {
  let rest = value;
  for (let at = 0; at < width; at += 1) rest = (rest << 1) ^ ((rest >> (width - 1)) * polynomial);
  return (value << width) | rest;
}

function drawFormat(size, mask, set) {
  const bits = checked((LEVEL << 3) | mask, 10, 0x537) ^ 0x5412;
  const bit = (at) => (bits >> at) & 1;
  for (let at = 0; at < 15; at += 1) {
    const down = at < 6 ? at : at < 8 ? at + 1 : size - 15 + at;
    const left = at < 8 ? size - 1 - at : at === 8 ? 7 : 14 - at;
    set(down, 8, bit(at));
    set(8, left, bit(at));
  }
  set(size - 8, 8, true);
}

function drawVersion(size, version, set) {
  const bits = checked(version, 12, 0x1f25);
  for (let at = 0; at < 18; at += 1) {
    const [far, near] = [size - 11 + (at % 3), Math.floor(at / 3)];
    set(far, near, (bits >> at) & 1);
    set(near, far, (bits >> at) & 1);
  }
}

/** Two columns at a time from the right, up and down in turn, around what is fixed. */
function drawData(dark, fixed, codewords, mask) {
  const size = dark.length;
  let at = 0;
  for (let right = size - 1; right >= 1; right -= 2) {
    if (right === 6) right = 5;
    for (let step = 0; step < size; step += 1) {
      const upward = ((right + 1) & 2) === 0;
      const row = upward ? size - 1 - step : step;
      for (const column of [right, right - 1]) {
        if (fixed[row][column]) continue;
        const bit = ((codewords[at >> 3] ?? 0) >> (7 - (at & 7))) & 1;
        dark[row][column] = Boolean(bit) !== (MASKS[mask](row, column) === 0);
        at += 1;
      }
    }
  }
}

/** How badly a code reads: long runs, blocks, what looks like a finder, and too much of one colour. */
function penalty(dark) {
  const size = dark.length;
  const lines = [...dark, ...dark.map((_, column) => dark.map((row) => row[column]))];
  let total = 0;
  for (const line of lines) {
    const text = line.map((is) => (is ? "1" : "0")).join("");
    for (const run of text.match(/0{5,}|1{5,}/g) ?? []) total += run.length - 2;
    total += 40 * (text.match(/(?=10111010000|00001011101)/g)?.length ?? 0);
  }
  for (let row = 1; row < size; row += 1) {
    for (let column = 1; column < size; column += 1) {
      const is = dark[row][column];
      if (is === dark[row - 1][column] && is === dark[row][column - 1] && is === dark[row - 1][column - 1]) total += 3;
    }
  }
  const share = dark.flat().filter(Boolean).length / (size * size);
  return total + 10 * Math.floor(Math.abs(share - 0.5) * 20);
}
