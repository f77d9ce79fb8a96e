package sound_test

import (
	"errors"
	"testing"

	"bayhand/drivers/sound"
)

// A link prints as it is read, and what is none is said to be none.
func TestLinks(t *testing.T) {
	for _, link := range []string{"alsa:hw:1,0", "alsa:hw:Lines,2", "alsa:hw:1,0+hw:1,1", "alsa:usb:1d6b:0104:0001", "pulse:out,out.monitor", "pulse:,", "files"} {
		a, err := sound.Parse(link)
		if err != nil || a.String() != link {
			t.Errorf("%s is %v, %v", link, a, err)
		}
	}
	for _, link := range []string{"", "alsa", "alsa:", "alsa:hw:", "alsa:hw:../x,0", "alsa:hw:1,x", "alsa:usb:1d6b", "alsa:hw:1,0+", "midi:1", "files:x"} {
		if a, err := sound.Parse(link); err == nil {
			t.Errorf("%q is taken for %v", link, a)
		}
	}
	if _, err := sound.Open("files", sound.Want{Rate: 48000, Outputs: 2, Inputs: 2}); !errors.Is(err, sound.ErrNoDevice) {
		t.Errorf("files open as %v", err)
	}
}
