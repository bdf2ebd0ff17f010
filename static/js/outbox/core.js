// The outbox as a pure state machine: what waits, and what to send next. What an answer means: answer.js; how a tap gets
// its time: when.js; how an item is stored: stored.js.
//
// No DOM, no storage, no clock, no randomness. Items are plain objects and are never changed in place:
//   {n, id, about, fact, happened_at, based_on, epoch, casualty, said, made_at, clock_error, wall, elapsed, session, jumps,
//    unsure, from, state, attempts, seq, problem}
// `state` is waiting | sending | receipted | parked | dropped; `storing` is true until it is on this phone's disk, and it
// is not sent before that. Promises: facts leave in the order of `n`; nothing but the
// board's own receipt takes a fact out of the queue; a parked fact never holds up those behind it.

export const WAITING = "waiting";
export const SENDING = "sending";
export const RECEIPTED = "receipted";
export const PARKED = "parked";
/** Given up by the person, or replaced by another one. It stays on the phone and can be sent all the same. */
export const DROPPED = "dropped";

/** What one POST may carry. The board takes 64 kB and so does a keepalive request; stay below. */
export const BATCH_FACTS = 50;
export const BATCH_BYTES = 60_000;

const BACKOFF = [500, 1_000, 2_000, 4_000, 8_000, 15_000];
/** Facts that found what others are about. */
const FOUNDING = /^(casualty\.registered|wound\.found|transport\.|destination\.)/;

/** Items in the order in which they were tapped; ids are UUIDv7, so they settle a tie between two tabs. */
export function inOrder(items) {
  return [...items].sort((a, b) => a.n - b.n || (a.id < b.id ? -1 : 1));
}

export const isUnsent = (item) => item.state === WAITING || item.state === SENDING;

/** Items as found in storage: a send that nobody lived to see answered is a send to repeat. */
export function restored(items) {
  return items.map((item) => (item.state === SENDING ? { ...item, state: WAITING } : item));
}

/** What the board took, to be sent again: the board's machine may have been lost with it. */
export function offeredAgain(items) {
  return items.filter((item) => item.state === RECEIPTED).map((item) => ({ ...item, state: WAITING }));
}

/**
 * What was refused because the board did not know what it is about, to be sent again now that something of that kind
 * has just been taken: `settled` are the items that changed. What is still unknown is parked again.
 */
export function revived(items, settled) {
  const founded = settled.some((item) => item.state === RECEIPTED && FOUNDING.test(item.fact.kind));
  const orphaned = (item) => item.state === PARKED && item.problem?.type?.endsWith("/refers-to-nothing");
  return founded ? items.filter(orphaned).map((item) => ({ ...item, state: WAITING, problem: null })) : [];
}

/**
 * A new item behind all others. Throws when the id is already known: one id is one fact. It remembers which letter it
 * was said under (`called`) where its casualty has no number yet.
 */
export function newItem(items, item) {
  if (items.some((other) => other.id === item.id)) throw new Error(`fact ${item.id} is already in the outbox`);
  const last = items.reduce((most, other) => Math.max(most, other.n), 0);
  const letter = calledNumber(items, item.casualty);
  const called = item.said?.includes(`${letter}:`) && /^[A-Z]$/.test(letter) ? letter : null;
  return { ...item, called, n: last + 1, state: WAITING, attempts: 0, seq: null, problem: null };
}

/**
 * The position a new report is based on, and the epoch it is of: {based_on, epoch}. One that mends another knows no more
 * than that one did when it was said: it neither outdoes nor loses to an answer that came meanwhile, and both stand until
 * somebody chooses.
 */
export function basis(items, mends, seen) {
  const { based_on, epoch = null } = items.find((item) => item.id === mends) ?? seen;
  return { based_on, epoch };
}

/** What the journal gets of an item. */
export function wire({ id, about, happened_at, based_on, epoch, fact, unsure }) {
  const report = { id, about, happened_at, based_on, fact };
  if (epoch) report.epoch = epoch;
  return unsure ? { ...report, time_unsure: true } : report;
}

/** The facts to send next: the oldest unsent ones, as many as fit. One fact is always taken, however large. */
export function nextBatch(items, most = BATCH_FACTS, bytes = BATCH_BYTES) {
  const batch = [];
  let size = 200;
  for (const item of inOrder(items).filter(isUnsent)) {
    // Those behind it wait too: facts leave in order.
    if (item.storing) break;
    const grown = size + bytesOf(JSON.stringify(wire(item))) + 1;
    if (batch.length > 0 && (batch.length >= most || grown > bytes)) break;
    batch.push(item);
    size = grown;
  }
  return batch;
}

/** Items as they are while their batch is under way. */
export function sending(batch) {
  return batch.map((item) => ({ ...item, state: SENDING, attempts: item.attempts + 1 }));
}

/** Items as they are after a send that proved nothing. */
export function unsettled(batch) {
  return batch.map((item) => (item.state === SENDING ? { ...item, state: WAITING } : item));
}

/** How long to wait before attempt number `failures` + 1, in ms: full jitter, for ever. */
export function backoff(failures, random) {
  return BACKOFF[Math.min(failures, BACKOFF.length - 1)] * random();
}

/** What the pill says: how many are only here, since when, and how many need a look. */
export function tally(items) {
  const unsent = items.filter(isUnsent);
  return {
    unsent: unsent.length,
    parked: items.filter((item) => item.state === PARKED).length,
    oldest: unsent.length === 0 ? null : Math.min(...unsent.map((item) => item.made_at)),
  };
}

/** What a casualty first met on this phone is called: a letter, until the board has given the number. */
export function calledNumber(items, casualty) {
  const met = inOrder(items).filter((item) => item.fact.kind.startsWith("casualty.registered/"));
  const at = met.findIndex((item) => item.about.casualty === casualty);
  if (met[at]?.number) return String(met[at].number);
  return String.fromCharCode(65 + ((at < 0 ? met.length : at) % 26));
}

/** How many bytes a text takes in UTF-8. */
export function bytesOf(text) {
  let bytes = 0;
  for (const letter of text) {
    const code = letter.codePointAt(0);
    bytes += code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
  }
  return bytes;
}
