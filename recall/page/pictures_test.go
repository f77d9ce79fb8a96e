package page

import (
	"fmt"
	"testing"
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

// What the views look like at five sizes, for eyes: -shots FOLDER writes the pictures.
func TestPictures(t *testing.T) {
	if *shots == "" {
		t.Skip("no folder for pictures")
	}
	h := handsWanted(t)
	for called, at := range fiveSizes {
		v := visit(t, at)
		for view, address := range map[string]string{
			"bay": "/", "session": "/sessions/tern-mix-1", "happened": "/happened", "sessions": "/sessions", "bench": "/bench", "follow": "/?at=main/t2",
		} {
			v.open(h, address)
			v.shoot(fmt.Sprintf("%s-%s", view, called))
		}
	}
}
