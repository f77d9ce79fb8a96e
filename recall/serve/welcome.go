package serve

import (
	"crypto/sha256"
	"encoding/base64"
	"html/template"
	"net/http"

	"bayhand/recall/web"
)

// invited is what the page for a screen that is not let in has to say.
type invited struct {
	// Code is the one that stands in the address already.
	Code string
	// May are the words of what the code lets a screen do, where it is known.
	May string
	// Wrong is said of a code that let nobody in, and Refused of what the screen may
	// not do although it is let in.
	Wrong   bool
	Refused string
	// Here is a daemon that this machine alone can reach.
	Here bool
}

// welcomeStyle is all that the page has: a screen that is not let in may fetch
// nothing else.
const welcomeStyle = `
:root { color-scheme: light dark; font: 1.125rem/1.5 "Bay", system-ui, sans-serif; --ground: #e9edea; --sheet: #fbfcfa; --ink: #172022; --line: #7c8987; --card: #ffd23e; --card-ink: #17190f; --going: #a3301b; }
@media (prefers-color-scheme: dark) { :root { --ground: #0e1314; --sheet: #171e20; --ink: #e6ece8; --line: #71807e; --card: #241f0a; --card-ink: #ffd23e; --going: #ff9a83; } }
* { box-sizing: border-box; }
body { max-width: 34rem; margin: 0 auto; padding: 1.5rem .75rem; background: var(--ground); color: var(--ink); }
h1 { margin: 0 0 .75rem; font-size: 1.9rem; line-height: 1.15; }
form { margin: 1rem 0; padding: 1.25rem; background: var(--card); color: var(--card-ink); border: 2px solid #ffd23e; border-radius: .5rem; }
label, input, button { display: block; width: 100%; font: inherit; }
input { margin: .5rem 0 1rem; padding: .75rem; font-size: 1.9rem; font-weight: 700; letter-spacing: .15em; border: 2px solid; border-radius: .35rem; background: var(--sheet); color: var(--ink); }
button { min-height: 4rem; padding: 1rem; font-size: 1.25rem; font-weight: 700; background: var(--card-ink); color: var(--card); border: 2px solid var(--card-ink); border-radius: .35rem; cursor: pointer; }
a { display: inline-block; padding: .75rem 0; color: inherit; }
:focus-visible { outline: 3px solid; outline-offset: 3px; }
[role=alert] { border-left: .5rem solid var(--going); padding-left: .75rem; font-weight: 700; }
.may b { font-size: 1.25em; }
pre { margin: .25rem 0 1rem; padding: .75rem; background: var(--sheet); border: 1px solid var(--line); border-radius: .35rem; font-size: 1.125rem; white-space: pre-wrap; }
`

var welcomePage = template.Must(template.New("welcome").Parse(`<!doctype html>
<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>{{if .Refused}}Not for this screen{{else}}Let this screen in{{end}}</title>
<style>` + welcomeStyle + `</style>
<main>
{{if .Refused}}<h1>Not for this screen</h1>
<p role="alert">{{.Refused}}</p>
<p><a href="/">Back to the bay</a></p>
{{else}}<h1>Let this screen in</h1>
{{if .Wrong}}<p role="alert">That code is not known, or was used, or is older than five minutes. Ask for another one.</p>{{end}}
{{if .May}}<p class="may">With this code the screen may <b>{{.May}}</b>.</p>{{else}}<p>The page at the bay opens to who is let in.</p>{{end}}
{{if not .Here}}<form method="post" action="/invite">
<label>The code that was shown
<input name="code" value="{{.Code}}" autocomplete="off" autocapitalize="characters" spellcheck="false" required></label>
<button>Let it in</button>
</form>
{{if not .May}}<p>A code comes from a screen that is let in, under “Screens and phones”, or on the machine that keeps the room by:</p>
<pre>bayhand invite</pre>{{end}}
{{end}}{{if not .May}}<p>A browser on the machine that keeps the room is let in by:</p>
<pre>bayhand page</pre>{{end}}{{end}}
</main>
`))

// welcomePolicy lets the page have its own style and send its own form. The
// referrer goes to this site: a browser that may send none says that the form
// comes from nowhere (Origin: null), which is refused.
var welcomePolicy = func() string {
	sum := sha256.Sum256([]byte(welcomeStyle))
	return "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; form-action 'self'; frame-ancestors 'none'"
}()

// invitation is the page on which a code is typed, or stands already.
func (h entrance) invitation(w http.ResponseWriter, r *http.Request) {
	with := invited{Code: r.URL.Query().Get("code")}
	// To say what a code is for is to say that there is one.
	if with.Code != "" && h.server.limits.try(machineOf(r)) {
		with.May = h.server.invitations.role(with.Code).may()
	}
	h.welcome(w, http.StatusOK, with)
}

func (h entrance) welcome(w http.ResponseWriter, status int, with invited) {
	with.Here = h.server.hosts.loopback
	web.BoundWriting(w)
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Security-Policy", welcomePolicy)
	w.Header().Set("Referrer-Policy", "same-origin")
	w.WriteHeader(status)
	// A reader that is gone needs no answer.
	_ = welcomePage.Execute(w, with)
}

// wayIn says to a program how a browser is let in.
func (h entrance) wayIn() string {
	if h.server.hosts.loopback {
		return "bayhand page"
	}
	return "bayhand page here, bayhand invite elsewhere"
}
