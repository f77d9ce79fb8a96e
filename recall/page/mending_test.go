package page

import (
	"errors"
	"net/http"
	"strings"
	"testing"

	"bayhand/recall/keep"
)

func TestParted(t *testing.T) {
	for _, test := range []struct {
		line   string
		column int
		want   [3]string
	}{
		{"  - interfce/out1 -> main/t1", 5, [3]string{"  - ", "interfce/out1", " -> main/t1"}},
		{"modes: {1-8: half}", 8, [3]string{"modes: ", "{", "1-8: half}"}},
		{"gröse: 1", 1, [3]string{"", "gröse", ": 1"}},
		{"short", 99, [3]string{"short", "", ""}},
		{"", 1, [3]string{"", "", ""}},
		{strings.Repeat("a ", 100) + "here" + strings.Repeat(" b", 100), 201, [3]string{"…" + strings.Repeat("a ", 40), "here", strings.Repeat(" b", 40) + "…"}},
	} {
		before, at, after := parted(test.line, test.column)
		if got := [3]string{before, at, after}; got != test.want {
			t.Errorf("%q at %d is %q, want %q", test.line, test.column, got, test.want)
		}
	}
}

// Without a studio everything leads to the files, and what the form says never
// names one.
func TestBeginning(t *testing.T) {
	var laid []string
	h := New(Options{Room: &fake{}, Begin: &Begin{File: "studio.yaml", Lay: func(kind string) error {
		laid = append(laid, kind)
		return errors.New("studio.yaml is there already")
	}}})
	for _, path := range []string{"/", "/sessions", "/sessions/rest", "/bench", "/happened"} {
		if answer, _ := get(t, h, path); answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != "/files" {
			t.Errorf("%s leads to %q with %s", path, answer.Header.Get("Location"), answer.Status)
		}
	}
	answer, html := ask(t, h, form(t, "token", token, "do", "begin-empty", "file", "/etc/passwd"))
	if answer.StatusCode != http.StatusConflict || !strings.Contains(html, "studio.yaml is there already") {
		t.Errorf("a file that is there: %s", answer.Status)
	}
	ask(t, h, form(t, "token", token, "do", "begin-../../studio"))
	ask(t, h, form(t, "token", "guess", "do", "begin-demo"))
	if len(laid) != 1 || laid[0] != BeginEmpty {
		t.Errorf("laid are %q", laid)
	}
	// Where there is a studio nothing can begin.
	if answer, _ := ask(t, served(t, &fake{status: status(t)}), form(t, "token", token, "do", "begin-demo")); answer.StatusCode != http.StatusConflict {
		t.Errorf("beginning over a studio: %s", answer.Status)
	}
}

// A recall from the page names a session of the list, never a file.
func TestRecallNamesNoFile(t *testing.T) {
	f := &fake{status: status(t)}
	answer, html := ask(t, served(t, f), form(t, "token", token, "do", "recall", "session", "../elsewhere.yaml"))
	if answer.StatusCode != http.StatusConflict || !strings.Contains(html, "there is no session") {
		t.Errorf("answers %s", answer.Status)
	}
}

// The findings stand at their lines, and follow as files are saved.
func TestMendingLive(t *testing.T) {
	t.Parallel()
	h := build(t, keep.Files{})
	h.say(Finding{Severity: "error", File: "studio.yaml", Line: 12, Column: 5, Message: `there is no gear "interfce"`, Hint: "did you mean interface?", Source: "  - interfce/out1-8 -> main/t1-8", At: 5})
	h.look()
	v := visit(t, desktop)
	v.open(h, "/")
	v.until(`document.querySelector("mark")?.innerText === "interfce/out1-8" && document.querySelector("#checked").innerText.includes("cannot be read yet")`)
	v.shoot("files-error")
	// Half mended: what is left is a warning, and there is a bay.
	h.furnish(heron(t))
	h.look()
	h.say(Finding{Severity: "warning", File: "studio.yaml", Line: 40, Column: 1, Message: "nothing feeds it", Source: "bays:", At: 1})
	v.until(`document.querySelector("#to-the-bay") && document.querySelector(".checked .warning mark")?.innerText === "bays"`)
	h.say()
	v.until(`!document.querySelector(".checked") && document.querySelector("#checked").innerText.includes("no problems found")`)
	v.calm()
}
