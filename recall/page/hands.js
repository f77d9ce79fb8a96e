// hands: the view of one move, for who has no hand free. A tap on the move, the space
// bar, or a foot switch of one's own choice (a key or a MIDI note) ticks it. The move
// that follows is shown and told at once, while the tick is on its way; what the
// server says then takes its place. What is chosen here stays in this browser.

import { refresh, room } from "./follow.js";
import { inform, tell } from "./say.js";

const here = () => location.pathname === "/hands";
const stored = "bayhand-hands";
const pause = 350; // milliseconds in which a second press is the same press

const chosen = () => {
  try {
    return { click: true, buzz: true, ...JSON.parse(localStorage.getItem(stored) ?? "{}") };
  } catch {
    return { click: true, buzz: true }; // a browser that keeps nothing
  }
};

function choose(what) {
  try {
    localStorage.setItem(stored, JSON.stringify({ ...chosen(), ...what }));
  } catch {
    say("This browser keeps no choice.");
  }
  dress();
}

const by = (id) => document.getElementById(id);
const say = (text) => by("by-foot-says") && (by("by-foot-says").textContent = text);

let learning = null; // key or note, while one is to be pressed
let pressedAt = -pause; // when a press was taken last
let changedAt = -pause; // when another move came on the screen than the one that was ticked led to
let onScreen = ""; // the step that the screen shows
let means = ""; // what that step does, as the room tells it
let spoken = ""; // the step that was read aloud
let sound = null;
let own = []; // the move as the server sent it, in its elements
const said = new Set(); // ticks on their way to the room
let onward = Promise.resolve(true); // until all of them were answered; false once one was refused

// tick says that the move on the screen is made. A press right after another is the
// same press. One right after the move changed may be meant for the one before: it
// ticks nothing, which is told.
function tick() {
  const now = performance.now();
  if (!by("tick-next") || now - pressedAt < pause) return;
  pressedAt = now;
  if (said.has(onScreen)) return;
  if (now - changedAt < pause) {
    inform("The step changed just before that press, so nothing was ticked. Press again if this step is done.");
    return;
  }
  const { click, buzz } = chosen();
  if (click) beep();
  if (buzz) navigator.vibrate?.(40);
  send(onScreen, means);
}

// send brings a tick to the room, after those before it. When one is refused, those
// that were pressed after it are not sent: the screen shows the refused one again.
async function send(step, means) {
  said.add(step);
  face();
  const answered = onward.then((taken) => taken && tell(new URLSearchParams({ do: "done", id: step, means })));
  onward = answered;
  const taken = await answered;
  if (!taken) forget(step);
  await refresh();
  forget(step);
}

function forget(step) {
  if (!said.delete(step)) return;
  if (said.size === 0) onward = Promise.resolve(true);
  face();
}

// face puts a move on the screen: the next one, and while that one is on its way to
// the room the one that follows, where it is known.
function face() {
  if (!here() || !by("move")) return;
  const sent = said.has(room().dataset.next);
  const following = sent && by("following").content.firstElementChild;
  by("next").classList.toggle("telling", sent);
  by("move").replaceChildren(...(following ? [following.cloneNode(true)] : own));
  ({ step: onScreen, means } = document.querySelector("#move .large-move").dataset);
  aloud();
}

function beep() {
  sound ??= new AudioContext();
  const tone = sound.createOscillator();
  const loud = sound.createGain();
  loud.gain.setValueAtTime(0.2, sound.currentTime);
  loud.gain.exponentialRampToValueAtTime(0.001, sound.currentTime + 0.06);
  tone.frequency.value = 1200;
  tone.connect(loud).connect(sound.destination);
  tone.start();
  tone.stop(sound.currentTime + 0.06);
}

// aloud reads the move on the screen, once.
function aloud() {
  const face = document.querySelector("#move .large-move");
  if (!chosen().voice || !face || face.dataset.step === spoken || !window.speechSynthesis) return;
  spoken = face.dataset.step;
  speechSynthesis.cancel();
  speechSynthesis.speak(new SpeechSynthesisUtterance(inWords(face)));
}

// inWords is a move as it is said.
export function inWords(face) {
  const text = (selector) => [...face.querySelectorAll(selector)].map((e) => e.textContent.trim()).filter(Boolean);
  const mark = face.querySelector(".places .letter")?.textContent;
  return [...text(".verb"), ...(mark ? [`cord ${mark}`] : []), ...text(".length"), text(".place").join(", to "), ...text(".small").slice(0, 1)].join(". ");
}

const keyName = (key) => (key === " " ? "space" : key);
const noteName = (note) => (note ? `${note.kind} ${note.number}` : "none chosen");

// dress shows what is chosen, on a view that is new.
function dress() {
  if (!by("by-foot")) return;
  const now = chosen();
  for (const what of ["click", "buzz", "voice"]) by(`with-${what}`).checked = Boolean(now[what]);
  by("learned-key").textContent = now.key ? keyName(now.key) : "none chosen";
  by("learned-note").textContent = noteName(now.note);
  by("with-voice").disabled = !window.speechSynthesis;
  if (now.note) listen();
}

function pressed(event) {
  if (!here() || event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
  if (learning === "key") {
    event.preventDefault();
    learning = null;
    if (event.key !== "Escape") choose({ key: event.key });
    say(event.key === "Escape" ? "" : `${keyName(event.key)} ticks the step now.`);
    return;
  }
  const switched = event.key === chosen().key;
  const free = !event.target.closest?.("input, summary, a, button:not(#tick-next)");
  if (!switched && !(event.key === " " && free)) return;
  event.preventDefault();
  tick();
}

let midi = null;
async function listen() {
  if (midi || !navigator.requestMIDIAccess) return;
  try {
    midi = await navigator.requestMIDIAccess();
  } catch {
    say("This browser lets no page hear MIDI here. Over TLS, or on the machine of the daemon, it may.");
    return;
  }
  const hear = () => midi.inputs.forEach((input) => (input.onmidimessage = heard));
  midi.onstatechange = hear;
  hear();
}

// heard takes a note that begins, or a pedal that goes down (MIDI 1.0, 9n and Bn).
function heard({ data: [status, number, value] }) {
  const kind = { 0x90: "note", 0xb0: "controller" }[status & 0xf0];
  if (!here() || !kind || value < (kind === "note" ? 1 : 64)) return;
  if (learning === "note") {
    learning = null;
    choose({ note: { kind, number } });
    say(`${kind} ${number} ticks the step now.`);
    return;
  }
  const { note } = chosen();
  if (note?.kind === kind && note.number === number) tick();
}

function clicked(event) {
  if (!here()) return;
  if (event.target.id === "learn-key") {
    learning = "key";
    say("Press the key of the foot switch. Escape leaves it as it is.");
  } else if (event.target.id === "learn-note") {
    learning = "note";
    say(navigator.requestMIDIAccess ? "Press the pedal or the note." : "This browser lets no page hear MIDI here.");
    listen();
  } else if (event.target.closest("#move") && !event.defaultPrevented && !getSelection().toString()) {
    tick();
  }
}

export function watchHands() {
  document.addEventListener("keydown", pressed);
  document.addEventListener("click", clicked);
  document.addEventListener("change", (event) => {
    const what = event.target.id?.match(/^with-(click|buzz|voice)$/)?.[1];
    if (what && here()) choose({ [what]: event.target.checked });
  });
  document.addEventListener("submit", pressedDone, { capture: true });
  document.addEventListener("shown", shown);
  shown();
  changedAt = -pause; // who opens the page sees its move
}

// pressedDone is a press of the button, which is the same as any other.
function pressedDone(event) {
  if (!here() || !event.target.matches(".ticks form")) return;
  event.preventDefault();
  event.stopPropagation();
  tick();
}

function shown() {
  if (!here()) return;
  const before = onScreen;
  own = [...(by("move")?.childNodes ?? [])];
  onScreen = "";
  dress();
  face();
  if (onScreen !== before) changedAt = performance.now();
}
