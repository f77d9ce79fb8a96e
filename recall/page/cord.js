// cord: the line of the cord in hand, over all bays. Between two jacks of one bay
// the server draws it; between two bays, or while it is dragged, it is drawn here.

const shape = "http://www.w3.org/2000/svg";
const sag = 36; // pixels that a cord hangs through

// ends is the middle of a jack on the screen.
export function ends(jack) {
  const hole = document.querySelector(`a[data-jack="${CSS.escape(jack)}"]`);
  if (!hole) return null;
  const r = hole.getBoundingClientRect();
  return { x: r.left + r.width / 2, y: r.top + r.height * (7.5 / 17.5) };
}

export function wipe() {
  document.getElementById("over")?.remove();
}

// draw hangs a cord between two places on the screen, within the section of the
// bays, whose upper left corner the line is placed against.
export function draw([a, b]) {
  const bays = document.getElementById("bays");
  if (!bays || !a || !b) return wipe();
  const box = bays.getBoundingClientRect();
  let over = document.getElementById("over");
  if (!over) {
    over = document.createElementNS(shape, "svg");
    over.id = "over";
    over.setAttribute("aria-hidden", "true");
    for (const kind of ["in-hand under", "in-hand"]) {
      const path = document.createElementNS(shape, "path");
      path.setAttribute("class", kind);
      over.append(path);
    }
    bays.append(over);
  }
  const at = (p) => `${(p.x - box.left).toFixed(1)} ${(p.y - box.top).toFixed(1)}`;
  const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 + sag };
  for (const path of over.children) path.setAttribute("d", `M${at(a)}Q${at(middle)} ${at(b)}`);
}

// hang draws the cord of the next move where its jacks are on two bays.
export function hang() {
  const joins = document.getElementById("room").dataset.joins?.split(" ");
  if (joins?.length === 2) draw(joins.map(ends));
  else wipe();
}

export function watchCord() {
  addEventListener("resize", hang);
  // Bays scroll sideways one by one.
  document.addEventListener("scroll", (event) => event.target.closest?.("#bays") && hang(), { capture: true, passive: true });
}
