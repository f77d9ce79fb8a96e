package text_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/model/text"
)

func point(t testing.TB, text string) name.Point {
	t.Helper()
	p, err := name.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func gearOf(t testing.TB, s *studio.Studio, text string) studio.Gear {
	t.Helper()
	for _, g := range s.Gear {
		if g.Name == text {
			return g
		}
	}
	t.Fatalf("no gear %s", text)
	return studio.Gear{}
}

func portOf(t testing.TB, s *studio.Studio, text string) studio.Port {
	t.Helper()
	p := point(t, text)
	for _, port := range gearOf(t, s, p.Owner).Ports {
		if port.Point == p {
			return port
		}
	}
	t.Fatalf("no port %s", text)
	return studio.Port{}
}

func TestGearIsRead(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	squeeze := gearOf(t, s, "squeeze")
	var ports []string
	for _, p := range squeeze.Ports {
		ports = append(ports, p.Point.String()+" "+p.Direction.String()+" "+p.Line.Name)
	}
	want := []string{"squeeze/in1 input pro-line", "squeeze/in2 input pro-line", "squeeze/out1 output pro-line", "squeeze/out2 output pro-line"}
	if diff := cmp.Diff(want, ports); diff != "" {
		t.Errorf("ports of channels (-want +got):\n%s", diff)
	}
	passes := []studio.Pass{{In: point(t, "squeeze/in1"), Out: point(t, "squeeze/out1")}, {In: point(t, "squeeze/in2"), Out: point(t, "squeeze/out2")}}
	if diff := cmp.Diff(passes, squeeze.Passes); diff != "" {
		t.Errorf("passes of channels (-want +got):\n%s", diff)
	}
	if bus := gearOf(t, s, "bus"); len(bus.Passes) != 32 || len(bus.CanPass) != 32 {
		t.Errorf("=> gives %d passes and %d that can be; 16 x 2 wanted", len(bus.Passes), len(bus.CanPass))
	}
	if desk := gearOf(t, s, "desk"); desk.Ports[0].Point != point(t, "desk/ins1.send") || desk.Ports[1].Point != point(t, "desk/ins1.return") ||
		desk.Ports[0].Direction != studio.Output || desk.Ports[1].Direction != studio.Input {
		t.Errorf("an insert is %v and %v", desk.Ports[0], desk.Ports[1])
	}
	if m := gearOf(t, s, "speakers").Mute; m != (studio.Mute{ByPerson: true, At: "monitor cut"}) {
		t.Errorf("mute by a person: %+v", m)
	}
	if m := gearOf(t, s, "cue").Mute; m != (studio.Mute{Output: point(t, "grid/out3")}) {
		t.Errorf("mute by a matrix: %+v", m)
	}
	if m := gearOf(t, s, "tank").MIDI; *m != (studio.MIDI{Port: "usb-midi", Channel: 4, First: 1}) {
		t.Errorf("MIDI: %+v", m)
	}
}

func TestLinesOfPortsAreRead(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	mic := portOf(t, s, "voice/mic2")
	want := studio.Line{Name: "microphone", Kind: studio.MicLevel, Level: -50, Max: 0, Source: 150, Load: 1500, Balanced: true, Phantom: true, Plug: "xlr"}
	if mic.Line != want {
		t.Errorf("a microphone input is %+v, want %+v", mic.Line, want)
	}
	usb := portOf(t, s, "voice/usb-out1")
	want = studio.Line{Name: "tape-line", Kind: studio.LineLevel, Level: 0, Max: 21, Source: 40, Load: 10e3, Balanced: true, Plug: "xlr"}
	if usb.Line != want {
		t.Errorf("a line of one's own with another level is %+v, want %+v", usb.Line, want)
	}
	cue := portOf(t, s, "cue/in1")
	if cue.Label != "Kopfhörer" || cue.Line.Load != 64 || cue.Line.Balanced || cue.Line.Max != 16 {
		t.Errorf("a built-in line with another load is %+v", cue)
	}
}

func TestBaysAndMatricesAreRead(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	main, far := s.Bays[0], s.Bays[1]
	for pair, mode := range map[int]studio.Mode{1: studio.HalfNormal, 17: studio.FullNormal, 28: studio.Isolated, 48: studio.Parallel} {
		if main.Modes[pair-1] != mode {
			t.Errorf("pair %d of main is %s, want %s", pair, main.Modes[pair-1], mode)
		}
	}
	if main.Pairs() != 48 || main.Jack != studio.Bantam || main.Ground != studio.Strapped || main.Pitch != 7900*measure.Micrometre ||
		main.Rows != [2]string{"a", "b"} || main.At != (studio.Place{Said: true, Rack: "left", Unit: 20}) {
		t.Errorf("main is %+v", main)
	}
	// Synonyms of the trade are read as the modes that they mean.
	modes := []studio.Mode{studio.FullNormal, studio.Isolated, studio.Isolated, studio.Isolated, studio.Parallel, studio.HalfNormalTop, studio.HalfNormal, studio.HalfNormal}
	if diff := cmp.Diff(modes, far.Modes); diff != "" {
		t.Errorf("modes of far (-want +got):\n%s", diff)
	}
	if far.At != (studio.Place{Said: true, Y: 120 * measure.Centimetre}) {
		t.Errorf("far stands at %+v", far.At)
	}
	grid, shade := s.Matrices[0], s.Matrices[1]
	device := &studio.Device{Description: "scpi-switch", Link: "serial:/dev/ttyUSB0?baud=9600", Parameters: []studio.Parameter{{Name: "rows", Value: "inputs"}}}
	if diff := cmp.Diff(device, grid.Device); diff != "" {
		t.Errorf("device of grid (-want +got):\n%s", diff)
	}
	if grid.Kind != studio.Contacts || grid.PowerOff != studio.PowerOffOpen || len(grid.Missing) != 4*8 {
		t.Errorf("grid is %v, %v, %d missing", grid.Kind, grid.PowerOff, len(grid.Missing))
	}
	if shade.Kind != studio.Amplifiers || !shade.HighImpedance || shade.PowerOff != studio.PowerOffHolds || shade.Device != nil {
		t.Errorf("shade is %+v", shade)
	}
}

func TestWhatIsWiredIsRead(t *testing.T) {
	s := readStudio(t, "testdata/ok/boathouse/studio.yaml")
	if len(s.Wires) != 16+8+2+2+1+1+2+4 {
		t.Errorf("%d wires", len(s.Wires))
	}
	// Rows are read by the names that are printed on the bay.
	if w := s.Wires[24]; w.From != point(t, "squeeze/out1") || w.To != point(t, "main/t25") || w.Key != "wiring[2]" {
		t.Errorf("a wire to main/a25 is %+v", w)
	}
	if w := s.Wires[26]; w.Run.Cable != "d-sub-1" || w.Run.Plugs != [2]string{"d-sub", "bare"} {
		t.Errorf("a wire with a cable is %+v", w)
	}
	if w := s.Wires[len(s.Wires)-1]; w.From != point(t, "main/b14") || w.To != point(t, "grid/in8") {
		t.Errorf("the last of a list is %+v", w)
	}
	if len(s.Ties) != 4 || s.Ties[3] != (studio.Tie{A: point(t, "main/b43"), B: point(t, "far/t4"), Key: "ties[1]"}) {
		t.Errorf("ties are %+v", s.Ties)
	}
	if len(s.Mults) != 1 || len(s.Mults[0].Jacks) != 3 || s.Mults[0].Key != "mults[0]" {
		t.Errorf("mults are %+v", s.Mults)
	}
	if len(s.Normals) != 1 || s.Normals[0] != (studio.Normal{From: point(t, "main/b41"), To: point(t, "far/b3"), Key: "normals[0]"}) {
		t.Errorf("normals are %+v", s.Normals)
	}
	if diff := cmp.Diff([]name.Point{point(t, "main/t13")}, s.Faulty); diff != "" {
		t.Errorf("faulty (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]name.Point{point(t, "main/t5")}, s.FaultyNormals); diff != "" {
		t.Errorf("faulty normals (-want +got):\n%s", diff)
	}
	stock := studio.Stock{Cords: []studio.StockCord{{Length: 300 * measure.Millimetre, Count: 24}, {Length: 600 * measure.Millimetre, Count: 12}}, Slack: 100 * measure.Millimetre, Cable: "cord"}
	if diff := cmp.Diff(stock, s.Stock); diff != "" {
		t.Errorf("stock (-want +got):\n%s", diff)
	}
	rest := patch.Patch{Crosspoints: []patch.Crosspoint{{Output: point(t, "grid/out1"), Input: point(t, "grid/in1")}}}
	if diff := cmp.Diff(rest, s.Rest); diff != "" {
		t.Errorf("rest (-want +got):\n%s", diff)
	}
	if s.Control == nil || *s.Control != (studio.Control{Port: "usb-midi", Channel: 16}) {
		t.Errorf("the control port is %+v", s.Control)
	}
	if s.Dummies != 8 || s.Drift != studio.Restore {
		t.Errorf("%d dummies, drift %d", s.Dummies, s.Drift)
	}
}

func TestWhatIsNotSaid(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", []byte("studio: Empty\nbays:\n  main: {pairs: 2, modes: isolated}\ncords:\n  - {length: 60 cm, ends: [bantam, quarter-inch], poles: 3, colour: red, count: 4}\n"))
	if problems != nil {
		t.Fatal(problems)
	}
	if s.Dummies != -1 || s.Drift != studio.DriftUnsaid {
		t.Errorf("%d dummies, drift %d", s.Dummies, s.Drift)
	}
	cords := []studio.StockCord{{Length: 600 * measure.Millimetre, Ends: [2]studio.Jack{studio.Bantam, studio.QuarterInch}, Poles: 3, Colour: "red", Count: 4}}
	if diff := cmp.Diff(studio.Stock{Cords: cords, Slack: studio.DefaultSlack}, s.Stock); diff != "" {
		t.Errorf("stock as a list (-want +got):\n%s", diff)
	}
	s, _, _ = text.ReadStudio("studio.yaml", []byte("studio: Empty\n"))
	if !s.Stock.Unlimited {
		t.Error("without cords the stock has an end")
	}
}

// Scalars are text as written, whatever YAML would make of them.
func TestScalarsAreReadAsWritten(t *testing.T) {
	for _, written := range []string{"off", "yes", "012", "1e3", "+4 dBu", "~", "null", "0x1F", "2026-01-31", "12:30", ".inf", "=", "true"} {
		s, _, problems := text.ReadStudio("studio.yaml", []byte("studio: "+written+"\n"))
		if problems != nil || s.Name != written {
			t.Errorf("%s is read as %q (%v)", written, s.Name, problems)
		}
	}
}

func TestPlacesByKey(t *testing.T) {
	file := "testdata/ok/boathouse/studio.yaml"
	src := read(t, file)
	_, places, _ := text.ReadStudio(file, src)
	lines := strings.Split(string(src), "\n")
	for key, at := range map[string]string{
		"gear.interface.outputs": "outputs: {out1-16",
		"wiring[3]":              "{from: main/b25-26",
		"wiring[3].to":           "to: squeeze",
		"bays.main.modes":        "modes: {1-16",
		"bays.main.modes.17-24":  "17-24: normal",
		"ties[0]":                "{from: main/b40-41",
		"ties[7]":                "ties:", // no such item: its list
		"bays.main.modes.9":      "modes: {1-16",
		"mults[0][2]":            "main/t46",
		"nothing.at.all":         "# An invented studio",
	} {
		place, ok := places.Of(key)
		if !ok || place.File != file || !strings.HasPrefix(string([]rune(lines[place.Line-1])[place.Column-1:]), at) {
			t.Errorf("%s is at %v, want at %q", key, place, at)
		}
	}
	if _, ok := (text.Places{}).Of("wiring"); ok {
		t.Error("no file has a place for wiring")
	}
}

// Columns count characters whatever comes before: a byte order mark is none,
// and letters of more than one byte are one each.
func TestColumnsCountCharacters(t *testing.T) {
	for _, test := range []struct {
		src          string
		line, column int
	}{
		{"\ufeffstudio: x\nzzz: y\n", 2, 1},
		{"\ufeffzzz: x\nstudio: y\n", 1, 1},
		{"studio: x\r\ngear: {a: {label: ü, zzz: y}}\r\n", 2, 22},
		{"studio: x\rgear: {a: {label: 琴, zzz: y}}\r", 2, 22},
		{"studio: x\ngear: {a: {label: \"\u202bعود\", zzz: y}}\n", 2, 27},
		{"studio: x\nwiring: [\"é/out1 -> b/in1\"]\n", 2, 11},
		{"studio: x\ngear: {é: {}}\n", 2, 8},
	} {
		_, _, problems := text.ReadStudio("x", []byte(test.src))
		if len(problems) != 1 || problems[0].Line != test.line || problems[0].Column != test.column {
			t.Errorf("%q has %v, want %d:%d", test.src, problems, test.line, test.column)
		}
	}
}
