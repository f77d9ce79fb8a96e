// draw: the studio's file, typed and drawn. Findings and the picture follow the text
// while it is typed. A wire is dragged from a port to a jack, a tie from jack to jack;
// or one is touched and then the other. The form works without this script too, but
// with it nothing that was typed is lost: not to a daemon that is away, not to a text
// that is too large, not to leaving the page.

import { draw, ends, wipe } from "./cord.js";

const pause = 400; // milliseconds after the last letter
const far = 6; // pixels from which a press is a drag

const here = () => location.pathname === "/draw";
const by = (id) => document.getElementById(id);
const form = () => by("draw");

let waiting = null;
let asked = 0;
let saved = by("text")?.value; // the text as it was read from the file
const before = []; // texts before each act, for undo

function says(text) {
  by("refused").hidden = text === "";
  by("refused").textContent = text;
}

// values are those of the form, with what an act sets beside.
function values(act, set = {}) {
  const all = new URLSearchParams(new FormData(form()));
  for (const [key, value] of Object.entries({ act, ...set })) all.set(key, value);
  return all;
}

// post sends the form and gives the page that comes back; where none comes it says why
// and gives null. Another token is taken over: the daemon was started again.
async function post(all, again = true) {
  const most = Number(form().dataset.most);
  if (new Blob([all.get("text")]).size > most) {
    says(`The text is larger than ${most >> 10} KiB, the most that can be sent from here. Nothing was written; what you typed still stands here. Copy it into the file with your own editor.`);
    return null;
  }
  let answer;
  try {
    answer = await fetch("/draw", { method: "POST", headers: { Accept: "text/html" }, body: all });
  } catch {
    says("bayhand does not answer: this may not be written. What you typed still stands here. Try again when it is back.");
    return null;
  }
  if (answer.redirected) return answer.url;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  const token = fresh.querySelector('meta[name="bayhand-token"]')?.content;
  if (answer.status === 403 && token && again) {
    form().querySelector("[name=token]").value = token;
    all.set("token", token);
    return post(all, false);
  }
  if (fresh.getElementById("draw")) return fresh;
  says(fresh.getElementById("trouble")?.firstChild.textContent ?? `It was refused (${answer.status}). What you typed still stands here; copy it before you leave this page.`);
  return null;
}

const trouble = (fresh) => fresh.getElementById("trouble")?.firstChild.textContent ?? "";

function put(fresh, ...ids) {
  const scrolled = [...document.querySelectorAll("#draw .keeps, #text, .to-wire")].map((e) => [e.id, e.scrollLeft, e.scrollTop]);
  const focus = document.activeElement?.id;
  for (const id of ids) {
    const is = fresh.getElementById(id);
    if (is) by(id)?.replaceWith(document.adoptNode(is));
  }
  for (const [id, left, top] of scrolled) if (by(id)) [by(id).scrollLeft, by(id).scrollTop] = [left, top];
  if (focus && focus !== document.activeElement?.id) by(focus)?.focus({ preventScroll: true });
  by("draw-undo").hidden = before.length === 0;
}

// look has the text judged and drawn, and leaves the fields as they are.
async function look() {
  const mine = ++asked;
  const fresh = await post(values("look"));
  if (!fresh?.getElementById || mine !== asked || !here()) return; // more was typed since
  says("");
  put(fresh, "findings", "bays");
}

// act has something done to the text, or the file written.
async function act(what, set) {
  clearTimeout(waiting);
  const text = by("text").value;
  const mine = ++asked;
  const fresh = await post(values(what, set));
  if (!fresh || mine !== asked) return;
  if (typeof fresh === "string") {
    saved = text;
    location.assign(fresh);
    return;
  }
  says(trouble(fresh));
  if (fresh.getElementById("text").value !== text) before.push(text);
  put(fresh, "draw");
}

function typed(event) {
  if (!here() || event.target.id !== "text") return;
  clearTimeout(waiting);
  waiting = setTimeout(look, pause);
}

const jackOf = (target) => (here() ? target?.closest?.("#bays a[data-jack]") : null);
const portOf = (target) => (here() ? target?.closest?.("#bays button[data-port]") : null);

function choose(port) {
  for (const e of document.querySelectorAll(".to-wire [aria-pressed=true]")) e.setAttribute("aria-pressed", "false");
  port?.setAttribute("aria-pressed", "true");
}

function clicked(event) {
  if (!here()) return;
  if (event.target.id === "draw-undo") {
    by("text").value = before.pop();
    look();
    return;
  }
  const port = portOf(event.target);
  if (port && !dragged) {
    const on = port.getAttribute("aria-pressed") !== "true";
    choose(on ? port : null);
    by("port").value = on ? port.dataset.port : "";
    return;
  }
  const jack = jackOf(event.target);
  if (!jack) return;
  event.preventDefault();
  if (dragged) return;
  const held = document.querySelector(".to-wire [aria-pressed=true]");
  if (held) {
    act("wire", { port: held.dataset.port, jack: jack.dataset.jack });
    return;
  }
  by("jack").value = jack.dataset.jack;
  for (const e of document.querySelectorAll(".jack.chosen")) e.classList.remove("chosen");
  jack.classList.add("chosen");
  by("port").focus();
}

let from = null;
let dragged = false; // until the click after a drag is over

function pressed(event) {
  dragged = false;
  const held = !event.button && event.pointerType !== "touch" && (jackOf(event.target) ?? portOf(event.target));
  from = held ? { ...held.dataset, x: event.clientX, y: event.clientY } : null;
}

function moved(event) {
  if (!from || (!dragged && Math.hypot(event.clientX - from.x, event.clientY - from.y) < far)) return;
  dragged = true;
  draw([from.jack ? ends(from.jack) : from, { x: event.clientX, y: event.clientY }]);
}

function released(event) {
  const began = from;
  from = null;
  if (!began || !dragged) return;
  setTimeout(() => (dragged = false)); // after the click that comes with it
  wipe();
  const onto = document.elementFromPoint(event.clientX, event.clientY);
  const jack = jackOf(onto)?.dataset.jack;
  const port = began.port ?? portOf(onto)?.dataset.port;
  if (began.jack && jack && jack !== began.jack) act("tie", { jack: began.jack, to: jack, many: by("many").value });
  else if (port && (jack ?? began.jack)) act("wire", { port, jack: began.jack ?? jack });
}

export function watchDrawing() {
  document.addEventListener("input", typed);
  document.addEventListener("click", clicked);
  document.addEventListener("pointerdown", pressed);
  document.addEventListener("pointermove", moved);
  document.addEventListener("pointerup", released);
  document.addEventListener("pointercancel", () => {
    from = null;
    if (here()) wipe();
  });
  document.addEventListener("dragstart", (event) => (jackOf(event.target) ?? portOf(event.target)) && event.preventDefault());
  document.addEventListener("submit", (event) => {
    if (event.target.id !== "draw") return;
    event.preventDefault();
    act(event.submitter?.value ?? "look");
  });
  addEventListener("beforeunload", (event) => {
    if (here() && by("text").value !== saved) event.preventDefault();
  });
}
