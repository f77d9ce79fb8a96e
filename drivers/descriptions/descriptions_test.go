package descriptions_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bayhand/drivers/descriptions"
)

func TestNamed(t *testing.T) {
	studio := t.TempDir()
	other := t.TempDir()
	write(t, filepath.Join(studio, "my-switch.yaml"), "device: my-switch\n")
	write(t, filepath.Join(studio, "scpi-switch.yaml"), "device: my-own\n")
	write(t, filepath.Join(other, "devices", "far.yaml"), "device: far\n")
	write(t, filepath.Join(studio, "folder.yaml", "x"), "")

	tests := []struct {
		name, file, holds string
	}{
		{"scpi-switch", "scpi-switch.yaml", "SCPI-1999"},
		{"./scpi-switch.yaml", filepath.Join(studio, "scpi-switch.yaml"), "my-own"},
		{"./my-switch.yaml", filepath.Join(studio, "my-switch.yaml"), "my-switch"},
		{"my-switch", filepath.Join(studio, "my-switch.yaml"), "my-switch"},
		{"devices/far", filepath.Join(other, "devices", "far.yaml"), "far"},
		{filepath.Join(other, "devices", "far.yaml"), filepath.Join(other, "devices", "far.yaml"), "far"},
	}
	for _, test := range tests {
		file, src, err := descriptions.Named(test.name, studio, other)
		if err != nil {
			t.Errorf("Named(%q): %v", test.name, err)
			continue
		}
		if file != test.file || !strings.Contains(string(src), test.holds) {
			t.Errorf("Named(%q) = %s holding %q, want %s holding %q", test.name, file, src, test.file, test.holds)
		}
	}
	for name, want := range map[string]string{
		"scpi-swich": "did you mean scpi-switch?",
		"nothing":    "those that ship are",
		"":           "the name is empty",
		"../folder":  "no such device description",
		"folder":     "no such device description",
	} {
		_, _, err := descriptions.Named(name, studio)
		if !errors.Is(err, descriptions.ErrUnknown) || !strings.Contains(err.Error(), want) {
			t.Errorf("Named(%q) = %v, want it to say %q", name, err, want)
		}
	}
}

func write(t *testing.T, file, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}
