// Asks the board for its time: three times when the page opens or comes back, then once a minute.
//
// GET /time gives when the question came and when the answer left; with the page's own two moments that is four
// timestamps for the board clock (time/board_clock.js). Emits nothing.

import { onReturn, page } from "../page.js";

const BURST = 3;
const APART = 300;
const EVERY = 60_000;
const TIMEOUT = 4_000;

export function startSync(clock) {
  let left = 0;
  let asking = false;
  const ask = async () => {
    if (asking || document.hidden) return;
    asking = true;
    await sample(clock);
    asking = false;
    left -= 1;
    if (left > 0) setTimeout(ask, APART);
  };
  const burst = () => {
    left = BURST;
    ask();
  };
  onReturn(burst);
  setInterval(ask, EVERY);
  burst();
}

async function sample(clock) {
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), TIMEOUT);
  const mark = clock.mark();
  try {
    const answer = await fetch("/time", { cache: "no-store", redirect: "manual", signal: abort.signal });
    const { board, received, sent } = await answer.json();
    // A page of something in between tells another time than the board.
    if (answer.ok && board === page.board) clock.answered(mark, Date.parse(sent), Date.parse(received));
  } catch {
    // Out of range: the clock goes on with what it has.
  } finally {
    clearTimeout(timer);
  }
}
