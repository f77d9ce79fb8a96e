package page

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"time"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

//go:embed room.html parts.html
var templates embed.FS

//go:embed page.css
var css []byte

//go:embed page.js
var script []byte

//go:embed icon.svg
var icon []byte

var room = template.Must(template.New("room.html").Funcs(template.FuncMap{
	"dict":  dict,
	"minus": func(a, b float64) float64 { return a - b },
}).ParseFS(templates, "room.html", "parts.html"))

// dict gives a part of the page several values by name.
func dict(pairs ...any) (map[string]any, error) {
	if len(pairs)%2 != 0 {
		return nil, errors.New("dict wants names and values by turns")
	}
	all := map[string]any{}
	for i := 0; i < len(pairs); i += 2 {
		name, ok := pairs[i].(string)
		if !ok {
			return nil, fmt.Errorf("%v is no name", pairs[i])
		}
		all[name] = pairs[i+1]
	}
	return all, nil
}

// asset is a file of the page. Its tag changes with its bytes, so that a browser
// never shows an old one.
type asset struct {
	kind, tag string
	data      []byte
}

func newAsset(kind string, data []byte) asset {
	sum := sha256.Sum256(data)
	return asset{kind: kind, tag: `"` + hex.EncodeToString(sum[:8]) + `"`, data: data}
}

// The fonts are the ones that the paper is printed in.
var assets = map[string]asset{
	"page.css":    newAsset("text/css; charset=utf-8", css),
	"page.js":     newAsset("text/javascript; charset=utf-8", script),
	"icon.svg":    newAsset("image/svg+xml", icon),
	"regular.ttf": newAsset("font/ttf", goregular.TTF),
	"bold.ttf":    newAsset("font/ttf", gobold.TTF),
}

func file(w http.ResponseWriter, r *http.Request) {
	a, ok := assets[r.PathValue("file")]
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", a.kind)
	w.Header().Set("ETag", a.tag)
	w.Header().Set("Cache-Control", "no-cache")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(a.data))
}

// write sends the page. It is made whole first, so that a fault never leaves half
// of one.
func write(w http.ResponseWriter, r *http.Request, code int, v view) {
	v.Token = r.Header.Get(tokenHeader)
	var b bytes.Buffer
	if err := room.ExecuteTemplate(&b, "room.html", v); err != nil {
		http.Error(w, "the page could not be made: "+err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(code)
	// A browser that has gone needs no answer.
	_, _ = w.Write(b.Bytes())
}
