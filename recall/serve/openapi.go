package serve

import (
	_ "embed"
	"net/http"

	"bayhand/recall/web"
)

// openAPI describes all that is answered but the page (OpenAPI Specification
// 3.1.0). The tests hold the server against it, and it against the server.
//
//go:embed openapi.json
var openAPI []byte

func (h api) described(w http.ResponseWriter, _ *http.Request) {
	web.BoundWriting(w)
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	// A reader that is gone needs no answer.
	_, _ = w.Write(openAPI)
}
