// The SharedWorker (a module) that owns the one live stream of all tabs of this device.
//
// Started by share.js. A tab's port says {type: "join", views, seq, fresh} | {type: "ping"} | {type: "leave"}; it gets
// {type: "ready"} once, and then every message of the stream.

import { Hub } from "./hub.js";

const hub = new Hub();
let ports = 0;

globalThis.onconnect = ({ ports: [port] }) => {
  ports += 1;
  const id = ports;
  let wanted = null;
  const send = (message) => port.postMessage(message);
  port.onmessage = ({ data }) => {
    if (data.type === "join") {
      wanted = data;
      hub.join(id, data, send);
    }
    if (data.type === "leave") {
      wanted = null;
      hub.leave(id);
    }
    // Swept away while its timers slept: take it in again.
    if (data.type === "ping" && !hub.ping(id) && wanted) hub.join(id, { ...wanted, seq: data.seq, fresh: true }, send);
  };
  send({ type: "ready" });
};
