package page

import (
	"errors"
	"fmt"
	"os"
	"testing"

	"github.com/chromedp/cdproto/emulation"
)

// fiveSizes are the screens on which the page was looked at: two desks, a tablet on
// the wall, a phone, and a phone in the dark.
var fiveSizes = map[string]screen{
	"1920":       {width: 1920, height: 1080},
	"1440":       {width: 1440, height: 900},
	"tablet":     {width: 820, height: 1180, phone: true},
	"phone":      phone,
	"phone-dark": phone.inTheDark(),
}

// What the views look like at five sizes, in forced colours and at twice the size of
// letters, for eyes: -shots FOLDER writes the pictures.
func TestPictures(t *testing.T) {
	if *shots == "" {
		t.Skip("no folder for pictures")
	}
	views := everyView(t)
	for called, at := range fiveSizes {
		v := visit(t, at)
		for _, view := range views {
			v.open(view.at, view.path)
			v.shoot(fmt.Sprintf("%s-%s", view.called, called))
		}
	}
	v := visit(t, screen{width: 720, height: 450})
	for _, odd := range []string{"double", "forced"} {
		if odd == "forced" {
			v.emulate(screen{width: 1440, height: 900})
			v.media("", &emulation.MediaFeature{Name: "forced-colors", Value: "active"})
		}
		for _, view := range views {
			v.open(view.at, view.path)
			v.shoot(fmt.Sprintf("%s-%s", view.called, odd))
		}
	}
}

// drawable lets the studio's file of the demo be drawn in a house; nothing is written.
func drawable(t testing.TB, h *house) {
	t.Helper()
	src, err := os.ReadFile("../../cmd/bayhand/demo/heron/studio.yaml")
	if err != nil {
		t.Fatal(err)
	}
	h.draft = &Draft{File: "studio.yaml", Load: func() ([]byte, error) { return src, nil }, Save: func(_, _ []byte) error { return errors.New("the disk is full") }}
	h.look()
}
