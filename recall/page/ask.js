// ask: a cord that is dragged by mouse or pen from jack to jack of the room's own bay
// asks what it would do; nothing is told to the room until somebody says that it is so.
// A plug that is dragged off the bays asks what it would do if it were out. A finger
// scrolls the bay: it touches a jack, and asks from there.

import { go } from "./follow.js";
import { draw, ends, hang } from "./cord.js";

const far = 6; // pixels from which a press is a drag

const held = new Set(["in", "going", "changing"]); // states of a jack with a plug in it
let from = null;
let dragged = false;

const here = () => location.pathname === "/";
const jackOf = (target) => target?.closest?.("#bays a[data-jack]");

function pressed(event) {
  dragged = false;
  const jack = here() && !event.button && event.pointerType !== "touch" && jackOf(event.target);
  from = jack ? { jack: jack.dataset.jack, other: jack.dataset.other, held: held.has(jack.dataset.state), x: event.clientX, y: event.clientY } : null;
}

function moved(event) {
  if (!from || (!dragged && Math.hypot(event.clientX - from.x, event.clientY - from.y) < far)) return;
  dragged = true;
  // A plug that is in moves, and its cord is drawn from the end that stays.
  draw([ends(from.other || from.jack), { x: event.clientX, y: event.clientY }]);
}

function released(event) {
  const began = from;
  from = null;
  if (!began || !dragged) return;
  setTimeout(() => (dragged = false)); // after the click that comes with it
  const under = document.elementFromPoint(event.clientX, event.clientY);
  const onto = jackOf(under)?.dataset.jack;
  hang();
  if (onto === began.jack) return;
  if (!onto && began.held && !under?.closest("#bays .panel")) go(`/?hand=if&from=${began.jack}&out=yes`, "entering");
  if (!onto) return;
  go(`/?hand=if&from=${began.jack}&to=${onto}`, "entering");
}

export function watchAsking() {
  document.addEventListener("pointerdown", pressed);
  document.addEventListener("pointermove", moved);
  document.addEventListener("pointerup", released);
  document.addEventListener("pointercancel", () => {
    from = null;
    hang();
  });
  document.addEventListener("dragstart", (event) => here() && jackOf(event.target) && event.preventDefault());
  document.addEventListener("click", (event) => dragged && here() && jackOf(event.target) && (event.preventDefault(), event.stopPropagation()), { capture: true });
}
