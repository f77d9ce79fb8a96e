package sound

import (
	"fmt"
	"strings"
)

// Kind is how a sound device is reached.
type Kind uint8

const (
	// KindUnknown is no link: the zero value.
	KindUnknown Kind = iota
	// ALSA is a device of the Linux kernel, opened without any library.
	ALSA
	// Pulse is a sound server that speaks the native protocol of PulseAudio.
	Pulse
	// Files is a device that is reached by recordings of other programs alone.
	Files
)

// String is the word that links begin with.
func (k Kind) String() string {
	switch k {
	case ALSA:
		return "alsa"
	case Pulse:
		return "pulse"
	case Files:
		return "files"
	case KindUnknown:
	}
	return ""
}

// Address is a link to a sound device, taken apart.
type Address struct {
	Kind Kind
	// Play and Record are what plays and what records: cards of ALSA, or the names of
	// a sink and a source, empty for the server's usual ones.
	Play, Record string
}

// Parse takes a link apart: alsa:hw:1,0 or alsa:usb:VENDOR:PRODUCT:SERIAL, with a
// second device after a plus sign where another one records; pulse:SINK,SOURCE;
// files. It opens nothing.
func Parse(link string) (Address, error) {
	word, rest, _ := strings.Cut(link, ":")
	switch {
	case link == Files.String():
		return Address{Kind: Files}, nil
	case word == ALSA.String():
		play, record, two := strings.Cut(rest, "+")
		if !two {
			record = play
		}
		for _, d := range []string{play, record} {
			if _, err := parseCard(d); err != nil {
				return Address{}, fmt.Errorf("%q: %w", link, err)
			}
		}
		return Address{Kind: ALSA, Play: play, Record: record}, nil
	case word == Pulse.String():
		sink, source, _ := strings.Cut(rest, ",")
		return Address{Kind: Pulse, Play: sink, Record: source}, nil
	}
	return Address{}, fmt.Errorf("%q is no link to a sound device; write alsa:hw:1,0, alsa:usb:VENDOR:PRODUCT:SERIAL, pulse:SINK,SOURCE or files", link)
}

// String is a link that Parse reads as the same.
func (a Address) String() string {
	switch {
	case a.Kind == Files:
		return a.Kind.String()
	case a.Kind == Pulse:
		return "pulse:" + a.Play + "," + a.Record
	case a.Play == a.Record:
		return a.Kind.String() + ":" + a.Play
	}
	return a.Kind.String() + ":" + a.Play + "+" + a.Record
}

// cardName names a device of ALSA: by card and device, or by what a USB device says
// of itself.
type cardName struct {
	card, device            string
	vendor, product, serial string
}

// parseCard reads hw:CARD,DEVICE, where CARD is a number or the card's name, or
// usb:VENDOR:PRODUCT:SERIAL.
func parseCard(text string) (cardName, error) {
	if rest, is := strings.CutPrefix(text, "hw:"); is {
		card, device, two := strings.Cut(rest, ",")
		if !two {
			device = "0"
		}
		if card == "" || device == "" || strings.Trim(device, "0123456789") != "" || strings.ContainsAny(card, "/.") {
			return cardName{}, fmt.Errorf("%q is no device; write hw:1,0: the card's number or name, and the device", text)
		}
		return cardName{card: card, device: device}, nil
	}
	if rest, is := strings.CutPrefix(text, "usb:"); is {
		parts := strings.SplitN(rest, ":", 3)
		if len(parts) >= 2 && len(parts[0]) == 4 && len(parts[1]) == 4 {
			n := cardName{device: "0", vendor: strings.ToLower(parts[0]), product: strings.ToLower(parts[1])}
			if len(parts) == 3 {
				n.serial = parts[2]
			}
			return n, nil
		}
	}
	return cardName{}, fmt.Errorf("%q is no device; write hw:1,0 or usb:VENDOR:PRODUCT:SERIAL", text)
}
