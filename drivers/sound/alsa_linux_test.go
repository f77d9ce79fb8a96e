package sound

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"unsafe"

	"golang.org/x/sys/unix"
)

// The numbers of the kernel's sound/asound.h for machines of 64 bits: from memory,
// and worked in an emulated machine.
func TestNumbersOfTheKernel(t *testing.T) {
	if unsafe.Sizeof(uint(0)) != 8 {
		t.Skip("the numbers are those of 64 bits")
	}
	for what, pair := range map[string][2]uintptr{
		"hw_params": {unsafe.Sizeof(hwParams{}), 608}, "sw_params": {unsafe.Sizeof(swParams{}), 136},
		"HW_REFINE": {ioctlRefine, 0xc2604110}, "HW_PARAMS": {ioctlHWParams, 0xc2604111}, "SW_PARAMS": {ioctlSWParams, 0xc0884113},
		"PREPARE": {ioctlPrepare, 0x4140}, "START": {ioctlStart, 0x4142}, "DROP": {ioctlDrop, 0x4143}, "LINK": {ioctlLink, 0x40044160},
	} {
		if pair[0] != pair[1] {
			t.Errorf("%s is %#x, not %#x", what, pair[0], pair[1])
		}
	}
}

// machine writes files as the kernel has them.
func machine(t *testing.T, files map[string]string) string {
	t.Helper()
	root := t.TempDir()
	for name, text := range files {
		path := filepath.Join(root, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return root
}

// A card is found by its number, its name and what it says of itself at the USB
// socket; one that only plays is not listed.
func TestCardsAreFound(t *testing.T) {
	root := machine(t, map[string]string{
		"dev/snd/pcmC0D0p": "", "dev/snd/pcmC1D0p": "", "dev/snd/pcmC1D0c": "",
		"proc/asound/card1/pcm0p/info": "card: 1\nname: Boathouse Lines\n",
		"sys/devices/usb1/idVendor":    "1D6b\n", "sys/devices/usb1/idProduct": "0104\n", "sys/devices/usb1/serial": "0001\n",
		"sys/devices/usb1/if/sound/card1/id": "Lines\n",
	})
	for link, target := range map[string]string{
		"proc/asound/Lines":                      "card1",
		"sys/class/sound/card1":                  "../../devices/usb1/if/sound/card1",
		"sys/devices/usb1/if/sound/card1/device": "../..",
	} {
		if err := os.MkdirAll(filepath.Dir(filepath.Join(root, link)), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(target, filepath.Join(root, link)); err != nil {
			t.Fatal(err)
		}
	}
	found, err := listALSA(root)
	want := Found{Address: "alsa:hw:1,0", Label: "Boathouse Lines", Steady: "alsa:usb:1d6b:0104:0001"}
	if err != nil || len(found) != 1 || found[0] != want {
		t.Errorf("%+v, %v", found, err)
	}
	for _, name := range []string{"hw:1,0", "hw:Lines", "usb:1D6B:0104", "usb:1d6b:0104:0001"} {
		if path, err := pathOf(root, name); err != nil || path != filepath.Join(root, "dev/snd/pcmC1D0") {
			t.Errorf("%s is %s, %v", name, path, err)
		}
	}
	for _, name := range []string{"usb:1d6b:0104:0002", "hw:Other,0"} {
		if _, err := pathOf(root, name); !errors.Is(err, ErrNoDevice) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := openALSA(root, Address{Kind: ALSA, Play: "hw:3,0", Record: "hw:3,0"}, Want{Rate: 48000, Outputs: 2, Inputs: 2}); !errors.Is(err, ErrNoDevice) {
		t.Errorf("a card that is not there: %v", err)
	}
}

// What the kernel says is told as what it means.
func TestErrorsInPlainWords(t *testing.T) {
	for errno, want := range map[error]error{
		unix.EBUSY: ErrBusy, unix.ENODEV: ErrGone, unix.EPIPE: ErrLost, unix.ESTRPIPE: ErrLost,
		os.ErrDeadlineExceeded: ErrNoInput, unix.ENOENT: ErrNoDevice, unix.EACCES: ErrNoDevice,
	} {
		if err := plain("/dev/snd/pcmC1D0p", &os.PathError{Op: "write", Path: "x", Err: errno}); !errors.Is(err, want) {
			t.Errorf("%v is told as %v", errno, err)
		}
	}
}
