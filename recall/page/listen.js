// listen: test sound plays as long as the page that began it waits for it, so that a
// page that is closed, and a network that is gone, stop it. Space and Escape stop it
// on every screen that shows it.

import { refresh } from "./follow.js";
import { tell } from "./say.js";

const refused = document.getElementById("refused");
const sounds = () => document.getElementById("sounding");

let waiting = null;

async function begin(form) {
  if (waiting) return;
  waiting = new AbortController();
  const values = new URLSearchParams(new FormData(form));
  const over = fetch("/listen", { method: "POST", headers: { Accept: "text/plain" }, body: values, signal: waiting.signal });
  try {
    const answer = await over;
    const text = answer.ok ? "" : (await answer.text()).trim() || `It was refused (${answer.status}).`;
    refused.hidden = text === "";
    refused.textContent = text;
  } catch {
    // It was stopped here, or bayhand is gone; either way nothing sounds any more.
  }
  waiting = null;
  await refresh();
  const found = document.getElementById("finding-title") ?? document.getElementById("heard-title") ?? document.getElementById("ears-failed");
  found?.scrollIntoView({ block: "start" });
}

// stop ends the sound: at once where it was begun here, and by a word to the room
// where another screen began it.
function stop() {
  if (!document.getElementById("silence")) return;
  waiting?.abort();
  tell(new URLSearchParams({ do: "silence" })).then(refresh);
}

export function watchListening() {
  document.addEventListener("submit", (event) => {
    const form = event.target.closest("form.listen-form, form.stop-form");
    if (!form) return;
    event.preventDefault();
    if (form.matches(".stop-form")) stop();
    else begin(form);
  });
  document.addEventListener(
    "keydown",
    (event) => {
      if (!sounds() || (event.key !== " " && event.key !== "Escape")) return;
      event.preventDefault();
      stop();
    },
    true,
  );
  // A key that is let go on a button would press it a second time.
  document.addEventListener("keyup", (event) => sounds() && event.key === " " && event.preventDefault(), true);
}
