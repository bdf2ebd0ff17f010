// The entry of every page: starts those modules whose data- hooks are on it, and joins them to each other.
//
// The only module with side effects at its top level. A module that fails to start takes no other with it.
// theme.js and whole.js run by themselves, in the head.

import { Alarms } from "./alarm/alarms.js";
import { Sound } from "./alarm/sound.js";
import { startAway } from "./away.js";
import { startCommand } from "./command.js";
import { startDock } from "./dock.js";
import { startGo } from "./go.js";
import { startHands } from "./hands.js";
import { startJoin } from "./join.js";
import { Heads } from "./live/heads.js";
import { Link } from "./live/link.js";
import { startAloud } from "./outbox/aloud.js";
import { List } from "./outbox/list.js";
import { MetHere } from "./outbox/met_here.js";
import { startNumbers } from "./outbox/numbers.js";
import { Outbox } from "./outbox/outbox.js";
import { Pill } from "./outbox/pill.js";
import { Sender } from "./outbox/sender.js";
import { Waiting } from "./outbox/waiting.js";
import { startOwn } from "./own.js";
import { page, wasAway } from "./page.js";
import { startPeople } from "./people.js";
import { startPrint } from "./print.js";
import { startPromote } from "./promote.js";
import { startChips } from "./report/chips.js";
import { Forms } from "./report/form.js";
import { startGuard } from "./report/guard.js";
import { startHold } from "./report/hold.js";
import { startLeft } from "./report/left.js";
import { startOthers } from "./report/others.js";
import { startOdd } from "./report/odd.js";
import { startOutline } from "./report/outline.js";
import { startPace } from "./report/pace.js";
import { startRefill } from "./report/refill.js";
import { startHandOver } from "./report/hand_over.js";
import { Reporter } from "./report/report.js";
import { startStepper } from "./report/stepper.js";
import { startViews } from "./report/views.js";
import { startReversal } from "./reversal.js";
import { startRevoke } from "./revoke.js";
import { startSeen } from "./seen.js";
import { BoardClock } from "./time/board_clock.js";
import { startSync } from "./time/sync.js";
import { startTick } from "./time/tick.js";
import { startTremble } from "./tremble.js";
import { Assessment } from "./triage/assess.js";
import { Call } from "./triage/call.js";
import { startCounted } from "./triage/counted.js";
import { startCounters } from "./triage/counter.js";
import { startSaveRecord } from "./save_record.js";
import { startWarnings } from "./warnings.js";
import { Keeper } from "./witness/keeper.js";
import { forgetRemoved } from "./witness/removed.js";
import { startRestore } from "./witness/restore.js";

const has = (selector) => document.querySelector(selector) !== null;

function attempt(start) {
  try {
    start();
  } catch (error) {
    console.error(error);
  }
}

const clock = new BoardClock({ board: page.board, rate: page.rate, renderedAt: page.renderedAt, away: wasAway });

attempt(startHands);
attempt(startTremble);
if (has(".dock")) attempt(startDock);
attempt(() => startTick(clock));
// Before the views: the first view may be one of theirs.
if (has("[data-hold-view]")) attempt(() => startHold(clock));
if (has("[data-view-name]")) attempt(startViews);
if (has("[data-join-form]")) attempt(startJoin);
if (has("[data-print]")) attempt(startPrint);
if (has("[data-promote]")) attempt(startPromote);
if (has("[data-warnings-seen]")) attempt(startWarnings);
if (has("[data-save-record]")) attempt(startSaveRecord);
if (has("[data-removed]")) forgetRemoved().catch((error) => console.error(error));
if (has("[data-revoke]")) attempt(startRevoke);
if (has("[data-reversal], [data-renew-code]")) attempt(() => startReversal(clock));
if (has("[data-made-of-notices]")) attempt(startCommand);
if (page.device) attempt(startOwn);
if (page.device) attempt(startGo);
if (has("[data-gone-quiet]")) attempt(() => startPeople(clock));
if (page.device) attempt(() => startSync(clock));
if (has("[data-away]")) attempt(() => startAway(clock));
if (has("[data-changes]")) attempt(() => startSeen(clock));
if (has("[data-restore]")) attempt(startRestore);
if (page.board) attempt(startReporting);

function startReporting() {
  const outbox = new Outbox(clock);
  const reporter = new Reporter(outbox, clock);
  attempt(() => reporter.start());
  attempt(() => new Sender(outbox, clock).start());
  const list = new List(outbox, clock);
  attempt(() => list.start());
  attempt(() => new Pill(outbox, clock, list).start());
  if (has("dialog[data-outbox-list]")) attempt(() => startAloud(outbox, clock));
  attempt(() => new Waiting(outbox, clock).start());
  if (has("[data-view-name]")) attempt(() => startNumbers(outbox));
  if (has("[data-guard]") && page.role !== "lead") attempt(() => startGuard(outbox, clock));
  if (has("[data-met]")) attempt(() => new MetHere(outbox).start());
  if (has("[data-form-odd]")) attempt(startOdd);
  if (has("[data-report-form]")) attempt(() => new Forms(outbox, clock, reporter).start());
  if (has("[data-view-name=hand-over]")) attempt(() => startHandOver(reporter));
  if (has("[data-chips-for]")) attempt(startChips);
  if (has("[data-stepper]")) attempt(startStepper);
  if (has("[data-left-of]")) attempt(startLeft);
  if (has("[data-others]")) attempt(startOthers);
  if (has("[data-pace]")) attempt(startPace);
  if (has("[data-outline]")) attempt(startOutline);
  if (has("[data-counter]")) attempt(startCounters);
  if (has("[data-refill]")) attempt(startRefill);
  if (has("[data-counted-into]")) attempt(startCounted);
  for (const root of document.querySelectorAll("[data-call]")) attempt(() => new Call(root, outbox).start());
  for (const root of document.querySelectorAll("[data-triage]")) attempt(() => new Assessment(root, reporter, outbox).start());
  const sound = new Sound();
  if (has("[data-sound-toggle]")) attempt(() => sound.start());
  for (const strip of document.querySelectorAll("[data-alarms]")) attempt(() => new Alarms(strip, reporter, sound).start());
  attempt(() => new Heads(outbox).start());
  if (has("[data-record-kept]")) attempt(() => new Keeper().start());
  if (page.views.length > 0) attempt(() => new Link(clock, outbox).start());
}
// Forms that were sent off before this ran are sent now.
document.dispatchEvent(new CustomEvent("holdfast:started"));
