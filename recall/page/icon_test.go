package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image/png"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// What the page is installed from (W3C Web Application Manifest): each icon is there, of
// the kind and the size that the manifest says, one that any launcher may cut among them.
func TestAppCanBeInstalled(t *testing.T) {
	var manifest struct {
		Name    string `json:"name"`
		Start   string `json:"start_url"`
		Display string `json:"display"`
		Icons   []struct {
			Src, Sizes, Type, Purpose string
		} `json:"icons"`
	}
	get := func(path string) *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		newPage(Options{}).routes().ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		return w
	}
	if err := json.Unmarshal(get("/page/app.webmanifest").Body.Bytes(), &manifest); err != nil {
		t.Fatal(err)
	}
	kinds := map[string]bool{}
	for _, icon := range manifest.Icons {
		w := get(icon.Src)
		if w.Code != http.StatusOK || w.Header().Get("Content-Type") != icon.Type {
			t.Errorf("%s is answered with %d, %s", icon.Src, w.Code, w.Header().Get("Content-Type"))
		}
		kinds[icon.Sizes+" "+icon.Purpose] = true
		if !strings.HasSuffix(icon.Src, ".png") {
			continue
		}
		picture, err := png.Decode(bytes.NewReader(w.Body.Bytes()))
		if err != nil {
			t.Fatal(err)
		}
		if size := fmt.Sprintf("%dx%d", picture.Bounds().Dx(), picture.Bounds().Dy()); size != icon.Sizes {
			t.Errorf("%s is %s", icon.Src, size)
		}
		if _, _, _, solid := picture.At(0, 0).RGBA(); icon.Purpose == "maskable" && solid != 0xffff {
			t.Errorf("%s is cut at its corner already", icon.Src)
		}
	}
	if !kinds["192x192 any"] || !kinds["512x512 any"] || !kinds["512x512 maskable"] || manifest.Start != "/" || manifest.Display != "standalone" {
		t.Errorf("the manifest says %+v", manifest)
	}
}
