// Whether to ask "is this 7?": pure.
//
// `asked` is {casualty, where, last, here, lastAt, now}: whom the report is about and where they were last seen, whom this
// phone reported on last, where that was and when (board time in ms). `sure` lists what was answered before:
// {casualty, where, at}.

/** After so long nobody knows where a helper is. Design choice. */
const LATELY = 30 * 60_000;
/** "Yes, this is 7" holds for so long. Design choice. */
const SURE_FOR = 60 * 60_000;

export function isElsewhere({ casualty, where, last, here, lastAt, now }, sure) {
  if (casualty === last || !where || !here || same(where, here)) return false;
  if (!(now - lastAt < LATELY)) return false;
  return !sure.some((one) => one.casualty === casualty && same(one.where, where) && now - one.at < SURE_FOR);
}

const same = (one, other) => one.trim().toLowerCase() === other.trim().toLowerCase();
