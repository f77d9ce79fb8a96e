package page

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"bayhand/recall/font"
	"bayhand/recall/words"
)

//go:embed *.html
var templates embed.FS

//go:embed *.css *.js icon.svg icon-192.png icon-512.png app.webmanifest
var sources embed.FS

// views are read when the first page is made: every command of the program has this
// package, and few make one.
var views = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("views").Funcs(template.FuncMap{
		"dict":  dict,
		"piece": pieceMark, "pieced": piecedMark,
		"minus": func(a, b float64) float64 { return a - b },
		"mm":    millimetres,
		"whole": wholeParts,
	}).ParseFS(templates, "*.html"))
})

// millimetres is a length in a picture, to a tenth of what can be seen.
func millimetres(mm float64) string { return strconv.FormatFloat(math.Round(mm*100)/100, 'f', -1, 64) }

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
	kind, tag    string
	data, packed []byte
}

func newAsset(kind, file string) asset {
	data := mustRead(file)
	a := unpacked(kind, data)
	a.packed = packed(data)
	return a
}

func mustRead(file string) []byte {
	data, err := sources.ReadFile(file)
	if err != nil {
		panic(err) // the file is in the program
	}
	return data
}

// unpacked is an asset that packing would make no smaller, such as a font.
func unpacked(kind string, data []byte) asset {
	sum := sha256.Sum256(data)
	return asset{kind: kind, tag: hex.EncodeToString(sum[:8]), data: data}
}

// assets are packed when the first is asked for, as the views are read.
var assets = sync.OnceValue(func() map[string]asset {
	return map[string]asset{
		"page.css":        newAsset("text/css; charset=utf-8", "page.css"),
		"page.js":         newAsset("text/javascript; charset=utf-8", "page.js"),
		"follow.js":       newAsset("text/javascript; charset=utf-8", "follow.js"),
		"say.js":          newAsset("text/javascript; charset=utf-8", "say.js"),
		"bays.js":         newAsset("text/javascript; charset=utf-8", "bays.js"),
		"bench.js":        newAsset("text/javascript; charset=utf-8", "bench.js"),
		"move.css":        newAsset("text/css; charset=utf-8", "move.css"),
		"ask.js":          newAsset("text/javascript; charset=utf-8", "ask.js"),
		"draw.js":         newAsset("text/javascript; charset=utf-8", "draw.js"),
		"find.js":         newAsset("text/javascript; charset=utf-8", "find.js"),
		"hands.js":        newAsset("text/javascript; charset=utf-8", "hands.js"),
		"design.css":      newAsset("text/css; charset=utf-8", "design.css"),
		"design.js":       newAsset("text/javascript; charset=utf-8", "design.js"),
		"listen.css":      newAsset("text/css; charset=utf-8", "listen.css"),
		"listen.js":       newAsset("text/javascript; charset=utf-8", "listen.js"),
		"cord.js":         newAsset("text/javascript; charset=utf-8", "cord.js"),
		"icon.svg":        newAsset("image/svg+xml", "icon.svg"),
		"icon-192.png":    unpacked("image/png", mustRead("icon-192.png")),
		"icon-512.png":    unpacked("image/png", mustRead("icon-512.png")),
		"regular.woff2":   unpacked("font/woff2", font.Regular),
		"bold.woff2":      unpacked("font/woff2", font.Bold),
		"device.js":       newAsset("text/javascript; charset=utf-8", "device.js"),
		"sw.js":           newAsset("text/javascript; charset=utf-8", "sw.js"),
		"app.webmanifest": newAsset("application/manifest+json", "app.webmanifest"),
	}
})

func file(w http.ResponseWriter, r *http.Request) { serveAsset(w, r, r.PathValue("file")) }

// worker stands at the root: a service worker sees to addresses beneath its own.
func worker(w http.ResponseWriter, r *http.Request) { serveAsset(w, r, "sw.js") }

func serveAsset(w http.ResponseWriter, r *http.Request, called string) {
	a, ok := assets()[called]
	if !ok {
		http.NotFound(w, r)
		return
	}
	data, tag := a.data, a.tag
	w.Header().Set("Vary", "Accept-Encoding")
	if a.packed != nil && takesPacked(r) {
		data, tag = a.packed, tag+"-packed"
		w.Header().Set("Content-Encoding", "gzip")
	}
	w.Header().Set("Content-Type", a.kind)
	w.Header().Set("ETag", `"`+tag+`"`)
	w.Header().Set("Cache-Control", "no-cache")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
}

func takesPacked(r *http.Request) bool {
	return strings.Contains(r.Header.Get("Accept-Encoding"), "gzip")
}

// packed is data in gzip (RFC 1952).
func packed(data []byte) []byte {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	// A buffer takes everything.
	_, _ = z.Write(data)
	_ = z.Close()
	return b.Bytes()
}

// framed is a view with its frame.
type framed interface{ base() *frame }

// write sends a view. It is made whole first, so that a fault never leaves half
// of one.
func write(w http.ResponseWriter, r *http.Request, code int, name string, v framed) {
	v.base().admit(r)
	var b bytes.Buffer
	if err := views().ExecuteTemplate(&b, name, v); err != nil {
		http.Error(w, words.Put("the page could not be made: {reason}", "reason", err.Error()), http.StatusInternalServerError)
		return
	}
	sendPacked(w, r, code, "text/html; charset=utf-8", cut(b.Bytes()).html)
}
