package measure_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bayhand/model/measure"
)

func TestLengths(t *testing.T) {
	for _, test := range []struct {
		text  string
		want  measure.Length
		print string
	}{
		{"7.9 mm", 7900 * measure.Micrometre, "7.9 mm"},
		{"7.9375 mm", 7937500, "7.9375 mm"},
		{"60 cm", 600 * measure.Millimetre, "60 cm"},
		{"60cm", 600 * measure.Millimetre, "60 cm"},
		{"120 cm", 120 * measure.Centimetre, "120 cm"},
		{"2 m", 2 * measure.Metre, "2 m"},
		{"1400 cm", 14 * measure.Metre, "14 m"},
		{"12500 mm", 12500 * measure.Millimetre, "12.5 m"},
		{"1999.5 mm", 1999500 * measure.Micrometre, "1999.5 mm"},
		{"-14 m", -14 * measure.Metre, "-14 m"},
		{"-3 cm", -30 * measure.Millimetre, "-3 cm"},
		// One unit of a rack (EIA-310-D, IEC 60297-3-100).
		{"44.45 mm", measure.RackUnit, "44.45 mm"},
	} {
		got, err := measure.ParseLength(test.text)
		if err != nil || got != test.want || got.String() != test.print {
			t.Errorf("%s is %v (%v), want %s", test.text, got, err, test.print)
		}
	}
	for _, text := range []string{"", "60", "60 inch", "cm", "x cm", "2 km", "1001 m", "NaN m", "+Inf m", "60 cm 3 mm"} {
		if l, err := measure.ParseLength(text); err == nil || !strings.Contains(err.Error(), `"`+text+`"`) {
			t.Errorf("%q is %v (%v)", text, l, err)
		}
	}
}

func TestLengthsPrintAndParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := measure.Length(rapid.Int64Range(-int64(1000*measure.Metre), int64(1000*measure.Metre)).Draw(t, "length"))
		if back, err := measure.ParseLength(l.String()); err != nil || back != l {
			t.Fatalf("%d nm prints as %s, which is %d (%v)", l, l, back, err)
		}
		text, err := l.MarshalText()
		var back measure.Length
		if err != nil || back.UnmarshalText(text) != nil || back != l {
			t.Fatalf("%d nm is marshalled as %s, which is %d", l, text, back)
		}
	})
}

// Files keep what they had: a length in metres is written in them as before.
func TestLengthsInFiles(t *testing.T) {
	for text, want := range map[string]string{"14 m": "1400 cm", "60 cm": "60 cm", "44.45 mm": "44.45 mm", "2.345 m": "2345 mm"} {
		l, err := measure.ParseLength(text)
		got, _ := l.MarshalText()
		if err != nil || string(got) != want {
			t.Errorf("%s is written as %s (%v), want %s", text, got, err, want)
		}
	}
}

// 0 dBu is sqrt(0.6) V and 0 dBV is 1 V, by definition; the numbers below follow
// from that, to the digits given.
func TestLevels(t *testing.T) {
	for _, test := range []struct {
		text  string
		volts float64
	}{
		{"0 dBu", 0.774597},
		{"+4 dBu", 1.22765},
		{"-10 dBV", 0.316228},
		{"0 dBV", 1},
		{"+24 dBu", 12.2765},
		{"-20 dBu", 0.07746},
		{"-50 dBu", 0.0024495},
		{"4dBu", 1.22765},
	} {
		got, err := measure.ParseLevel(test.text)
		if err != nil || math.Abs(got.Volts()/test.volts-1) > 1e-5 {
			t.Errorf("%s is %v, %v V (%v), want %v V", test.text, got, got.Volts(), err, test.volts)
		}
	}
	four, _ := measure.ParseLevel("+4 dBu")
	ten, _ := measure.ParseLevel("-10 dBV")
	if d := float64(four - ten); math.Abs(d-11.7815) > 1e-4 {
		t.Errorf("from -10 dBV to +4 dBu it is %v dB, want 11.7815", d)
	}
	for _, text := range []string{"", "4", "4 dB", "x dBu", "4 dBm", "201 dBu", "NaN dBu", "4 dbu"} {
		if l, err := measure.ParseLevel(text); err == nil || !strings.Contains(err.Error(), "dBu or dBV") {
			t.Errorf("%q is %v (%v)", text, l, err)
		}
	}
}

func TestLevelsPrintAndParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := measure.Level(rapid.IntRange(-20000, 20000).Draw(t, "hundredths")) / 100
		if back, err := measure.ParseLevel(l.String()); err != nil || math.Abs(float64(back-l)) > 1e-9 {
			t.Fatalf("%v prints as %s, which is %v (%v)", float64(l), l, float64(back), err)
		}
	})
}

func TestImpedances(t *testing.T) {
	for _, test := range []struct {
		text  string
		want  measure.Impedance
		print string
	}{
		{"100 ohm", 100, "100 ohm"},
		{"10 kohm", 10e3, "10 kohm"},
		{"1.5kohm", 1500, "1.5 kohm"},
		{"1 Mohm", 1e6, "1 Mohm"},
		{"0.1 ohm", 0.1, "0.1 ohm"},
		{"0 ohm", 0, "0 ohm"},
	} {
		got, err := measure.ParseImpedance(test.text)
		if err != nil || got != test.want || got.String() != test.print {
			t.Errorf("%s is %v (%v), want %s", test.text, got, err, test.print)
		}
	}
	for _, text := range []string{"", "100", "10k", "x ohm", "-1 ohm", "10 kOhm", "NaN ohm", "1e99 ohm"} {
		if z, err := measure.ParseImpedance(text); err == nil || !strings.Contains(err.Error(), "ohm") {
			t.Errorf("%q is %v (%v)", text, z, err)
		}
	}
}

func TestImpedancesPrintAndParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := measure.Impedance(rapid.IntRange(0, 1e9).Draw(t, "tenths")) / 10
		if back, err := measure.ParseImpedance(z.String()); err != nil || math.Abs(float64(back-z)) > 1e-6*float64(z) {
			t.Fatalf("%v prints as %s, which is %v (%v)", float64(z), z, float64(back), err)
		}
	})
}

func FuzzQuantities(f *testing.F) {
	for _, text := range []string{"7.9 mm", "+4 dBu", "10 kohm", "1e3 m", "0x1p4 cm", "-0 cm", "1_0 mm"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if l, err := measure.ParseLength(text); err == nil {
			if back, err := measure.ParseLength(l.String()); err != nil || back != l {
				t.Errorf("%q is %d nm, printed as %s, read as %d (%v)", text, l, l, back, err)
			}
		}
		if l, err := measure.ParseLevel(text); err == nil && math.Abs(l.Volts()) > 1e11 {
			t.Errorf("%q is %v V", text, l.Volts())
		}
		if z, err := measure.ParseImpedance(text); err == nil && (z < 0 || math.IsNaN(float64(z))) {
			t.Errorf("%q is %v", text, float64(z))
		}
	})
}
