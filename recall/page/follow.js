// follow: the event stream says that something changed, and the view is fetched
// again and put in place of the old one. What the reader was at stays: focus,
// what is scrolled, opened or half typed.

import { hang } from "./cord.js";

const gone = document.getElementById("gone");
const say = document.getElementById("say");
const retryAfter = 1000; // milliseconds until a stream that was lost is asked for again
const retryMost = 16000;

export const room = () => document.getElementById("room");
const meta = (page) => page.querySelector('meta[name="bayhand-token"]');
export const token = () => meta(document).content;

// A network that is gone without a word is told by silence: nothing came for longer than two
// beats of the stream.
let beat = 15000; // milliseconds, as the stream says
let heardAt = Date.now();
const viewWait = 20000; // milliseconds for a view to come

let fetching = null;
let again = false;
let due = null; // when it is asked again for what did not come
let wait = retryAfter;
// A page that was kept on the device says when it was heard.
let seen = new Date(document.getElementById("room").dataset.heard ?? Date.now());

// refresh fetches the view. Changes that come while it is on its way are fetched
// once more afterwards, not one by one.
export function refresh() {
  if (fetching) {
    again = true;
    return fetching;
  }
  fetching = fetchAll();
  return fetching;
}

async function fetchAll() {
  do {
    again = false;
    try {
      await fetchOnce();
      here();
    } catch {
      lost();
      later(); // the stream may stand all the while, and has nothing new to say
    }
  } while (again);
  fetching = null;
}

async function fetchOnce() {
  const still = room().dataset.still === "yes";
  const from = location.pathname + location.search;
  const answer = await fetch(still ? "/page/icon.svg" : from, { cache: "no-store", headers: asking(), signal: AbortSignal.timeout(viewWait) });
  if (answer.status === 401) location.reload(); // this screen was let out, and is told how to come in
  if (still && answer.ok) return;
  if (answer.headers.get("Content-Type") === "application/json") {
    const since = await answer.json();
    await held;
    if (from !== location.pathname + location.search) {
      again = true; // the reader has gone on since
      return;
    }
    try {
      piecewise(since);
    } catch (odd) {
      console.error(odd);
      delete room().dataset.view; // the whole is fetched in the place of its pieces
      again = true;
    }
    return;
  }
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  await held;
  if (!fresh.getElementById("room")) throw new Error("no page came back");
  if (from !== location.pathname + location.search) {
    again = true; // the reader has gone on since
    return;
  }
  meta(document).content = meta(fresh).content;
  replace(fresh);
}

// held ends when no finger, button or key is down. A view that is exchanged under a
// press takes away what was pressed, and the press with it. Who holds for longer than
// a press takes sees what is new all the same.
let held = null;
let letGo = () => {};
const longestPress = 3000; // milliseconds
const clickAfter = 100; // milliseconds from a finger that is lifted to its click

function watchPresses() {
  const down = () => {
    if (held) return;
    held = new Promise((end) => {
      const longest = setTimeout(() => letGo(), longestPress);
      letGo = () => {
        clearTimeout(longest);
        held = null;
        end();
      };
    });
  };
  const after = (wait) => () => {
    const up = letGo;
    setTimeout(() => up === letGo && up(), wait);
  };
  addEventListener("pointerdown", down, { capture: true });
  addEventListener("keydown", ({ key, repeat }) => !repeat && [" ", "Enter"].includes(key) && down(), { capture: true });
  addEventListener("click", after(0), { capture: true });
  for (const up of ["pointerup", "pointercancel", "keyup", "blur"]) addEventListener(up, after(clickAfter), { capture: true });
}

// wanted are the bays and matrices of a large room that came into view.
const wanted = new Set();

// asking says which view the browser has, so that what it lacks is all that comes.
function asking() {
  const { view } = room().dataset;
  if (!view) return {};
  const headers = { "X-Bayhand-View": view };
  if (wanted.size) headers["X-Bayhand-Show"] = [...wanted].join(" ");
  wanted.clear();
  return headers;
}

const inView = new IntersectionObserver(
  (seen) => {
    const now = seen.filter((s) => s.isIntersecting).map((s) => s.target.dataset.show);
    for (const name of now) wanted.add(name);
    if (now.length) refresh();
  },
  { rootMargin: "50%" },
);

// watchView waits for what is not drawn yet to come into view.
function watchView() {
  inView.disconnect();
  for (const e of document.querySelectorAll("[data-show]")) inView.observe(e);
}

// drawAll asks for all that is not drawn yet, wherever it stands, once at each address.
let drawnAt = null;
export function drawAll() {
  if (drawnAt === location.href) return;
  drawnAt = location.href;
  for (const e of document.querySelectorAll("[data-show]")) wanted.add(e.dataset.show);
  if (wanted.size) refresh();
}

// within makes an element of markup that stands in a drawing or a table.
function within(markup) {
  const html = markup.trimStart();
  const about = html.startsWith("<g") ? ["<svg>", 1] : html.startsWith("<tr") ? ["<table><tbody>", 2] : html.startsWith("<tbody") ? ["<table>", 1] : ["", 0];
  const made = document.createElement("template");
  made.innerHTML = about[0] + html;
  let e = made.content.firstElementChild;
  for (let n = 0; n < about[1]; n++) e = e.firstElementChild;
  return document.adoptNode(e);
}

const piece = (id) => document.getElementById(id) ?? document.getElementById(`no-${id}`);

// piecewise puts what is new in the place of what was. Pieces that are new to their
// list come before the order in which the list stands.
function piecewise({ title, token, room: data, pieces }) {
  const before = room().dataset.next;
  const kept = keep();
  document.title = title;
  meta(document).content = token;
  for (const [key, value] of Object.entries(data)) {
    if (value) room().dataset[key] = value;
    else delete room().dataset[key];
  }
  const made = new Map();
  for (const { id, html, order } of pieces) {
    if (order) {
      const list = piece(id);
      const all = order.map((one) => made.get(one) ?? piece(one));
      for (const old of [...list.children]) if (old.id && !order.includes(old.id)) old.remove();
      all.forEach((e) => list.append(e));
      continue;
    }
    const e = within(html);
    const old = piece(id);
    if (old) old.replaceWith(e);
    else made.set(id, e);
  }
  shown(before, kept);
}

function replace(fresh) {
  const before = room().dataset.next;
  const kept = keep();
  document.title = fresh.title;
  room().replaceWith(document.adoptNode(fresh.getElementById("room")));
  shown(before, kept);
}

// shown does what is to be done once a view is another, and tells other modules whether the
// next move is another one.
function shown(before, kept) {
  restore(kept);
  // What was asked for in the address is done; what came of it has its own.
  const { address } = room().dataset;
  if (address && address !== location.pathname + location.search) history.replaceState(null, "", address);
  const moved = room().dataset.next !== before;
  if (moved) tell();
  hang();
  watchView();
  stayAwake();
  document.dispatchEvent(new CustomEvent("shown", { detail: { moved } }));
}

// spot finds an element again on a fresh page: by its jack or id, else within the nearest that
// has one, by where it leads or by its place.
export function spot(e) {
  const jack = e?.dataset?.jack;
  if (jack) return `a[data-jack="${CSS.escape(jack)}"]`;
  if (e?.id) return `#${CSS.escape(e.id)}`;
  if (!e || !room().contains(e)) return null;
  const from = e.parentElement.closest("[id]");
  const link = `#${CSS.escape(from.id)} a[href=${JSON.stringify(e.getAttribute("href"))}]`;
  if (e.hasAttribute("href") && document.querySelectorAll(link).length === 1) return link;
  let path = "";
  for (let at = e; at !== from; at = at.parentElement) path = ` > :nth-child(${1 + [...at.parentElement.children].indexOf(at)})${path}`;
  return `#${CSS.escape(from.id)}${path}`;
}

// does is what an element does: at its place on a fresh page may stand another one.
const does = (e) => JSON.stringify([e?.textContent, e?.getAttribute("href"), e?.form ? [...new FormData(e.form)].filter(([key]) => key !== "token") : []]);

// changed says whether a field is otherwise than the page had it.
function changed(e) {
  if (["checkbox", "radio"].includes(e.type)) return e.checked !== e.defaultChecked;
  if (e.matches("select")) return e.selectedIndex !== Math.max(0, [...e.options].findIndex((o) => o.defaultSelected));
  return e.value !== e.defaultValue;
}

// caret is where a person is typing; null where the field has none.
function caret(e) {
  return e?.matches?.('input:is([type="text"], [type="search"], :not([type])), textarea') ? [e.selectionStart, e.selectionEnd] : null;
}

function keep() {
  const all = (selector, value) => [...room().querySelectorAll(selector)].map((e) => [spot(e), value(e)]);
  const fields = [...room().querySelectorAll('input:not([type="hidden"]), textarea, select')].filter(changed);
  return {
    focus: spot(document.activeElement),
    does: does(document.activeElement),
    caret: caret(document.activeElement),
    scrolled: all(".keeps", (e) => [e.scrollLeft, e.scrollTop]),
    open: all("details", (e) => e.open),
    filled: fields.map((e) => [spot(e), [e.value, e.checked]]),
  };
}

function restore(kept) {
  const each = (list, put) => {
    for (const [at, value] of list) {
      const e = document.querySelector(at);
      if (e) put(e, value);
    }
  };
  each(kept.scrolled, (e, at) => ([e.scrollLeft, e.scrollTop] = at));
  each(kept.open, (e, open) => (e.open = open));
  each(kept.filled, (e, [value, checked]) => {
    if (["checkbox", "radio"].includes(e.type)) e.checked = checked;
    else e.value = value;
  });
  if (!kept.focus) return;
  const named = /^(#[^ ]*|a\[data-jack=.*)$/.test(kept.focus);
  const there = document.querySelector(kept.focus);
  // A button that is gone with its step leaves the keyboard at the next move.
  const e = (there && (named || does(there) === kept.does) ? there : null) ?? document.getElementById("tick-next") ?? document.getElementById("next") ?? document.getElementById("main");
  e?.focus({ preventScroll: true });
  // A new field has its caret before the first letter.
  if (kept.caret && e?.setSelectionRange) e.setSelectionRange(...kept.caret);
}

function tell() {
  const words = document.querySelector("#next .places")?.innerText.replaceAll("\n", " ") ?? "";
  const verb = document.querySelector("#next .verb")?.textContent ?? "";
  say.textContent = `Next: ${verb} ${words}`;
}

// go shows another view of the bays without leaving the page. Focus is where the
// keyboard goes: an id or a selector.
export async function go(address, focus) {
  history.pushState(null, "", address);
  await refresh();
  const trouble = document.querySelector(".trouble[role=alert]");
  if (trouble) focus = null;
  const e = focus && (document.getElementById(focus) ?? document.querySelector(focus));
  e?.focus({ preventScroll: focus !== "entering" });
}

// clock is a time of day as everywhere on the page, of 24 hours.
const two = (n) => String(n).padStart(2, "0");
const clock = (at) => {
  const time = [at.getHours(), at.getMinutes(), at.getSeconds()].map(two).join(":");
  const day = [at.getFullYear(), at.getMonth() + 1, at.getDate()].map(two).join("-");
  return at.toDateString() === new Date().toDateString() ? time : `${day} ${time}`;
};

function lost() {
  document.dispatchEvent(new Event("lost"));
  if (!gone.hidden) return;
  gone.hidden = false;
  gone.textContent =
    `Connection lost. Last update ${clock(seen)}. Reconnecting...`;
  for (const e of document.querySelectorAll("[data-show]")) {
    const note = document.createElement("p");
    note.className = "not-drawn quiet";
    note.textContent = "Not drawn yet: it comes when bayhand answers again.";
    e.firstElementChild.after(note); // beside the name of what is blank
  }
}

function here() {
  wait = retryAfter;
  seen = new Date();
  gone.hidden = true;
  for (const note of document.querySelectorAll(".not-drawn")) note.remove();
}

// told compares what the stream says with what is shown. A view that was worked out
// stays to be read, and says that it may be stale.
function told(seq) {
  heardAt = Date.now();
  here();
  if (seq === room().dataset.seq) return;
  const stale = document.getElementById("changed");
  if (room().dataset.still !== "yes") refresh();
  else if (stale) stale.hidden = false;
}

// stream listens to the room: the number of the view comes first, and then each
// time that it is another.
let events = null;
function stream() {
  events = new EventSource("/changes");
  events.addEventListener("look", (event) => told(event.data));
  events.addEventListener("beat", (event) => {
    beat = Number(event.data);
    heardAt = Date.now();
  });
  events.onerror = () => {
    events.close();
    refresh();
    later();
  };
}

// listen says that the room is lost once its stream is silent, and asks for another one.
function listen() {
  if (Date.now() - heardAt < 2.5 * beat) return;
  heardAt = Date.now();
  lost();
  events.close();
  later();
}

// later asks again for what did not come, the stream or the view, more seldom each
// time.
function later() {
  if (due) return;
  due = setTimeout(() => {
    due = null;
    if (events.readyState === EventSource.CLOSED) stream();
    refresh();
  }, wait);
  wait = Math.min(2 * wait, retryMost);
}

// The screen stays on while there are moves for hands. Browsers allow it only to
// pages from this machine or over TLS; elsewhere the screen does as it always does.
let lock = null;
async function stayAwake() {
  const wanted = Number(room().dataset.hands) > 0 && document.visibilityState === "visible";
  if (!wanted) {
    lock?.release();
    lock = null;
    return;
  }
  if (!navigator.wakeLock || (lock && !lock.released)) return;
  try {
    lock = await navigator.wakeLock.request("screen");
  } catch {
    lock = null; // a low battery may refuse it
  }
}

export function start() {
  if (room().dataset.heard) lost();
  stream();
  watchPresses();
  watchView();
  stayAwake();
  setInterval(listen, 1000);
  addEventListener("popstate", refresh);
  // What a device says of its network decides nothing: a room on this machine needs none.
  addEventListener("offline", refresh);
  addEventListener("online", refresh);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") {
      listen();
      if (events.readyState !== EventSource.OPEN) refresh();
    }
    stayAwake();
  });
}
