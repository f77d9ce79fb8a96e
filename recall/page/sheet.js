// sheet: the ticks of a recall sheet stay in this browser, by the setting.

const key = (box) => `bayhand ${box.id}`;

export function tickSheet() {
  for (const box of document.querySelectorAll("input.set")) {
    try {
      box.checked = localStorage.getItem(key(box)) === "set";
    } catch {
      return; // a browser that keeps nothing
    }
  }
}

export function watchSheet() {
  document.addEventListener("change", (event) => {
    const box = event.target.closest?.("input.set");
    if (!box) return;
    try {
      if (box.checked) localStorage.setItem(key(box), "set");
      else localStorage.removeItem(key(box));
    } catch {
      // it stays ticked as long as the page stands
    }
  });
}
