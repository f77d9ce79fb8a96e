package scpi

import (
	"strings"
	"testing"

	"bayhand/simulators/matrix"
)

// The parser libraries meant in the sources below are open source and quote the
// clauses of the standards that their tests check.
const restated = "restated by the tests of an open SCPI parser library"

func switcher(t testing.TB, rows Rows, outputs, inputs int, f matrix.Faults) (*Switcher, *matrix.Matrix) {
	t.Helper()
	m, err := matrix.New(matrix.Contacts, outputs, inputs, f)
	if err != nil {
		t.Fatal(err)
	}
	s, err := New(m, rows)
	if err != nil {
		t.Fatal(err)
	}
	return s, m
}

// say sends bytes and gives all responses in one text.
func say(s *Switcher, message string) string {
	var all strings.Builder
	for _, r := range s.Receive([]byte(message)) {
		all.Write(r)
	}
	return all.String()
}

const idn = "bayhand,simulated contacts 16x16,0,0"

// Conversations: what is sent to a switcher of 16 by 16, fresh from *CLS, and
// what comes back.
var conversations = []struct{ source, sent, back string }{
	// 1999.0, no error, and the count of errors are the answers meant.
	{"SCPI-1999 vol. 1, 6.2.4; " + restated, "syst:version?;err:next?;count?\n", "1999.0;0,\"No error\";0\n"},
	{"SCPI-1999 vol. 1, 6.2.4; " + restated, "syst:version?;:syst:err:next?;count?\n", "1999.0;0,\"No error\";0\n"},
	{"SCPI-1999 vol. 1, 6.2.4: a common command leaves the path alone; " + restated, "syst:version?;*opc?;err:next?\n", "1999.0;1;0,\"No error\"\n"},
	{"SCPI-1999 vol. 1, 6.2.4; " + restated, "syst:version?;err?;version?\n", "1999.0;0,\"No error\";1999.0\n"},
	{"IEEE 488.2, 8.4.1; " + restated, "*IDN?;*OPC;*IDN?\n", idn + ";" + idn + "\n"},
	{"IEEE 488.2, 8.5; " + restated, "*IDN?\n*IDN?\n*IDN?\n*IDN?\n", strings.Repeat(idn+"\n", 4)},
	{"a choice of the library, " + restated, ";*IDN?\n", idn + "\n"},
	{"IEEE 488.2, 7.5.2: nothing before the terminator; " + restated, "*IDN?", ""},
	{"IEEE 488.2, 7.4.1.2: a carriage return is white space (from memory)", "*IDN?\r\n", idn + "\n"},
	{"IEEE 488.2, 8.4: commands give no answer", "*CLS;*RST;*WAI\n", ""},
	{"IEEE 488.2, 10.3 to 10.39: the mandatory set", "*cls;*ese 1;*ese?;*esr?;*opc?;*rst;*sre 1;*sre?;*stb?;*tst?;*wai\n", "1;0;1;1;16;0\n"},
	{"IEEE 488.2, 7.7.4; " + restated, "*ESE #H20;*ESE?\n", "32\n"},
	{"IEEE 488.2, 7.7.4; " + restated, "*ESE #Q20;*ESE?;*ESE #B11;*ESE?\n", "16;3\n"},
	{"IEEE 488.2, 7.7.2; 1.2e-1 is 0.12, rounded; " + restated, "*ESE 1.2e-1;*ESE?;*ESE 1.2 E +1;*ESE?\n", "0;12\n"},
	{"IEEE 488.2, 10.18 and 11.5.1: *OPC sets bit 0; " + restated, "*OPC\n*ESR?\n", "1\n"},
	{"IEEE 488.2, 10.12: reading it clears it", "*OPC;*ESR?;*ESR?\n", "1;0\n"},
	{"IEEE 488.2, 10.19: *OPC? leaves bit 0 alone", "*OPC?;*ESR?\n", "1;0\n"},
	{"IEEE 488.2, 10.38; SCPI-1999 vol. 2, 21.21", "*TST?;SYST:VERS?\n", "0;1999.0\n"},
	{"SCPI-1999 vol. 2, 21.8.8, 21.8.5 and 21.8.6: an empty queue", "SYST:ERR?;:SYST:ERR:ALL?;COUN?\n", "0,\"No error\";0,\"No error\";0\n"},
	{"SCPI-1999 vol. 2, 21.8.8; " + restated, "ABCD\nSYST:ERR?\n", "-113,\"Undefined header;ABCD\"\n"},
	{"SCPI-1999 vol. 2, 21.8.9: a header with an ampersand", "SETUP&\nSYST:ERR?\n", "-101,\"Invalid character;SETUP\"\n"},
	{"SCPI-1999 vol. 2, 21.8.9: a semicolon left out", "*EMC 1:CH1:VOLTS 5\nSYST:ERR?\n", "-103,\"Invalid separator\"\n"},
	{"SCPI-1999 vol. 2, 21.8.9, -111: no white space after the header", "*GMC\"MACRO\"\nSYST:ERR?\n", "-111,\"Header separator error;*GMC\"\n"},
	{"IEEE 488.2, 7.6.1.4.1; SCPI-1999 vol. 2, 21.8.9", "ABCDEFGHIJKLM\nSYST:ERR?\n", "-112,\"Program mnemonic too long;ABCDEFGHIJKLM\"\n"},
	{"SCPI-1999 vol. 2, 21.8.5: all, oldest first, and then none", "ABCD\nEFGH\nSYST:ERR:COUN?;ALL?;COUN?\n", "2;-113,\"Undefined header;ABCD\",-113,\"Undefined header;EFGH\";0\n"},
	{"SCPI-1999 vol. 2, 21.8: codes alone", "ABCD\nEFGH\nABCD\nSYST:ERR:CODE?;CODE:ALL?;:SYST:ERR:CODE:NEXT?\n", "-113;-113,-113;0\n"},

	{"SCPI-1999 vol. 2, 15: *RST opens all", "ROUT:CLOS (@1!1);*RST;CLOS? (@1!1)\n", "0\n"},
	{"SCPI-1999 vol. 2, 15: OPEN:ALL", "ROUT:CLOS (@1!1:16!16);OPEN:ALL;:ROUT:CLOS:STAT?\n", "#13(@)\n"},
	{"SCPI-1999 vol. 2, 15; IEEE 488.2, 8.7.9: 6 bytes", "ROUT:CLOS (@1!1);CLOS:STAT?\n", "#16(@1!1)\n"},
	{"SCPI-1999 vol. 2, 15; IEEE 488.2, 8.7.9: 10 bytes", "ROUT:CLOS (@3!4,1!2);CLOS:STAT?\n", "#210(@1!2,3!4)\n"},
	{"SCPI-1999 vol. 2, 15; IEEE 488.2, 8.7.9: 16 bytes", "ROUT:CLOS (@1!1,2!3,10!12);CLOS:STAT?\n", "#216(@1!1,2!3,10!12)\n"},
	{"SCPI-1999 vol. 2, 15: 1 is closed, in the order of the list", "ROUT:CLOS (@2!5);CLOS? (@2!5,1!1,2!5);OPEN? (@2!5,1!1)\n", "1,0,1;0,1\n"},
	{"SCPI-1999 vol. 1, 8.3.2: row-major, the last number fastest; " + restated, "CLOS (@1!2,3!1);CLOS? (@1!1:3!2)\n", "0,1,0,0,1,0\n"},
	{"SCPI-1999 vol. 1, 8.3.2: a rectangle of 4 and one more", "CLOS (@1!2,3!1:4!2);CLOS:STAT?\n", "#222(@1!2,3!1,3!2,4!1,4!2)\n"},
	{"SCPI-1999 vol. 4: ROUTe is the default node (from memory)", "CLOS (@1!1);:OPEN (@1!1);:rout:close:state?;:CLOSE? (@1!1)\n", "#13(@);0\n"},
}

func TestConversations(t *testing.T) {
	for _, c := range conversations {
		s, _ := switcher(t, RowsAreOutputs, 16, 16, matrix.Faults{})
		say(s, "*CLS\n")
		if got := say(s, c.sent); got != c.back {
			t.Errorf("%s:\n%q brings\n%q, not\n%q", c.source, c.sent, got, c.back)
		}
	}
}

// After nothing but power, the power-on event is there and no error
// (IEEE 488.2, 11.5.1, bit 7).
func TestPowerOn(t *testing.T) {
	s, m := switcher(t, RowsAreOutputs, 4, 4, matrix.Faults{})
	if got := say(s, "*ESR?;*ESR?;:SYST:ERR?\n"); got != "128;0;0,\"No error\"\n" {
		t.Errorf("fresh: %q", got)
	}
	say(s, "ABCD\n*ESE 1;CLOS (@1!1)\nCLOS (@2!2")
	s.Restart()
	if got := say(s, "*ESE?;*ESR?;:SYST:ERR:COUN?\n"); got != "0;128;0\n" || len(m.State()) != 0 {
		t.Errorf("restarted: %q, closed %v", got, m.State())
	}
}

// IEEE 488.2, 10.14: four fields, the second without the word MODEL, at most 72
// characters (10.14.3, from memory).
func TestIdentity(t *testing.T) {
	s, _ := switcher(t, RowsAreOutputs, matrix.MaxSize, matrix.MaxSize, matrix.Faults{})
	got := s.Identity()
	fields := strings.Split(got, ",")
	if len(fields) != 4 || len(got) > 72 || strings.Contains(strings.ToUpper(fields[1]), "MODEL") || strings.Contains(got, ";") {
		t.Errorf("%q", got)
	}
}

func TestRowsMayBeInputs(t *testing.T) {
	s, m := switcher(t, RowsAreInputs, 2, 5, matrix.Faults{})
	if got := say(s, "CLOS (@5!2,1!1);CLOS:STAT?;:CLOS? (@2!5)\n"); got != "#210(@1!1,5!2)\n" {
		t.Errorf("got %q", got)
	}
	if !m.Closed(matrix.Crosspoint{Output: 2, Input: 5}) {
		t.Errorf("closed are %v", m.State())
	}
	if got := say(s, "SYST:ERR?\n"); got != "-222,\"Data out of range\"\n" {
		t.Errorf("2!5 of 5 inputs and 2 outputs: %q", got)
	}
}

func TestNewRefusesWhatItCantBe(t *testing.T) {
	m, err := matrix.New(matrix.Selectors, 2, 2, matrix.Faults{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := New(m, RowsAreOutputs); err == nil || !strings.Contains(err.Error(), "contacts") {
		t.Errorf("selectors: %v", err)
	}
	contacts, _ := matrix.New(matrix.Contacts, 2, 2, matrix.Faults{})
	if _, err := New(contacts, RowsUnknown); err == nil || !strings.Contains(err.Error(), "outputs or inputs") {
		t.Errorf("no rows: %v", err)
	}
}
