// The outbox as a pure state machine: what waits, what to send next, and what an answer of the board means.
//
// No DOM, no storage, no clock, no randomness. Items are plain objects and are never changed in place:
//   {n, id, about, fact, happened_at, based_on, casualty, said, made_at, clock_error, wall, state, attempts, seq, problem}
// `state` is waiting | sending | receipted | parked. Promises: facts leave in the order of `n`; nothing but the
// board's own receipt takes a fact out of the queue; a parked fact never holds up those behind it.

export const WAITING = "waiting";
export const SENDING = "sending";
export const RECEIPTED = "receipted";
export const PARKED = "parked";

/** What one POST may carry. The board takes 64 kB and so does a keepalive request; stay below. */
export const BATCH_FACTS = 50;
export const BATCH_BYTES = 60_000;

const BACKOFF = [500, 1_000, 2_000, 4_000, 8_000, 15_000];
const LONGEST_RETRY_AFTER = 60_000;
/** A tap made with a worse clock than this (ms) gets its time corrected, once, before it is first sent. */
const POOR_CLOCK = 5_000;
const GOOD_CLOCK = 2_000;

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

/** What the journal gets of an item. */
export function wire({ id, about, happened_at, based_on, fact }) {
  return { id, about, happened_at, based_on, fact };
}

/** The facts to send next: the oldest unsent ones, as many as fit. One fact is always taken, however large. */
export function nextBatch(items, most = BATCH_FACTS, bytes = BATCH_BYTES) {
  const batch = [];
  let size = 200;
  for (const item of inOrder(items).filter(isUnsent)) {
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

/**
 * What an answer to a batch means.
 *
 * `answer` is {status, type, text, retryAfter}, or null when there was none. Gives {outcome, items, now, wait}:
 * `items` are the items of the batch that changed; outcome is
 *   "receipts" (at least one fact is settled), "smaller" (halve the batch), "join" (the session is gone),
 *   "storage" (the board cannot write), or "retry". Hotel log-in pages, proxies and half answers are all "retry".
 */
export function readAnswer(batch, answer, board) {
  if (!answer) return { outcome: "retry", items: [] };
  const { status } = answer;
  const wait = retryAfter(answer.retryAfter);
  if (status === 200) return readReceipts(batch, answer, board);
  if (status === 401 || status === 403) return { outcome: "join", items: [] };
  if (status === 507) return { outcome: "storage", items: [], wait };
  if (status === 413) return refused(batch, { title: "This report is too large for the board", status });
  if (status === 400 || status === 422) {
    const problem = parseObject(answer, "application/problem+json");
    if (problem && problem.status === status) return refused(batch, problem);
  }
  return { outcome: "retry", items: [], wait };
}

/** The words that explain a problem to the person. */
export function problemWords(problem) {
  return problem?.detail || problem?.title || "the board could not take it";
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

/**
 * The item with its time settled, or the item itself. A tap made while the phone did not yet know the board's time
 * is placed by its age on the wall clock. This happens once, before the first send, and a changed item must be stored
 * before it leaves: the same id must never carry two contents.
 */
export function timed(item, { now, error, wall }) {
  if (item.time_settled || !(item.clock_error > POOR_CLOCK)) return item;
  if (error > GOOD_CLOCK) return { ...item, time_settled: true };
  const shift = Math.round(now - (wall - item.wall) - item.made_at);
  const happened = new Date(Date.parse(item.happened_at) + shift).toISOString();
  return { ...item, happened_at: happened, made_at: item.made_at + shift, time_settled: true };
}

/** What a casualty first met on this phone is called: a letter, until the board has given the number. */
export function calledNumber(items, casualty) {
  const met = inOrder(items).filter((item) => item.fact.kind.startsWith("casualty.registered/"));
  const at = met.findIndex((item) => item.about.casualty === casualty);
  if (met[at]?.number) return String(met[at].number);
  return String.fromCharCode(65 + ((at < 0 ? met.length : at) % 26));
}

function readReceipts(batch, answer, board) {
  const body = parseObject(answer, "application/json");
  if (!body || body.board !== board || !Array.isArray(body.receipts)) return { outcome: "retry", items: [] };
  const items = [];
  for (const item of batch) {
    const receipt = body.receipts.find((candidate) => candidate?.id === item.id);
    const settled = receipt && settle(item, receipt);
    if (settled) items.push(settled);
  }
  return { outcome: items.length > 0 ? "receipts" : "retry", items, now: Date.parse(body.now) };
}

function settle(item, receipt) {
  if (Number.isSafeInteger(receipt.seq) && receipt.seq > 0) {
    const { seq, number = null, happened_at = item.happened_at } = receipt;
    return { ...item, state: RECEIPTED, seq, number, problem: null, happened_at };
  }
  const { problem } = receipt;
  if (!problem || typeof problem !== "object") return null;
  // The board being unwell or busy says nothing about the fact: keep it in the queue.
  const passing = problem.status >= 500 || problem.status === 429;
  return passing ? null : { ...item, state: PARKED, problem };
}

// A whole batch refused: find the culprit by halving, and park it once it stands alone.
function refused(batch, problem) {
  if (batch.length > 1) return { outcome: "smaller", items: [] };
  return { outcome: "receipts", items: batch.map((item) => ({ ...item, state: PARKED, problem })) };
}

function parseObject({ type, text }, wanted) {
  if (!(type ?? "").toLowerCase().startsWith(wanted)) return null;
  try {
    const value = JSON.parse(text);
    return value && typeof value === "object" ? value : null;
  } catch {
    return null;
  }
}

function retryAfter(seconds) {
  const millis = Number(seconds) * 1_000;
  return millis > 0 ? Math.min(millis, LONGEST_RETRY_AFTER) : undefined;
}

function bytesOf(text) {
  let bytes = 0;
  for (const letter of text) {
    const code = letter.codePointAt(0);
    bytes += code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
  }
  return bytes;
}
