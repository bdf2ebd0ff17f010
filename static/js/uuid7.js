// UUIDv7 (RFC 9562 §5.7) from getRandomValues: a page on plain HTTP has no crypto.randomUUID.
//
// Pure apart from the random bytes. Ids of one page rise strictly, so that sorting by id keeps the order of taps.

const COUNTER_MAX = 0xfff;
const COUNTER_START_MAX = 0x7ff;

let lastMillis = 0;
let counter = 0;

/** A new id. `millis` is the time to put in front; it may stand still or run backwards without harm. */
export function uuid7(millis = Date.now(), random = (bytes) => crypto.getRandomValues(bytes)) {
  const bytes = random(new Uint8Array(16));
  const now = Math.max(0, Math.floor(millis));
  if (now > lastMillis) {
    lastMillis = now;
    counter = ((bytes[6] << 8) | bytes[7]) & COUNTER_START_MAX;
  } else if (counter < COUNTER_MAX) {
    counter += 1;
  } else {
    lastMillis += 1;
    counter = 0;
  }
  let rest = lastMillis;
  for (let at = 5; at >= 0; at -= 1) {
    bytes[at] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes[6] = 0x70 | (counter >> 8);
  bytes[7] = counter & 0xff;
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}
