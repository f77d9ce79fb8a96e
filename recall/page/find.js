// find: what is looked for is found while it is typed: jacks, ports and crosspoints on
// the page of the bays, sessions on theirs.

import { refresh } from "./follow.js";

const pause = 150; // milliseconds after the last letter

let waiting = null;
let asked = "";

async function look(field) {
  const text = field.value.trim();
  asked = text;
  const list = document.getElementById("found");
  if (!list) return;
  const answer = text ? await fetch(`/find?q=${encodeURIComponent(text)}`) : null;
  const all = answer?.ok ? await answer.json() : [];
  if (asked !== text) return; // more was typed since
  list.replaceChildren(...all.map(({ words, name, behind, follow }) => {
    const item = document.createElement("li");
    const link = document.createElement("a");
    link.href = follow;
    link.textContent = words;
    const more = document.createElement("span");
    more.className = "quiet";
    more.textContent = ` ${name}${behind ? `, ${behind}` : ""}`;
    item.append(link, more);
    return item;
  }));
  document.getElementById("found-says").textContent = text ? (all.length ? `${all.length} found` : "nothing found") : "";
}

function sessions(field) {
  const text = field.value.trim();
  history.replaceState(null, "", text ? `/sessions?find=${encodeURIComponent(text)}` : "/sessions");
  refresh();
}

function typed(event) {
  const find = { "follow-at": look, find: sessions }[event.target.id];
  if (!find) return;
  clearTimeout(waiting);
  waiting = setTimeout(find, pause, event.target);
}

// Arrow keys go from the field to what was found, and back.
function keyed(event) {
  const links = [...document.querySelectorAll("#found a")];
  const at = links.indexOf(document.activeElement);
  const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (!by || (at < 0 && event.target.id !== "follow-at")) return;
  event.preventDefault();
  (links[at + by] ?? document.getElementById("follow-at")).focus();
}

export function watchFinding() {
  document.addEventListener("input", typed);
  document.addEventListener("keydown", keyed);
}
