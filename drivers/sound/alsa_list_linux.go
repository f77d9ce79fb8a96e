package sound

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// listALSA reads what the kernel writes about its cards, below root, and opens none.
func listALSA(root string) ([]Found, error) {
	players, err := filepath.Glob(filepath.Join(root, "dev/snd/pcmC*D*p"))
	if err != nil {
		return nil, err
	}
	found := []Found{}
	for _, path := range players {
		if _, err := os.Stat(strings.TrimSuffix(path, "p") + "c"); err != nil {
			continue
		}
		card, device, _ := strings.Cut(strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "pcmC"), "p"), "D")
		f := Found{Address: "alsa:hw:" + card + "," + device, Label: cardLabel(root, card, device)}
		if usb := usbOf(root, card); usb.vendor != "" && device == "0" {
			f.Steady = "alsa:usb:" + usb.vendor + ":" + usb.product + ":" + usb.serial
		}
		found = append(found, f)
	}
	return found, nil
}

// cardLabel is what the kernel calls a device of a card.
func cardLabel(root, card, device string) string {
	src, err := os.ReadFile(filepath.Join(root, "proc/asound/card"+card, "pcm"+device+"p", "info"))
	if err != nil {
		return "" // without a name it can still be named by its number
	}
	for line := range strings.Lines(string(src)) {
		if label, is := strings.CutPrefix(line, "name: "); is {
			return strings.TrimSpace(label)
		}
	}
	return ""
}

// usbOf is what a card says of itself as a USB device; empty where it is none.
func usbOf(root, card string) cardName {
	folder, err := filepath.EvalSymlinks(filepath.Join(root, "sys/class/sound/card"+card, "device"))
	top := filepath.Join(root, "sys")
	for err == nil && strings.HasPrefix(folder, top) && folder != top {
		if vendor := line(folder, "idVendor"); vendor != "" {
			return cardName{card: card, vendor: strings.ToLower(vendor), product: strings.ToLower(line(folder, "idProduct")), serial: line(folder, "serial")}
		}
		folder = filepath.Dir(folder)
	}
	return cardName{}
}

func line(folder, file string) string {
	src, err := os.ReadFile(filepath.Join(folder, file))
	if err != nil {
		return "" // not every folder on the way up has it
	}
	return strings.TrimSpace(string(src))
}

// pathOf is the file of a device without the letter of its direction.
func pathOf(root, text string) (string, error) {
	n, err := parseCard(text)
	if err != nil {
		return "", err
	}
	if n.vendor != "" {
		if n.card, err = cardOfUSB(root, n); err != nil {
			return "", err
		}
	} else if strings.Trim(n.card, "0123456789") != "" {
		// A card's name is a link to its number.
		target, err := os.Readlink(filepath.Join(root, "proc/asound", n.card))
		if err != nil {
			return "", fmt.Errorf("%w: no card is called %q (`bayhand links` lists those that are there)", ErrNoDevice, n.card)
		}
		n.card = strings.TrimPrefix(filepath.Base(target), "card")
	}
	return filepath.Join(root, "dev/snd", "pcmC"+n.card+"D"+n.device), nil
}

func cardOfUSB(root string, want cardName) (string, error) {
	cards, err := filepath.Glob(filepath.Join(root, "sys/class/sound/card*"))
	if err != nil {
		return "", err
	}
	var found []string
	for _, path := range cards {
		card := strings.TrimPrefix(filepath.Base(path), "card")
		have := usbOf(root, card)
		if have.vendor == want.vendor && have.product == want.product && (want.serial == "" || have.serial == want.serial) {
			found = append(found, card)
		}
	}
	switch len(found) {
	case 0:
		return "", fmt.Errorf("%w: no such USB sound device is plugged in (`bayhand links` lists those that are)", ErrNoDevice)
	case 1:
		return found[0], nil
	}
	return "", errors.New("several USB sound devices are so called; add the serial number, or name the card as hw:1,0")
}
