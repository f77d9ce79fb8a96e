package layout_test

import (
	"testing"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

func room() *studio.Studio {
	pairs := func(n int) []studio.Mode { return make([]studio.Mode, n) }
	return &studio.Studio{
		Racks: []studio.Rack{{Name: "left", X: 30 * measure.Centimetre}},
		Bays: []studio.Bay{
			{Name: "main", Modes: pairs(48), Jack: studio.Bantam, Pitch: 7900 * measure.Micrometre, At: studio.Place{Said: true, Rack: "left", Unit: 20}},
			{Name: "far", Modes: pairs(16), Jack: studio.QuarterInch, At: studio.Place{Said: true, X: 100 * measure.Centimetre, Y: 90 * measure.Centimetre}},
			{Name: "spare", Modes: pairs(8), Jack: studio.QuarterInch},
			{Name: "spare-two", Modes: pairs(8), Jack: studio.Bantam},
		},
		Stock: studio.Stock{
			Slack: 10 * measure.Centimetre,
			Cords: []studio.StockCord{
				{Length: 60 * measure.Centimetre, Count: 2},
				{Length: 30 * measure.Centimetre, Ends: [2]studio.Jack{studio.Bantam, studio.Bantam}, Count: 1},
				{Length: 20 * measure.Centimetre},
			},
		},
	}
}

func point(t *testing.T, text string) name.Point {
	t.Helper()
	p, err := name.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// One rack unit is 44.45 mm (EIA-310-D, IEC 60297-3-100).
func TestAt(t *testing.T) {
	s := room()
	for _, c := range []struct {
		jack string
		x, y float64 // mm
		ok   bool
	}{
		{"main/t1", 300, 889, true},
		{"main/b48", 300 + 47*7.9, 869, true},
		{"far/t2", 1000 + 15.875, 900, true},
		{"spare/t1", 0, 0, true},
		{"spare-two/b2", 7.9375, -120, true},
		{"main/t49", 0, 0, false},
		{"main/x1", 0, 0, false},
		{"desk/out1", 0, 0, false},
	} {
		spot, ok := layout.At(s, point(t, c.jack))
		want := layout.Spot{X: measure.Length(c.x*1e6 + 0.5), Y: measure.Length(c.y * 1e6)}
		if ok != c.ok || ok && spot != want {
			t.Errorf("%s stands at %v (%v), want %v (%v)", c.jack, spot, ok, want, c.ok)
		}
	}
}

func TestReaches(t *testing.T) {
	s := room()
	// 25 columns of 7.9 mm and one row of 20 mm: 217.5 mm, and 100 mm of slack.
	a, b := point(t, "main/t1"), point(t, "main/b26")
	if way, ok := layout.Distance(s, a, b); !ok || way != 217500*measure.Micrometre {
		t.Errorf("the way is %s", way)
	}
	if !layout.Reaches(s, a, b, 317500*measure.Micrometre) {
		t.Error("a cord as long as the way and its slack does not reach")
	}
	if layout.Reaches(s, a, b, 317499*measure.Micrometre) {
		t.Error("a cord shorter than the way and its slack reaches")
	}
}

func TestShortest(t *testing.T) {
	s := room()
	for _, c := range []struct{ a, b, want string }{
		{"main/t1", "main/b2", "30 cm"},
		{"main/t1", "main/b30", "60 cm"},
		{"spare/t1", "spare/b2", "60 cm"},
		{"main/t1", "far/t16", "none"},
	} {
		got := "none"
		if length, ok := layout.Shortest(s, point(t, c.a), point(t, c.b)); ok {
			got = length.String()
		}
		if got != c.want {
			t.Errorf("from %s to %s: %s, want %s", c.a, c.b, got, c.want)
		}
	}
	s.Stock.Unlimited = true
	if length, ok := layout.Shortest(s, point(t, "main/t1"), point(t, "main/b26")); !ok || length != 317500*measure.Micrometre {
		t.Errorf("of a stock without limits: %s", length)
	}
}

func TestFits(t *testing.T) {
	mixed := [2]studio.Jack{studio.Bantam, studio.QuarterInch}
	if !layout.Fits(mixed, studio.QuarterInch, studio.Bantam) || layout.Fits(mixed, studio.Bantam, studio.Bantam) {
		t.Error("a cord of two kinds of plug fits one jack of each")
	}
	if !layout.Fits([2]studio.Jack{}, studio.Bantam, studio.QuarterInch) {
		t.Error("plugs that nobody said fit anything")
	}
}
