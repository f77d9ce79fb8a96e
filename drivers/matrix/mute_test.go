package matrix_test

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"

	"bayhand/drivers/descriptions/shipped"
	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/studio"
)

// muting is the line protocol with a mute: invented, as no open standard for
// switching has one.
func muting(t *testing.T) *device.Description {
	d := shipped.Named(t, "line-switch")
	words := func(text string) []device.Field { return []device.Field{{Kind: device.Literal, Bytes: []byte(text)}} }
	d.Exchanges = append(d.Exchanges,
		device.Exchange{Role: device.Mute, Send: words("QUIET\n"), Answer: words("IT IS QUIET\n"), Refusal: words("NOT THAT\n")},
		device.Exchange{Role: device.Unmute, Send: words("HEARD\n"), Answer: words("IT IS HEARD\n"), Refusal: words("NOT THAT\n")})
	return d
}

// A device that was pulled between mute and unmute has all its crosspoints, so no
// Switch follows: it is let be heard when it is opened again, once.
func TestPulledWhileMute(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		pulled := newFake(t, say("QUIET\n", "IT IS QUIET\n"), turn{want: "SET 1=2\n", after: ms, say: []string{"DONE\n"}, gone: true})
		m := drive(t, muting(t), grid(2, 2, studio.Amplifiers), pulled)
		if err := m.Switch(context.Background(), nil, points("1-2")); err != nil && !errors.Is(err, matrix.ErrGone) {
			t.Errorf("the pulled link gave %v", err)
		} else if err == nil {
			t.Error("it was not said that the device may still be mute")
		}
		end(t, m)
		again := newFake(t, say("HEARD\n", "IT IS HEARD\n"), say("READ\n", "IS 2 0\n"))
		m = drive(t, muting(t), grid(2, 2, studio.Amplifiers), again)
		defer end(t, m)
		for range 2 {
			if err := m.Unmute(context.Background()); err != nil {
				t.Error(err)
			}
		}
		wantRead(t, m, "1-2")
	})
}

func TestUnmuteIsRefused(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m := drive(t, muting(t), grid(2, 2, studio.Amplifiers), newFake(t, say("HEARD\n", "NOT THAT\n")))
		defer end(t, m)
		if err := m.Unmute(context.Background()); !errors.Is(err, matrix.ErrRefused) {
			t.Errorf("%v, want a refusal", err)
		}
	})
}

func TestNothingToUnmute(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		m := drive(t, shipped.Named(t, "line-switch"), grid(2, 2, studio.Amplifiers), newFake(t))
		defer end(t, m)
		if err := m.Unmute(context.Background()); err != nil {
			t.Error(err)
		}
	})
}
