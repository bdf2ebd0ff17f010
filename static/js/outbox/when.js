// When a tap happened, for a phone that did not know the board's time when it was made. Pure.
//
// A tap remembers the wall clock (`wall`), the clock of its page's life (`elapsed`, and `session`, which names that life),
// and how often the two had parted (`jumps`). Its age, counted back from a good board time, places it.

/** A tap made with a worse clock than this (ms) is not sure of its time. */
export const POOR_CLOCK = 5_000;
const GOOD_CLOCK = 2_000;

/** Whether a tap made with this clock error has to be told as "about"; null is what some stores make of Infinity. */
export const isUnsure = (clockError) => clockError === null || !(clockError <= POOR_CLOCK);

/**
 * The item with its time settled, or the item itself. This happens once, before the first send, and a changed item must
 * be stored before it leaves: the same id must never carry two contents. In the page it was tapped in, the page's own
 * clock gives the age; after that only the wall clock can, which may have been set meanwhile: the time stays unsure.
 */
export function timed(item, { now, error, wall, elapsed, session, jumps }) {
  if (item.time_settled || !isUnsure(item.clock_error)) return item;
  if (error > GOOD_CLOCK) return { ...item, time_settled: true };
  const same = item.session !== undefined && item.session === session;
  const age = same ? elapsed - item.elapsed : wall - item.wall;
  const shift = Math.round(now - age - item.made_at);
  const happened = new Date(Date.parse(item.happened_at) + shift).toISOString();
  const unsure = !(same && jumps === item.jumps);
  return { ...item, happened_at: happened, made_at: item.made_at + shift, unsure, time_settled: true };
}
