package measure_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bayhand/model/measure"
)

func TestCapacities(t *testing.T) {
	for _, test := range []struct {
		text  string
		want  measure.Capacity
		print string
	}{
		{"60 pF/m", 60, "60 pF/m"},
		{"99.5pF/m", 99.5, "99.5 pF/m"},
		{"100 nF/km", 100, "100 pF/m"},
		{"0 pF/m", 0, "0 pF/m"},
	} {
		got, err := measure.ParseCapacity(test.text)
		if err != nil || got != test.want || got.String() != test.print {
			t.Errorf("%s is %v (%v), want %s", test.text, got, err, test.print)
		}
	}
	if got := measure.Capacity(100).FaradPerMetre(); got != 1e-10 {
		t.Errorf("100 pF/m is %v F/m", got)
	}
	for _, text := range []string{"", "60", "60 pF", "x pF/m", "-1 pF/m", "NaN pF/m", "Inf pF/m", "60 pf/m", "1e6 pF/m"} {
		if c, err := measure.ParseCapacity(text); err == nil || !strings.Contains(err.Error(), "pF/m") {
			t.Errorf("%q is %v (%v)", text, c, err)
		}
	}
}

// 13.3 ohm/km is the most that 1.5 mm2 of class 5 may have at 20 degrees
// (IEC 60228).
func TestResistivities(t *testing.T) {
	for _, test := range []struct {
		text  string
		want  measure.Resistivity
		print string
	}{
		{"0.08 ohm/m", 0.08, "0.08 ohm/m"},
		{"13.3 ohm/km", 0.0133, "0.0133 ohm/m"},
		{"0 ohm/m", 0, "0 ohm/m"},
	} {
		got, err := measure.ParseResistivity(test.text)
		if err != nil || got != test.want || got.String() != test.print {
			t.Errorf("%s is %v (%v), want %s", test.text, got, err, test.print)
		}
	}
	for _, text := range []string{"", "0.08", "0.08 ohm", "x ohm/m", "-1 ohm/m", "NaN ohm/km", "2e3 ohm/m"} {
		if r, err := measure.ParseResistivity(text); err == nil || !strings.Contains(err.Error(), "ohm/m") {
			t.Errorf("%q is %v (%v)", text, r, err)
		}
	}
}

func TestCableQuantitiesPrintAndParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := measure.Capacity(rapid.IntRange(0, 1e6).Draw(t, "tenths of pF/m")) / 10
		if back, err := measure.ParseCapacity(c.String()); err != nil || back != c {
			t.Fatalf("%v prints as %s, which is %v (%v)", float64(c), c, float64(back), err)
		}
		r := measure.Resistivity(rapid.IntRange(0, 1e6).Draw(t, "thousandths of ohm/m")) / 1000
		if back, err := measure.ParseResistivity(r.String()); err != nil || back != r {
			t.Fatalf("%v prints as %s, which is %v (%v)", float64(r), r, float64(back), err)
		}
	})
}
