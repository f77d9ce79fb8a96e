// device: the page on a device of one's own. Once somebody says so it is kept there,
// opens without the network, and says since when it has heard nothing.

import { drawAll, refresh, room } from "./follow.js";

const worker = "/sw.js";
const look = 3000; // milliseconds until a code on the screen is looked at again

const by = (id) => document.getElementById(id);
let offer = null; // the browser's own question whether to install

const standing = () => matchMedia("(display-mode: standalone)").matches;

async function dress() {
  const button = by("keep-here");
  if (!button) return;
  if (!navigator.serviceWorker) {
    by("kept").textContent = "This browser keeps pages only from the machine of the daemon, or over TLS.";
    return;
  }
  const kept = await navigator.serviceWorker.getRegistration("/");
  button.hidden = Boolean(kept);
  by("install").hidden = !offer;
  by("kept").textContent = kept ? "It is kept on this device." : "";
}

export async function keepHere() {
  await navigator.serviceWorker.register(worker);
  await navigator.serviceWorker.ready;
  await handOver();
  dress();
}

// handOver gives the page as it stands to the worker, so that what opens without the
// network is what was heard last, with all that is still to be drawn as it comes.
async function handOver() {
  const kept = await navigator.serviceWorker?.getRegistration("/");
  const to = kept?.active;
  const { heard, still } = room().dataset;
  if (!to || heard || still === "yes" || !by("gone").hidden || location.pathname === "/screens") return;
  to.postMessage({ path: location.pathname, html: "<!doctype html>\n" + document.documentElement.outerHTML, heard: new Date().toISOString() });
  drawAll();
}

export function watchDevice() {
  addEventListener("beforeinstallprompt", (event) => {
    event.preventDefault();
    offer = event;
    dress();
  });
  document.addEventListener("click", async (event) => {
    if (event.target.id === "keep-here") keepHere();
    if (event.target.id !== "install") return;
    await keepHere();
    offer?.prompt();
    offer = null;
  });
  document.addEventListener("shown", () => {
    dress();
    handOver();
  });
  addEventListener("load", handOver);
  // A code that somebody used goes, and who came in stands in the list.
  setInterval(() => document.querySelector(".invitation") && refresh(), look);
  dress();
  if (standing() && navigator.serviceWorker) keepHere();
}
