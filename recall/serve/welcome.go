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
:root { color-scheme: light dark; font: 1.125rem/1.5 system-ui, sans-serif; }
body { max-width: 30rem; margin: 0 auto; padding: 2rem 1.25rem; }
label, input, button { display: block; width: 100%; box-sizing: border-box; }
input { margin: .5rem 0 1rem; padding: .75rem; font: inherit; font-size: 1.75rem; letter-spacing: .15em; border: 2px solid; }
button { padding: 1rem; font: inherit; font-weight: 700; border: 2px solid; min-height: 3.5rem; }
a { display: inline-block; padding: .75rem 0; }
:focus-visible { outline: 3px solid; outline-offset: 3px; }
[role=alert] { border-left: .5rem solid; padding-left: .75rem; font-weight: 700; }
pre { padding: .75rem; border: 1px solid; font-size: 1.25rem; }
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
<p>The page at the bay opens to who is let in. On the machine that keeps the room, whoever keeps it types:</p>
<pre>bayhand page</pre>
{{if not .Here}}<p>For a screen elsewhere it is <b>bayhand invite</b>, which shows a code.</p>
<form method="post" action="/invite">
<label>The code that is shown on the daemon's machine
<input name="code" value="{{.Code}}" autocomplete="off" autocapitalize="characters" spellcheck="false" required></label>
<button>Let it in</button>
</form>{{end}}{{end}}
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
func (s *Server) invitation(w http.ResponseWriter, r *http.Request) {
	s.welcome(w, http.StatusOK, invited{Code: r.URL.Query().Get("code")})
}

func (s *Server) welcome(w http.ResponseWriter, status int, with invited) {
	with.Here = s.hosts.loopback
	web.BoundWriting(w)
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Security-Policy", welcomePolicy)
	w.Header().Set("Referrer-Policy", "same-origin")
	w.WriteHeader(status)
	// A reader that is gone needs no answer.
	_ = welcomePage.Execute(w, with)
}

// wayIn says to a program how a browser is let in.
func (s *Server) wayIn() string {
	if s.hosts.loopback {
		return "bayhand page"
	}
	return "bayhand page here, bayhand invite elsewhere"
}
