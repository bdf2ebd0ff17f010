// Which duties call now, in what words, and whether it is time for a sound. Pure.
//
// A duty is {key, severity: "critical"|"high"|"medium"|"low", due, quiet, words, casualty}; times in ms of board time,
// `quiet` 0 where nobody has seen it. Emits nothing.
//
// The budget is our own choice; that floods of alarms are ignored is what EEMUA 191 and ISA-18.2 are about (from memory).

const RANK = { critical: 3, high: 2, medium: 1 };
/** Never two sounds within this. */
const GAP = 10_000;
/** What nobody has seen calls again after this. */
const AGAIN = 60_000;
const HOUR = 3_600_000;
/** Sounds an hour for each ten casualties, critical ones not counted. */
const BUDGET = 6;
/** From so many on they are told in one line. */
const MANY = 4;

/** How bad a duty is now: what waiting makes of it counts. */
export function severityAt({ severity, worse, worseAt }, now) {
  return worseAt && worseAt <= now && (RANK[worse] ?? 0) > (RANK[severity] ?? 0) ? worse : severity;
}

/** The duties that call: due, not quiet, and not mere notes; the worst first, then the longest overdue. */
export function calling(duties, now) {
  return duties
    .filter((duty) => RANK[duty.severity] && duty.due <= now && !(duty.quiet > now))
    .sort((one, other) => RANK[other.severity] - RANK[one.severity] || one.due - other.due);
}

/** What is worth calling about: what can wait calls only while it is little and nothing worse does. */
export function loudest(active) {
  const loud = active.filter((duty) => duty.severity !== "medium");
  return loud.length > 0 || active.length >= MANY ? loud : active;
}

/** What the strip says. */
export function lineOf(active) {
  if (active.length === 0) return "";
  if (active.length >= MANY) return `${active.length} overdue. First: ${active[0].words}`;
  return active.map((duty) => duty.words).join(" · ");
}

/** What was heard so far: nothing. */
export const silence = () => ({ heard: {}, last: -Infinity, spent: [] });

/**
 * Whether to sound now: {level, memory}, level null for not now. `memory` is what was heard before; what calls no more is
 * forgotten, so that it is new when it comes back.
 */
export function soundNow(active, memory, now, casualties = 10) {
  const heard = Object.fromEntries(Object.entries(memory.heard).filter(([key]) => active.some((duty) => duty.key === key)));
  const spent = memory.spent.filter((at) => now - at < HOUR);
  const rest = { heard, last: memory.last, spent };
  const wanted = active.filter((duty) => now - (heard[duty.key] ?? -Infinity) >= AGAIN);
  if (wanted.length === 0 || now - memory.last < GAP) return { level: null, memory: rest };
  const level = wanted[0].severity;
  const budget = BUDGET * Math.max(1, casualties / 10);
  if (level !== "critical" && spent.length >= budget) return { level: null, memory: rest };
  for (const duty of wanted) heard[duty.key] = now;
  return { level, memory: { heard, last: now, spent: level === "critical" ? spent : [...spent, now] } };
}
