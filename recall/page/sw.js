// The worker that keeps the page on a device. With the network it is in nobody's way;
// without it, it gives what was heard last, with the time of that. It keeps nothing of
// a screen that was let out.

const kept = "bayhand-page";
const first = "/";

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

const page = (html, heard) => new Response(html, { headers: { "Content-Type": "text/html; charset=utf-8", "X-Bayhand-Heard": heard } });

self.addEventListener("message", ({ data }) => caches.open(kept).then((cache) => cache.put(data.path, page(data.html, data.heard))));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { pathname, origin } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return;
  if (request.mode === "navigate" && !["/enter", "/invite"].includes(pathname)) event.respondWith(view(request, pathname));
  else if (pathname.startsWith("/page/")) event.respondWith(file(request));
});

async function view(request, pathname) {
  try {
    const answer = await fetch(request);
    if (answer.status === 401) await caches.delete(kept); // this screen was let out
    return answer;
  } catch (gone) {
    const cache = await caches.open(kept);
    const old = (await cache.match(pathname)) ?? (await cache.match(first));
    if (!old) throw gone;
    const heard = old.headers.get("X-Bayhand-Heard");
    const html = (await old.text()).replace('<div id="room"', `<div id="room" data-heard="${heard}"`);
    return page(html, heard);
  }
}

async function file(request) {
  const cache = await caches.open(kept);
  try {
    const answer = await fetch(request);
    if (answer.ok) await cache.put(request, answer.clone());
    return answer;
  } catch (gone) {
    const old = await cache.match(request);
    if (!old) throw gone;
    return old;
  }
}
