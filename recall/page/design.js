// design: blocks of the map are dragged onto each other by mouse or finger, or touched
// one after the other. Each block is a link that takes it in the hand, so that keys and
// a browser without this script do the same; arrow keys go from block to block.

import { go } from "./follow.js";

const far = 6; // pixels from which a press is a drag

let held = null;

const blockOf = (target) => target?.closest?.("a.design-block");
const blockAt = (event) => blockOf(document.elementFromPoint(event.clientX, event.clientY));

function pressed(event) {
  const block = blockOf(event.target);
  if (!block || event.button) return;
  held = { block, x: event.clientX, y: event.clientY, pointer: event.pointerId, dragged: false, over: null };
}

function moved(event) {
  if (held?.pointer !== event.pointerId) return;
  if (!held.dragged && Math.hypot(event.clientX - held.x, event.clientY - held.y) < far) return;
  if (!held.dragged) {
    held.dragged = true;
    held.block.classList.add("held");
  }
  held.over?.classList.remove("over");
  held.over = blockAt(event);
  held.over?.classList.add("over");
}

async function released(event) {
  if (held?.pointer !== event.pointerId) return;
  const { block, dragged } = held;
  const onto = blockAt(event);
  held.over?.classList.remove("over");
  held = null;
  if (!dragged) return;
  block.classList.remove("held");
  document.addEventListener("click", swallow, { capture: true, once: true });
  setTimeout(() => document.removeEventListener("click", swallow, { capture: true }), 0);
  if (!onto || onto === block) return;
  await exchange(block.dataset.from, onto.dataset.from);
}

// The browser took the pointer for something else, such as a scroll.
function dropped(event) {
  if (held?.pointer !== event.pointerId) return;
  held.block.classList.remove("held");
  held.over?.classList.remove("over");
  held = null;
}

// A drag ends with a click that is none.
function swallow(event) {
  if (!blockOf(event.target)) return;
  event.preventDefault();
  event.stopPropagation();
}

async function exchange(from, onto) {
  const query = new URLSearchParams(location.search);
  const size = query.get("size") ?? "8";
  const one = [from, onto, size, query.get("row") ?? "both"].join(".");
  query.set("moved", query.get("moved") ? `${query.get("moved")}_${one}` : one);
  query.delete("held");
  await go(`/design?${query}`, `block-${onto}`);
}

function clicked(event) {
  if (event.defaultPrevented || event.button || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const link = event.target.closest?.("#main a[href^='/design']");
  if (!link || location.pathname !== "/design") return;
  event.preventDefault();
  go(link.getAttribute("href"), link.id || null);
}

function keyed(event) {
  const block = blockOf(event.target);
  if (!block || event.altKey || event.ctrlKey || event.metaKey) return;
  if (event.key === "Escape") {
    document.getElementById("design-drop")?.click();
    return;
  }
  const all = [...document.querySelectorAll("a.design-block")];
  const to = all[all.indexOf(block) + { ArrowRight: 1, ArrowLeft: -1 }[event.key]];
  if (!to) return;
  event.preventDefault();
  to.focus();
}

export function watchDesign() {
  document.addEventListener("pointerdown", pressed);
  document.addEventListener("pointermove", moved);
  document.addEventListener("pointerup", released);
  document.addEventListener("pointercancel", dropped);
  document.addEventListener("dragstart", (event) => blockOf(event.target) && event.preventDefault());
  document.addEventListener("click", clicked);
  document.addEventListener("keydown", keyed);
}
