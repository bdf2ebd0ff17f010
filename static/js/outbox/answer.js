// What an answer of the board to a batch means. Pure.
//
// Promise: nothing but this board's own receipt, naming the fact, settles a fact.

import { PARKED, RECEIPTED } from "./core.js";

const LONGEST_RETRY_AFTER = 60_000;

/**
 * `answer` is {status, type, text, retryAfter}, or null when there was none. Gives {outcome, items, now, received, wait}:
 * `items` are the items of the batch that changed; `received` and `now` when the board got the question and answered it,
 * in board time; outcome is "receipts" (at least one fact is settled), "smaller" (halve the batch), "join" (the session
 * is gone), "storage" (the board cannot write), or "retry". Hotel log-in pages, proxies and half answers are all "retry".
 */
export function readAnswer(batch, answer, board) {
  if (!answer) return { outcome: "retry", items: [] };
  const { status } = answer;
  const wait = retryAfter(answer.retryAfter);
  if (status === 200) return readReceipts(batch, answer, board);
  // Another board in this one's place: joining it would not send a thing.
  if (status === 401 && (parseObject(answer, "application/problem+json")?.board ?? board) !== board) return { outcome: "retry", items: [] };
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

function readReceipts(batch, answer, board) {
  const body = parseObject(answer, "application/json");
  if (!body || body.board !== board || !Array.isArray(body.receipts)) return { outcome: "retry", items: [] };
  const items = [];
  for (const item of batch) {
    const receipt = body.receipts.find((candidate) => candidate?.id === item.id);
    const settled = receipt && settle(item, receipt);
    if (settled) items.push(settled);
  }
  const times = { now: Date.parse(body.now), received: Date.parse(body.received ?? body.now) };
  return { outcome: items.length > 0 ? "receipts" : "retry", items, ...times };
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
