// One stream for many tabs: when it is opened anew, for which views, from which seq.
import assert from "node:assert/strict";
import test from "node:test";
import { Hub } from "../../static/js/live/hub.js";

class FakeStream {
  views = [];
  hello = null;
  opened = [];
  closed = 0;

  constructor(emit) {
    this.emit = emit;
  }

  open(views, since) {
    this.views = [...views];
    this.opened.push({ views: this.views.join(","), since: since() });
  }

  close() {
    this.views = [];
    this.closed += 1;
  }
}

function fixture() {
  let stream;
  const hub = new Hub((emit) => {
    stream = new FakeStream(emit);
    return stream;
  });
  clearInterval(hub.sweeper);
  const got = { a: [], b: [] };
  const join = (id, views, seq, fresh) => hub.join(id, { views, seq, fresh }, (message) => got[id].push(message));
  return { hub, stream, got, join };
}

test("the second tab with the same view rides along; its hello carries no old time", () => {
  const { stream, got, join } = fixture();
  join("a", ["board"], 5);
  stream.hello = { board: "x", now: "old", seq: 5 };
  join("b", ["board"], 6);
  assert.deepEqual(stream.opened, [{ views: "board", since: 5 }]);
  assert.deepEqual(got.b, [{ type: "hello", board: "x", now: null, seq: 5 }]);
  stream.emit({ type: "parts", seq: 7, parts: [] });
  assert.equal(got.a.length, 1);
  assert.equal(got.b.length, 2);
});

test("another view, an older page or a distrustful tab open the stream anew from the smallest seq", () => {
  const { stream, join } = fixture();
  join("a", ["board"], 5);
  stream.emit({ type: "parts", seq: 9, parts: [] });
  join("b", ["next"], 8);
  assert.deepEqual(stream.opened.at(-1), { views: "board,next", since: 8 });
  stream.emit({ type: "parts", seq: 12, parts: [] });
  join("b", ["next"], 10);
  assert.deepEqual(stream.opened.at(-1), { views: "board,next", since: 10 });
  join("a", ["board"], 12, true);
  assert.equal(stream.opened.length, 4);
});

test("the last one to leave closes the stream; a tab that was swept away is told so by its ping", () => {
  const { hub, stream, join } = fixture();
  join("a", ["board"], 1);
  join("b", ["board"], 1);
  hub.leave("a");
  assert.equal(stream.closed, 0);
  assert.equal(hub.ping("a"), false);
  assert.equal(hub.ping("b"), true);
  hub.leave("b");
  assert.equal(stream.closed, 1);
});
