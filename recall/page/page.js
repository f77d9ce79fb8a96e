// The page follows the room: the event stream says that something changed, and
// the page is fetched again and put in place of the old one. What the reader was
// at, focus and scrolled pictures, stays. Everything that is shown is made by the
// server; this script only carries.

const gone = document.getElementById("gone");
const say = document.getElementById("say");
const retryAfter = 5000; // milliseconds between looks when the stream is lost

const room = () => document.getElementById("room");
const token = () => document.querySelector('meta[name="bayhand-token"]').content;

let fetching = false;
let again = false;
let seen = new Date();

// refresh fetches the page. Changes that come while it is on its way are fetched
// once more afterwards, not one by one.
async function refresh() {
  if (fetching) {
    again = true;
    return;
  }
  fetching = true;
  try {
    const answer = await fetch("/", { cache: "no-store" });
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (!fresh.getElementById("room")) throw new Error("no page came back");
    replace(fresh);
    here();
  } catch {
    lost();
  } finally {
    fetching = false;
  }
  if (again) {
    again = false;
    await refresh();
  }
}

function replace(fresh) {
  const before = room().dataset.next;
  const focus = document.activeElement?.id;
  const scrolled = new Map([...document.querySelectorAll(".scroll")].map((e) => [e.id, e.scrollLeft]));
  document.querySelector('meta[name="bayhand-token"]').content =
    fresh.querySelector('meta[name="bayhand-token"]').content;
  document.title = fresh.title;
  room().replaceWith(document.adoptNode(fresh.getElementById("room")));
  for (const e of document.querySelectorAll(".scroll")) e.scrollLeft = scrolled.get(e.id) ?? 0;
  const next = room().dataset.next;
  if (focus) refocus(focus);
  if (next !== before) {
    tell();
    bringIntoView();
  }
}

// refocus keeps the keyboard where it was. A button that is gone with its step
// leaves it at the next move.
function refocus(id) {
  const e = document.getElementById(id) ?? document.getElementById("tick-next") ?? document.getElementById("next");
  e?.focus({ preventScroll: true });
}

function tell() {
  const words = document.querySelector("#next .places")?.innerText.replaceAll("\n", " ") ?? "";
  const verb = document.querySelector("#next .verb")?.innerText ?? "";
  say.textContent = `Next: ${verb} ${words}`;
}

// bringIntoView scrolls the pictures, never the page, to the jacks of the next
// move.
function bringIntoView() {
  for (const scroll of document.querySelectorAll(".bay .scroll")) {
    const jacks = [...scroll.querySelectorAll(".jack.now")].map((j) => j.getBoundingClientRect());
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

// Ticks go to the API. When that fails, the reason stands where the room stands,
// and the button can be pressed again.
document.addEventListener("submit", async (event) => {
  const form = event.target.closest("form.tick");
  if (!form) return;
  event.preventDefault();
  const button = form.querySelector("button");
  if (button.getAttribute("aria-disabled") === "true") return;
  button.setAttribute("aria-disabled", "true");
  try {
    const answer = await fetch("/api/tick", {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Bayhand-Token": token() },
      body: JSON.stringify({ ids: [form.dataset.id], not: form.dataset.not === "yes" }),
    });
    if (!answer.ok) complain(form, await reason(answer));
    else await refresh();
  } catch {
    lost();
  } finally {
    button.removeAttribute("aria-disabled");
  }
});

async function reason(answer) {
  const text = await answer.text();
  try {
    const said = JSON.parse(text);
    return said.message ?? text;
  } catch {
    return text.trim() || `it was refused (${answer.status})`;
  }
}

function complain(form, why) {
  form.parentElement.querySelector(".refused")?.remove();
  const p = document.createElement("p");
  p.className = "refused";
  p.setAttribute("role", "alert");
  p.textContent = `Not taken: ${why}`;
  form.before(p);
}

function lost() {
  if (!gone.hidden) return;
  gone.hidden = false;
  gone.textContent =
    `bayhand does not answer. What you see is from ${seen.toLocaleTimeString()}, and may no longer be so. Trying again.`;
}

function here() {
  seen = new Date();
  gone.hidden = true;
}

// follow listens to the stream. Where there is none, the page is looked at again
// every few seconds.
function follow() {
  const events = new EventSource("/api/events");
  events.onopen = refresh;
  events.addEventListener("status", (event) => {
    if (event.lastEventId !== room().dataset.seq) refresh();
  });
  events.onerror = () => {
    refresh();
    if (events.readyState === EventSource.CLOSED) setTimeout(follow, retryAfter);
  };
}

bringIntoView();
follow();
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible") refresh();
});
