// bays: touching jacks and going from one to the next by the arrow keys. The one
// link of a bay that the tab key reaches is the one that was used last.

import { go, room } from "./follow.js";
import { tell } from "./say.js";

// bringIntoView scrolls the pictures, never the page, to the jacks of the next
// move.
export function bringIntoView() {
  for (const scroll of document.querySelectorAll(".bay .scroll, .matrix .scroll")) {
    const jacks = [...scroll.querySelectorAll(".jack.now, td.now")].map((j) => j.getBoundingClientRect());
    if (jacks.length === 0) continue;
    const left = Math.min(...jacks.map((r) => r.left));
    const right = Math.max(...jacks.map((r) => r.right));
    const box = scroll.getBoundingClientRect();
    if (left >= box.left && right <= box.right) continue;
    // Where both ends do not fit, the first one is shown.
    const wide = right - left > box.width - 40;
    scroll.scrollLeft += wide ? left - box.left - 20 : (left + right) / 2 - (box.left + box.right) / 2;
  }
}

// twice is true for the second tap of two on one jack, with nothing between: it is no
// second act. A finger that is not sure taps again, and a worn button bounces.
const sameTap = 350; // milliseconds
const nowhere = { jack: "", at: -sameTap };
let tapped = nowhere;
export function twice(jack) {
  const at = performance.now();
  const again = jack === tapped.jack && at - tapped.at < sameTap;
  tapped = jack ? { jack, at } : nowhere;
  return again;
}

// enter says that a cord or plug is between the jack before and this one: the
// second of two touches.
let entering = null;
async function enter(jack) {
  const { hand, from } = room().dataset;
  const cancel = document.getElementById("cancel").getAttribute("href");
  const taken = await tell(new URLSearchParams({ do: hand, a: from, b: jack }));
  await go(taken ? cancel : location.pathname + location.search, taken ? "next" : "entering");
  entering = null;
}

function clicked(event) {
  if (event.defaultPrevented || event.button || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const link = event.target.closest("a[href]");
  const address = link?.getAttribute("href") ?? "";
  if (location.pathname !== "/" || !(address === "/" || address.startsWith("/?"))) return;
  if (link.closest("nav")) return;
  event.preventDefault();
  const jack = link.dataset.jack;
  if (twice(jack)) return;
  if (jack && room().dataset.from && room().dataset.hand !== "if") {
    entering ??= enter(jack); // until the room has answered, no other end is meant
    return;
  }
  const query = new URLSearchParams(address.slice(2));
  const back = link.id === "close" || link.id === "cancel" ? cameFrom() : null;
  go(address, query.has("at") ? "touched" : query.has("hand") ? "entering" : back ?? link.id);
}

// cameFrom is where the keyboard was before a point was touched, or a cord begun:
// at that jack, or at that number of a matrix.
export function cameFrom() {
  const asked = new URLSearchParams(location.search);
  const point = document.querySelector("a.jack.chosen")?.dataset.jack ?? asked.get("at") ?? asked.get("from");
  if (!point) return "else";
  const at = CSS.escape(point);
  return `a[data-jack="${at}"], a[data-cross^="${at}"], .points a[href$="at=${at}"]`;
}

// step is the jack that an arrow key leads to.
function step(key, jacks, at) {
  switch (key) {
    case "ArrowRight": return at + 2;
    case "ArrowLeft": return at - 2;
    case "ArrowDown": return at % 2 === 0 ? at + 1 : at;
    case "ArrowUp": return at % 2 === 1 ? at - 1 : at;
    case "Home": return at % 2;
    case "End": return jacks.length - 2 + (at % 2);
  }
  return -1;
}

function pressed(event) {
  if (event.key === "Escape") {
    twice(null);
    const close = document.getElementById("close") ?? document.getElementById("cancel");
    if (close) go(close.getAttribute("href"), cameFrom());
    return;
  }
  const jack = event.target.closest?.("a.jack");
  if (!jack || event.altKey || event.ctrlKey || event.metaKey) return;
  const jacks = [...jack.closest("svg").querySelectorAll("a.jack")];
  const to = jacks[step(event.key, jacks, jacks.indexOf(jack))];
  if (!to) return;
  event.preventDefault();
  jack.setAttribute("tabindex", "-1");
  to.removeAttribute("tabindex");
  to.focus();
}

export function watchBays() {
  document.addEventListener("click", clicked);
  document.addEventListener("keydown", pressed);
  document.addEventListener("shown", ({ detail }) => detail.moved && bringIntoView());
}
