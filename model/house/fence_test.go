package house_test

import (
	"slices"
	"testing"

	"bayhand/model/house"
)

func TestFenceOf(t *testing.T) {
	for link, want := range map[string]house.Fence{
		"serial:/dev/ttyUSB0?baud=9600":                  house.Cable,
		"midi:Port 1":                                    house.Cable,
		"rawmidi:/dev/snd/midiC1D0":                      house.Cable,
		"tcp:10.0.0.1:5025":                              house.NoFence,
		"rfc2217:console:2001?baud=9600":                 house.FenceUnknown,
		"rfc2217:console:2001?baud=9600&clients=one":     house.OneClient,
		"rfc2217:[fe80::1]:2001?clients=newest&baud=300": house.NewestClient,
		"rfc2217:console:2001?clients=many":              house.FenceUnknown,
		"":                                               house.FenceUnknown,
	} {
		if got := house.FenceOf(link); got != want {
			t.Errorf("%s has fence %d, want %d", link, got, want)
		}
	}
}

func TestServed(t *testing.T) {
	h := house.House{Hosts: []house.Host{{Name: "a", Lines: []string{"grid"}}, {Name: "b", StandBy: []string{"wall", "grid"}}, {Name: "c", StandBy: []string{"grid"}}}}
	if got := h.Served(); !slices.Equal(got, []string{"grid", "wall"}) {
		t.Errorf("served are %v", got)
	}
}
