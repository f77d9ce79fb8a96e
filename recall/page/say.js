// say: what a person says goes to the room. When it is not taken, the reason
// stands above everything, and it can be said again. What there is to know of what
// was taken stands there too, and in another colour.

import { go, refresh, token } from "./follow.js";

const refused = document.getElementById("refused");
const told = document.getElementById("told");

// Views that stay as they are once something was said there.
const stays = ["/hands", "/screens"];

// tell sends it, and is true when it was taken. What a screen says arrives in the
// order in which it was said: an undo never before its tick.
let before = Promise.resolve();
export function tell(values) {
  before = before.then(() => send(values));
  return before;
}

// Where no answer came nobody knows whether it was saved: it may have arrived. The page shows
// it once it is fresh again.
let unsure = false;

async function send(values) {
  values.set("token", token());
  const stop = new AbortController();
  const lost = () => stop.abort();
  document.addEventListener("lost", lost);
  try {
    const answer = await fetch("/do", { method: "POST", headers: { Accept: "text/plain" }, body: values, signal: stop.signal });
    const text = (await answer.text()).trim();
    tellOf(told, answer.ok ? text : "");
    tellOf(refused, answer.ok ? "" : text || `It was refused (${answer.status}).`);
    return answer.ok;
  } catch {
    unsure = true;
    tellOf(refused, "bayhand does not answer: this may not be saved. The page shows it when bayhand is back.");
    return false;
  } finally {
    document.removeEventListener("lost", lost);
  }
}

// settled takes the doubt away once the page shows what is so.
function settled() {
  if (!unsure) return;
  unsure = false;
  tellOf(refused, "");
  tellOf(told, "bayhand is back. What you reported last is saved if the page shows it; otherwise report it again.");
}

// inform says above everything what there is to know, until something else is said.
export const inform = (text) => tellOf(told, text);

function tellOf(line, text) {
  line.hidden = text === "";
  line.textContent = text;
}

async function submitted(form) {
  const button = form.querySelector("button");
  if (button.getAttribute("aria-disabled") === "true") return;
  button.setAttribute("aria-disabled", "true");
  const values = new URLSearchParams(new FormData(form));
  const taken = await tell(values);
  button.removeAttribute("aria-disabled");
  const then = values.get("then");
  if (!taken || !then || (then === location.pathname && stays.includes(then))) await refresh();
  else if (location.pathname === "/") await go(then, "next");
  else location.assign(then);
}

export function watchForms() {
  document.addEventListener("shown", settled);
  document.addEventListener("submit", (event) => {
    const form = event.target.closest("form.say");
    if (!form) return;
    event.preventDefault();
    submitted(form);
  });
}
