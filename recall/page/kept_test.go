package page

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// anew fetches the whole view again, as any news may have it, after each field was filled in
// otherwise and each detail opened or shut, and says what of it is another afterwards; and
// where the keyboard was at something that is there again, whether it still is.
const anew = `(async () => {
	const { refresh, spot } = await import("/page/follow.js");
	const room = () => document.getElementById("room");
	const called = (e) => e.outerHTML.replaceAll(/value="[^"]{40,}"/g, "").slice(0, 110);
	const found = [];
	// How to tick by foot is kept by the device.
	const fields = () => [...room().querySelectorAll('input:not([type="hidden"]), textarea, select')].filter((e) => !e.closest("#by-foot"));
	const value = (e) => ["checkbox", "radio"].includes(e.type) ? String(e.checked) : e.value;
	for (const e of fields()) {
		if (e.type === "checkbox") e.checked = !e.checked;
		else if (e.type === "radio") e.checked = true;
		else if (e.matches("select")) e.selectedIndex = e.options.length - 1;
		else e.value = e.type === "number" ? String(Number(e.value) + 1) : e.value + "7";
	}
	for (const e of room().querySelectorAll("details")) e.open = !e.open;
	const at = [...room().querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex]")].filter((e) => !e.dataset.jack && e.type !== "hidden");
	for (const e of at) if (document.querySelector(spot(e)) !== e) found.push("is not found again: " + called(e));
	const plain = at.filter((e) => !e.id && e.checkVisibility() && (e.focus(), e === document.activeElement));
	plain.at(-1)?.focus();
	const was = { fields: fields().map((e) => [called(e), value(e)]), open: [...room().querySelectorAll("details")].map((e) => [called(e), e.open]), focus: document.activeElement };
	const before = room();
	const text = document.getElementById("text");
	delete before.dataset.view;
	await refresh();
	if (before.dataset.still !== "yes" && before === room()) return ["was not fetched again"];
	fields().forEach((e, i) => value(e) !== was.fields[i]?.[1] && found.push("was filled in with " + was.fields[i]?.[1] + " and is " + value(e) + ": " + called(e)));
	[...room().querySelectorAll("details")].forEach((e, i) => e.open !== was.open[i]?.[1] && found.push("was opened or shut: " + called(e)));
	if (plain.length && (document.activeElement === document.body || called(document.activeElement) !== called(was.focus))) found.push("the keyboard was at " + called(was.focus) + " and is at " + called(document.activeElement));
	if (text) document.getElementById("text").value = text.defaultValue; // nobody is asked whether to leave it
	return found;
})()`

// What somebody is at stays through an update that others bring about: what is typed and
// chosen, what is open, and where the keyboard is, be it at something without a name.
func TestAnUpdateTakesNothingAway(t *testing.T) {
	looks(t)
	t.Parallel()
	v := visit(t, desktop)
	for _, view := range everyView(t) {
		v.open(view.at, view.path)
		v.until(`!document.querySelector(".working")`)
		found, err := chromedp.Run(v.ctx, chromedp.Evaluate[[]string](anew, chromedp.EvalAwaitPromise))
		v.must(err)
		for _, one := range found {
			t.Errorf("%s: %s", view.path, one)
		}
	}
	v.calm()
}
