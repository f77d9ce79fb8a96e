// bench: hands on the practice copy. Every act is an address that the server
// answers with the bench as it is then; the bench itself stands in the address of
// the page. Cords are dragged by mouse, pen or finger, or go from the jack touched
// first to the one touched then. A finger scrolls a bay beside its jacks.

import { cameFrom, twice } from "./bays.js";
import { go, room } from "./follow.js";
import { draw, ends, wipe } from "./cord.js";

const here = () => location.pathname === "/bench";
// far is how many pixels a pointer goes before it is a drag; a finger that only
// taps rolls a little.
const far = (event) => (event.pointerType === "touch" ? 16 : 6);

// act adds an act to the bench as it stands.
function act(address, focus) {
  const asked = new URLSearchParams(address.split("?")[1]);
  const whole = new URLSearchParams(room().dataset.address.split("?")[1]);
  if (asked.get("do") === "begin" || asked.get("do") === "lesson") for (const key of [...whole.keys()]) whole.delete(key);
  for (const [key, value] of asked) whole.set(key, value);
  return go("/bench?" + whole, focus);
}

// hands is an act at one jack or between two.
const hands = (what, a, b) => act("/bench?" + new URLSearchParams(b ? { do: what, a, b } : { do: what, a }), null);

// focusAfter is where the keyboard goes after a link that goes itself.
function focusAfter(link) {
  if (link.closest(".lessons") || link.id === "lesson-next") return "lesson";
  if (link.id === "close") return cameFrom();
  return link.closest("#touched") ? "touched" : null;
}

const jackNamed = (jack) => document.querySelector(`a[data-jack="${CSS.escape(jack)}"]`);

function clicked(event) {
  if (!here() || event.defaultPrevented || event.button || event.ctrlKey || event.metaKey || event.shiftKey) return;
  // Where the page was renewed under a finger, the click is told of what is around.
  const link = event.target.closest("a[href]") ?? document.elementFromPoint(event.clientX, event.clientY)?.closest("a[data-jack]");
  const address = link?.getAttribute("href") ?? "";
  if (!address.startsWith("/bench?do=")) return;
  event.preventDefault();
  if (dragged || twice(link.dataset.jack)) return;
  act(address, focusAfter(link));
}

let from = null; // the jack that a drag began at
let pan = null; // the bay that a finger scrolls, and where the finger was
let dragged = false; // true until the click after a drag is over

function down(event) {
  if (!event.isPrimary) return; // a second finger zooms
  dragged = false;
  if (!here() || event.button) return;
  const jack = event.target.closest?.("a[data-jack]");
  const bay = event.target.closest?.(".panel")?.closest(".scroll");
  if (!jack && bay && event.pointerType === "touch") pan = { bay, x: event.clientX, y: event.clientY };
  if (jack) from = { jack: jack.dataset.jack, x: event.clientX, y: event.clientY };
}

// scroll follows a finger beside the jacks. Chromium heeds touch-action on a whole
// drawing and not on its parts, so that no finger on a bay is left to the browser.
function scroll(event) {
  pan.bay.scrollLeft += pan.x - event.clientX;
  scrollBy({ top: pan.y - event.clientY, behavior: "instant" });
  pan = { bay: pan.bay, x: event.clientX, y: event.clientY };
}

function moved(event) {
  if (pan && event.isPrimary) scroll(event);
  if (!from || !event.isPrimary) return;
  if (!dragged && Math.hypot(event.clientX - from.x, event.clientY - from.y) < far(event)) return;
  dragged = true;
  // A plug that is in moves, and its cord is drawn from the end that stays.
  const { other } = jackNamed(from.jack)?.dataset ?? {};
  draw([ends(other || from.jack), { x: event.clientX, y: event.clientY }]);
}

function up(event) {
  if (!event.isPrimary) return;
  const began = from;
  from = pan = null;
  if (!began || !dragged) return;
  // The click that comes with this is part of the drag; the next one is not.
  setTimeout(() => (dragged = false));
  wipe();
  const onto = document.elementFromPoint(event.clientX, event.clientY);
  const jack = onto?.closest("a[data-jack]")?.dataset.jack;
  const held = jackNamed(began.jack)?.dataset.state === "in";
  if (jack === began.jack) return;
  if (jack) hands(held ? "move" : "plug", began.jack, jack);
  else if (held && !onto?.closest(".panel")) hands("pull", began.jack);
}

// stepped is the square that an arrow key leads to.
function stepped(square, key) {
  const cell = square.closest("td");
  const table = square.closest("table");
  const by = { ArrowRight: [0, 1], ArrowLeft: [0, -1], ArrowDown: [1, 0], ArrowUp: [-1, 0] }[key];
  if (!by) return null;
  let row = cell.parentElement.rowIndex;
  let column = cell.cellIndex;
  for (;;) {
    row += by[0];
    column += by[1];
    const next = table.rows[row]?.cells[column];
    if (!next || next.tagName === "TH") return null;
    const link = next.querySelector("a.spot");
    if (link) return link; // a crosspoint that does not exist is passed over
  }
}

function pressed(event) {
  if (!here() || event.altKey || event.ctrlKey || event.metaKey) return;
  const jack = event.target.closest?.("a[data-jack]");
  if (jack && (event.key === "Delete" || event.key === "Backspace") && jack.dataset.state === "in") {
    event.preventDefault();
    hands("pull", jack.dataset.jack);
    return;
  }
  const square = event.target.closest?.("a.spot");
  if (!square) return;
  if (event.key === " ") {
    event.preventDefault();
    square.click();
    return;
  }
  const to = stepped(square, event.key);
  if (!to) return;
  event.preventDefault();
  square.setAttribute("tabindex", "-1");
  to.removeAttribute("tabindex");
  to.focus();
}

export function watchBench() {
  document.addEventListener("click", clicked);
  document.addEventListener("pointerdown", down);
  document.addEventListener("pointermove", moved);
  document.addEventListener("pointerup", up);
  document.addEventListener("pointercancel", () => {
    from = pan = null;
    dragged = false;
    wipe();
  });
  // The menu of a link that a finger rests on would take the cord out of its hand.
  document.addEventListener("contextmenu", (event) => from && event.pointerType === "touch" && event.preventDefault());
  // The browser's own drag of a link would take the pointer away.
  document.addEventListener("dragstart", (event) => here() && event.target.closest?.("svg") && event.preventDefault());
  document.addEventListener("keydown", pressed);
  document.addEventListener("submit", (event) => {
    if (!event.target.matches(".bench-form")) return;
    event.preventDefault();
    go("/bench?" + new URLSearchParams(new FormData(event.target)), null);
  });
}
