// draw: the studio's file, typed and drawn. Findings and the picture follow the text
// while it is typed; a jack that is touched is the one to begin at. The form works
// without this script too.

const pause = 400; // milliseconds after the last letter

let waiting = null;
let asked = 0;

const here = () => location.pathname === "/draw";

// look has the text judged and drawn, and leaves the fields as they are.
async function look() {
  const form = document.getElementById("draw");
  const values = new URLSearchParams(new FormData(form));
  values.set("act", "look");
  const mine = ++asked;
  const answer = await fetch("/draw", { method: "POST", headers: { Accept: "text/html" }, body: values });
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  if (mine !== asked || !here()) return; // more was typed since
  for (const id of ["findings", "bays"]) {
    const is = fresh.getElementById(id);
    if (is) document.getElementById(id)?.replaceWith(document.adoptNode(is));
  }
}

function typed(event) {
  if (!here() || event.target.id !== "text") return;
  clearTimeout(waiting);
  waiting = setTimeout(look, pause);
}

function touched(event) {
  const jack = here() && event.target.closest?.("a[data-jack]");
  if (!jack) return;
  event.preventDefault();
  document.getElementById("jack").value = jack.dataset.jack;
  for (const e of document.querySelectorAll(".jack.chosen")) e.classList.remove("chosen");
  jack.classList.add("chosen");
  document.getElementById("port").focus();
}

export function watchDrawing() {
  document.addEventListener("input", typed);
  document.addEventListener("click", touched);
}
