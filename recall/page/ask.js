// ask: a cord that is dragged from jack to jack of the room's own bay asks what it would
// do; nothing is told to the room until somebody says that it is so. A plug that is
// dragged off the bays asks what it would do if it were out. A finger scrolls the bay;
// one that stays on a jack for a moment has the cord in hand, and drags it as a mouse.

import { go } from "./follow.js";
import { draw, ends, hang } from "./cord.js";

const far = 6; // pixels from which a press is a drag
const rests = 400; // milliseconds after which a finger has the cord in hand
const rolls = 16; // pixels that a finger which rests may roll

const held = new Set(["in", "going", "changing"]); // states of a jack with a plug in it
let from = null;
let dragged = false; // until the next press: the click of a finger comes some time after it was lifted
let resting = null; // until a finger has rested long enough

const here = () => location.pathname === "/";
const jackOf = (target) => target?.closest?.("#bays a[data-jack]");
const away = (event) => Math.hypot(event.clientX - from.x, event.clientY - from.y);

function pressed(event) {
  letGo();
  dragged = false;
  const jack = here() && !event.button && event.isPrimary && jackOf(event.target);
  if (!jack) return;
  const finger = event.pointerType === "touch";
  from = { jack: jack.dataset.jack, other: jack.dataset.other, held: held.has(jack.dataset.state), x: event.clientX, y: event.clientY, inHand: !finger };
  if (finger) resting = setTimeout(takeUp, rests);
}

// takeUp has a finger take the cord in hand, which is seen and felt.
function takeUp() {
  from.inHand = dragged = true;
  if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(20);
  draw([ends(from.other || from.jack), { x: from.x, y: from.y - 40 }]);
}

function letGo() {
  clearTimeout(resting);
  from = null;
}

function moved(event) {
  if (!from || !event.isPrimary) return;
  if (!from.inHand) {
    if (away(event) > rolls) letGo(); // it scrolls
    return;
  }
  if (!dragged && away(event) < far) return;
  dragged = true;
  // A plug that is in moves, and its cord is drawn from the end that stays.
  draw([ends(from.other || from.jack), { x: event.clientX, y: event.clientY }]);
}

function released(event) {
  const began = from;
  letGo();
  if (!began || !dragged) return;
  const finger = event.pointerType === "touch";
  const under = document.elementFromPoint(event.clientX, event.clientY);
  // A finger that did not move asks from its jack, wherever a view that came since has put it.
  const stayed = finger && Math.hypot(event.clientX - began.x, event.clientY - began.y) <= rolls;
  const onto = stayed ? began.jack : jackOf(under)?.dataset.jack;
  hang();
  if (onto === began.jack && finger) go(`/?hand=if&from=${onto}`, "entering");
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
    letGo();
    hang();
  });
  // With a cord in its hand a finger does not scroll, and asks for no menu of a link.
  document.addEventListener("touchmove", (event) => here() && from?.inHand && event.cancelable && event.preventDefault(), { passive: false });
  document.addEventListener("contextmenu", (event) => from && event.pointerType === "touch" && event.preventDefault());
  document.addEventListener("dragstart", (event) => here() && jackOf(event.target) && event.preventDefault());
  document.addEventListener("click", (event) => dragged && event.detail && here() && jackOf(event.target) && (event.preventDefault(), event.stopPropagation()), { capture: true });
}
