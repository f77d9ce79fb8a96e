package scpi

import (
	"strings"
	"testing"
)

// SCPI-1999 vol. 1, 6.2.1 (from memory): the rule applied to the words of this
// device and its kin.
func TestShortForms(t *testing.T) {
	words := `ROUTe CLOSe OPEN STATe SCAN PATH CATalog DEFine DELete MODule TERMinals SAMPle SYSTem ERRor NEXT COUNt
		VERSion ALL STATus OPERation QUEStionable ENABle EVENt CONDition PRESet CODE`
	for _, word := range strings.Fields(words) {
		upper := strings.TrimRight(word, "abcdefghijklmnopqrstuvwxyz")
		if got := shortForm(word); got != upper {
			t.Errorf("%s is shortened to %s", word, got)
		}
	}
}

// Restated by the tests of an open SCPI parser library (SCPI-1999 vol. 1,
// 6.2.1). A pattern in capitals and small letters spells its short form out, and
// some of the library's made-up words break the rule, so theirs are built by
// hand here.
func TestHeadersMatch(t *testing.T) {
	current := &node{}
	current.add("MEASure[:SCALar]:CURRent[:DC]?", query(zero))
	plain := &node{}
	plain.add("A", event(nil))
	asked := &node{}
	asked.add("A?", query(zero))
	made := &node{children: []*node{{long: "ABCC", short: "AB", children: []*node{{long: "AACDDD", short: "AAC", do: event(nil)}}}}}
	for _, c := range []struct {
		tree   *node
		header string
		fits   bool
	}{
		{made, "ab:aac", true},
		{made, "abcc:aacddd", true},
		{made, "abcc:aacdd", false},
		{made, "a:aac", false},
		{made, ":ab:aac", true},
		{current, "MEAS:CURR?", true},
		{current, ":MEAS:SCAL:CURR:DC?", true},
		{current, "MEAS:CURR:DC?", true},
		{current, "MEAS:SCALAR:CURRENT?", true},
		{current, "MEAS:DC?", false},
		{current, "MEAS?", false},
		{current, "MEAS:CURR", false},
		{plain, "A", true},
		{plain, "A?", false},
		{asked, "A", false},
		{asked, "A?", true},
		{tree, "Route:Close:State?", true},
		{tree, "rOUT:cLOS:sTAT?", true},
		{tree, "clos:stat?", true},
		{tree, "rout1:clos1:stat1?", true},
		{tree, "stat?", false},
	} {
		units := scanner{text: c.header}
		u, _, err := units.next()
		if err != nil {
			t.Fatal(err)
		}
		end, _, err := c.tree.walk(u.path)
		if fits := err == nil && end != nil && end.command(u.query) != nil; fits != c.fits {
			t.Errorf("%s matches: %t", c.header, fits)
		}
	}
}

// IEEE 488.2, 7.7.5 (from memory) and 7.7.4, 7.7.2 (restated by the tests of an
// open SCPI parser library).
func TestDataIsRead(t *testing.T) {
	for text, want := range map[string]datum{
		`"it's"`:       {quoted, "it's"},
		`'it''s'`:      {quoted, "it's"},
		`"a""b"`:       {quoted, `a"b`},
		`""`:           {quoted, ""},
		`";"`:          {quoted, ";"},
		"FRON":         {word, "FRON"},
		"(@1!2,\")\")": {expression, "(@1!2,\")\")"},
		"(1,(2))":      {expression, "(1,(2))"},
	} {
		units := scanner{text: "X " + text + " ;Y"}
		u, _, err := units.next()
		if err != nil || len(u.data) != 1 || u.data[0] != want {
			t.Errorf("%s reads as %q, %v", text, u.data, err)
		}
	}
	for text, want := range map[string]int{
		"#H20": 32, "#h1f": 31, "#Q20": 16, "#B11": 3, "1.2e-1": 0, "0.5": 1, "+.6": 1, "12 E 1": 120, "00": 0,
	} {
		units := scanner{text: "X " + text}
		u, _, err := units.next()
		if err != nil || len(u.data) != 1 {
			t.Fatalf("%s: %v", text, err)
		}
		if got, err := u.data[0].integer(0, 255); err != nil || got != want {
			t.Errorf("%s is %d, %v; not %d", text, got, err, want)
		}
	}
}
