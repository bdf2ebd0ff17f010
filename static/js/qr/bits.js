// The codewords of a QR code: bytes in, data and error correction out. Pure.
//
// Byte mode, error correction level M, versions 1 to 10, after ISO/IEC 18004 (its tables and polynomials from memory;
// tests read every size back with a decoder of somebody else's). The text is UTF-8, as cameras take it.

/** For each version: error correction codewords in a block, and how many data codewords each block has. */
const BLOCKS = [
  [10, [16]], [16, [28]], [26, [44]], [18, [32, 32]], [24, [43, 43]], [16, [27, 27, 27, 27]], [18, [31, 31, 31, 31]],
  [22, [38, 38, 39, 39]], [22, [36, 36, 36, 37, 37]], [26, [43, 43, 43, 43, 44]],
];
const BYTE_MODE = 0b0100;
const PADDING = [0xec, 0x11];

/** The largest version made here; it holds 213 bytes. */
export const LARGEST = BLOCKS.length;

/** {version, codewords} of the smallest code that holds a text. Throws a RangeError when none does. */
export function codewordsOf(text) {
  const bytes = new TextEncoder().encode(text);
  for (let version = 1; version <= LARGEST; version += 1) {
    const [correction, sizes] = BLOCKS[version - 1];
    const room = sizes.reduce((sum, size) => sum + size, 0);
    const header = version < 10 ? 12 : 20;
    if (bytes.length * 8 + header > room * 8) continue;
    return { version, codewords: interleaved(dataOf(bytes, version, room), sizes, correction) };
  }
  throw new RangeError(`${bytes.length} bytes do not fit into one code`);
}

function dataOf(bytes, version, room) {
  const bits = [];
  const put = (value, width) => {
    for (let at = width - 1; at >= 0; at -= 1) bits.push((value >> at) & 1);
  };
  put(BYTE_MODE, 4);
  put(bytes.length, version < 10 ? 8 : 16);
  for (const byte of bytes) put(byte, 8);
  put(0, Math.min(4, room * 8 - bits.length));
  while (bits.length % 8 !== 0) bits.push(0);
  const data = [];
  for (let at = 0; at < bits.length; at += 8) data.push(bits.slice(at, at + 8).reduce((byte, bit) => (byte << 1) | bit, 0));
  for (let at = 0; data.length < room; at += 1) data.push(PADDING[at % 2]);
  return data;
}

/** Blocks are read across, so that a stain takes a little of each. */
function interleaved(data, sizes, correction) {
  let from = 0;
  const blocks = sizes.map((size) => data.slice(from, (from += size)));
  const corrections = blocks.map((block) => remainder(block, generator(correction)));
  return [...across(blocks), ...across(corrections)];
}

function across(blocks) {
  const longest = Math.max(...blocks.map((block) => block.length));
  const out = [];
  for (let at = 0; at < longest; at += 1) for (const block of blocks) if (at < block.length) out.push(block[at]);
  return out;
}

/** Multiplication in the field of 256 elements with the code's polynomial x⁸+x⁴+x³+x²+1. */
export function times(a, b) {
  let product = 0;
  for (let at = 7; at >= 0; at -= 1) {
    product = (product << 1) ^ ((product >> 7) * 0x11d);
    product ^= ((b >> at) & 1) * a;
  }
  return product;
}

/** (x − 1)(x − 2)(x − 4)…, highest power first, without its leading 1. */
function generator(degree) {
  let polynomial = [...Array(degree - 1).fill(0), 1];
  let root = 1;
  for (let step = 0; step < degree; step += 1) {
    polynomial = polynomial.map((factor, at) => times(factor, root) ^ (polynomial[at + 1] ?? 0));
    root = times(root, 2);
  }
  return polynomial;
}

function remainder(data, divisor) {
  let rest = Array(divisor.length).fill(0);
  for (const byte of data) {
    const factor = byte ^ rest[0];
    rest = [...rest.slice(1), 0].map((value, at) => value ^ times(divisor[at], factor));
  }
  return rest;
}
