// Board time from samples, without a browser: clocks are plain numbers here.
import assert from "node:assert/strict";
import test from "node:test";
import { bestSample, BoardClock } from "../../static/js/time/board_clock.js";

const BOARD = 1_800_000_000_000;

function fixture({ rate = 1, wallWrong = 0 } = {}) {
  const time = { mono: 1_000, slept: 0, away: false };
  const clock = new BoardClock({
    rate,
    away: () => time.away,
    mono: () => time.mono,
    wall: () => BOARD + wallWrong + time.mono + time.slept,
  });
  return { clock, time };
}

test("least delay wins; of equals the one that was least late", () => {
  assert.equal(bestSample([]), null);
  assert.equal(bestSample([{ delay: 5, offset: 1 }, { delay: 2, offset: 9 }]).offset, 9);
  assert.equal(bestSample([{ delay: 5, offset: 1 }, { delay: 5, offset: 3 }, { delay: 5, offset: 2 }]).offset, 3);
});

test("a phone whose clock is hours off is right after one answer", () => {
  const { clock, time } = fixture({ wallWrong: -3 * 3_600_000 });
  const mark = clock.mark();
  time.mono += 100;
  clock.answered(mark, BOARD + 1_050);
  assert.equal(clock.now(), BOARD + 1_100);
  assert.ok(clock.error() <= 51);
});

test("a slow answer does not spoil a good one", () => {
  const { clock, time } = fixture();
  clock.answered(time.mono, BOARD + time.mono);
  const mark = clock.mark();
  time.mono += 4_000;
  clock.answered(mark, BOARD + time.mono - 3_900);
  assert.ok(Math.abs(clock.now() - (BOARD + time.mono)) < 5);
});

test("the best of the last eight: an old sample goes in the end", () => {
  const { clock, time } = fixture();
  clock.answered(time.mono, BOARD + 77_000 + time.mono);
  for (let at = 0; at < 8; at += 1) {
    time.mono += 5_000;
    clock.heard(BOARD + time.mono - 20);
  }
  assert.ok(Math.abs(clock.now() - (BOARD + time.mono)) <= 20);
});

test("a monotonic clock that slept is noticed, told, and healed by the next sample", () => {
  const { clock, time } = fixture();
  clock.answered(time.mono, BOARD + time.mono);
  time.slept = 600_000;
  time.away = true;
  assert.equal(clock.now(), BOARD + time.mono + 600_000);
  assert.ok(clock.error() > 500_000);
  clock.heard(BOARD + time.mono + 600_100);
  assert.equal(clock.now(), BOARD + time.mono + 600_100);
  assert.ok(clock.error() < 1_000);
});

test("a wall clock set in plain sight, hours on or back, moves nothing and is told until the next sample", () => {
  for (const hours of [13, -13]) {
    const { clock, time } = fixture();
    clock.answered(time.mono, BOARD + time.mono);
    const began = clock.elapsed();
    time.slept = hours * 3_600_000;
    time.mono += 2_000;
    assert.equal(clock.now(), BOARD + time.mono);
    assert.equal(clock.elapsed(), began + 2_000);
    assert.ok(clock.error() > 3_600_000);
    assert.equal(clock.jumps, 1);
    clock.heard(BOARD + time.mono);
    assert.ok(clock.error() < 1_000);
  }
});

test("four timestamps: what the board needed for itself is no error", () => {
  const { clock, time } = fixture();
  const mark = clock.mark();
  time.mono += 5_100;
  // 40 ms there, 5 s in the board, 60 ms back.
  clock.answered(mark, BOARD + 6_040, BOARD + 1_040);
  assert.ok(Math.abs(clock.now() - (BOARD + time.mono)) <= 10, String(clock.now() - BOARD - time.mono));
  assert.ok(clock.error() <= 51);
});

test("a wall clock set back changes nothing", () => {
  const { clock, time } = fixture();
  clock.answered(time.mono, BOARD + time.mono);
  time.slept = -3_600_000;
  assert.equal(clock.now(), BOARD + time.mono);
});

test("a drill runs at the board's rate", () => {
  const { clock, time } = fixture();
  clock.heard(BOARD, 20);
  time.mono += 3_000;
  assert.equal(clock.now(), BOARD + 60_000);
});

test("a board whose clock was set forward is believed at the next message, one set back at the next answer", () => {
  const { clock, time } = fixture();
  clock.answered(clock.mark(), BOARD + time.mono);
  time.mono += 5_000;
  clock.heard(BOARD + time.mono + 600_000);
  assert.ok(Math.abs(clock.now() - (BOARD + time.mono + 600_000)) < 1_500);
  time.mono += 5_000;
  clock.heard(BOARD + time.mono);
  assert.ok(clock.now() > BOARD + time.mono + 500_000, "a message may merely be late");
  clock.answered(clock.mark(), BOARD + time.mono);
  assert.ok(Math.abs(clock.now() - (BOARD + time.mono)) < 1_500);
});
