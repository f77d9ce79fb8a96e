package scpi

import (
	"strconv"
	"strings"
	"testing"

	"bayhand/simulators/matrix"
)

// Each message is wrong in one way. The number is the standard's for it
// (SCPI-1999 vol. 2, 21.8.9 and 21.8.10), and nothing may have moved.
var mistakes = []struct {
	sent string
	code int
}{
	{"ROU:CLOS (@1!1)", undefinedHeader},
	{"ROUTES:CLOS (@1!1)", undefinedHeader},
	{"ROUT:CLO (@1!1)", undefinedHeader},
	{"ROUT:CLOSED (@1!1)", undefinedHeader},
	{"SYS:ERR?", undefinedHeader},
	{"SYSTE:ERR?", undefinedHeader},
	{"SYST:ERRO?", undefinedHeader},
	{"SYST:ERR:COU?", undefinedHeader},
	{"SYST:VER?", undefinedHeader},
	{"SYST:ERR", undefinedHeader},
	{"SYST?", undefinedHeader},
	{"*IDN", undefinedHeader},
	{"*RST?", undefinedHeader},
	{"IDN?", undefinedHeader},
	{":*IDN?", syntaxError},
	{"CLOS (@1!1);STAT?", undefinedHeader}, // the path of CLOS is the root
	{"ROUT:CLOS:STAT?;OPEN (@1!1)", undefinedHeader},
	{"CLOS2 (@1!1)", headerSuffixOutside},
	{"CLOS::STAT?", syntaxError},
	{"CLOS:", syntaxError},
	{"1CLOS (@1!1)", syntaxError},
	{"*", syntaxError},
	{"C\xC3LOS (@1!1)", invalidCharacter},
	{"CLOS,(@1!1)", invalidSeparator},
	{"CLOS(@1!1)", headerSeparatorError},
	{"CLOS", missingParameter},
	{"CLOS?", missingParameter},
	{"*ESE", missingParameter},
	{"CLOS (@1!1),(@1!2)", parameterNotAllowed},
	{"CLOS:STAT? (@1!1)", parameterNotAllowed},
	{"OPEN:ALL (@1!1)", parameterNotAllowed},
	{"*RST 1", parameterNotAllowed},
	{"CLOS (@1!1),", syntaxError},
	{"CLOS ,(@1!1)", syntaxError},
	{"CLOS (@1!1) (@1!2)", invalidSeparator},
	{"CLOS (@1!1)&", invalidSeparator},
	{"CLOS &", invalidCharacter},
	{"CLOS abcd", dataTypeError}, // restated by the tests of an open SCPI parser library
	{"CLOS 1", dataTypeError},
	{"CLOS \"(@1!1)\"", dataTypeError},
	{"CLOS #16(@1!1)", dataTypeError},
	{"CLOS #0(@1!1)", dataTypeError},
	{"CLOS #H1F", dataTypeError},
	{"*ESE (@1!1)", dataTypeError},
	{"*ESE abc", dataTypeError},
	{"CLOS abcdefghijklm", characterDataTooLong},
	{"CLOS \"(@1!1)", invalidStringData},
	{"CLOS #1", invalidBlockData},
	{"CLOS #2x1(@1!1)", invalidBlockData},
	{"CLOS #", invalidCharacter},
	{"*ESE .", numericDataError},
	{"*ESE 1e", numericDataError},
	{"*ESE #HXYZ", numericDataError},
	{"*ESE 1e32001", exponentTooLarge},
	{"*ESE " + strings.Repeat("1", 256), tooManyDigits},
	{"*ESE 5 V", suffixNotAllowed},
	{"*ESE 256", dataOutOfRange},
	{"*ESE -1", dataOutOfRange},
	{"*ESE #HFFFFFFFFFFFFFFFFFF", dataOutOfRange},
	{"*ESE 1e300", dataOutOfRange},
	{"STAT:OPER:ENAB 65536", dataOutOfRange},

	// SCPI-1999 vol. 1, 8.3.2; those with -170 as the tests of an open SCPI parser
	// library have them.
	{"CLOS (1)", expressionError},
	{"CLOS (@1,)", expressionError},
	{"CLOS (@1,2:)", expressionError},
	{"CLOS (@1,2!5:3!6!7)", expressionError},
	{"CLOS (@)", expressionError},
	{"CLOS (@1)", expressionError}, // one dimension where the matrix has two
	{"CLOS (@1!1!1)", expressionError},
	{"CLOS (@1!1,2)", expressionError},
	{"CLOS (@1!1:2!2:3!3)", invalidExpression},
	{"CLOS (@1!-1)", invalidExpression},
	{"CLOS (@1!1, 2!2)", invalidExpression},
	{"CLOS (@a!1)", invalidExpression},
	{"CLOS (@1!1", invalidExpression},
	{"CLOS (@1!1;OPEN (@1!1)", invalidExpression},
	{"CLOS (@(1!1))", invalidExpression},
	{"CLOS (@0!1)", dataOutOfRange},
	{"CLOS (@1!17)", dataOutOfRange},
	{"CLOS (@17!1)", dataOutOfRange},
	{"CLOS (@1!1,17!1)", dataOutOfRange},
	{"CLOS (@1!1:16!17)", dataOutOfRange},
	{"CLOS (@1!99999999999999999999)", dataOutOfRange},
	{"CLOS? (@1!17)", dataOutOfRange},
	{"OPEN (@1!17)", dataOutOfRange},
}

func TestMistakes(t *testing.T) {
	for _, c := range mistakes {
		s, m := switcher(t, RowsAreOutputs, 16, 16, matrix.Faults{Welded: []matrix.Crosspoint{{Output: 9, Input: 9}}})
		say(s, "*CLS\n")
		// A unit of the same message before the mistake may do its work.
		before, _, _ := strings.Cut(c.sent, ";")
		if got := say(s, c.sent+"\n"); got != "" && before == c.sent {
			t.Errorf("%q brings %q", c.sent, got)
		}
		if got := say(s, "SYST:ERR:COUN?;CODE?\n"); got != "1;"+strconv.Itoa(c.code)+"\n" {
			t.Errorf("%q leaves %q, not one error %d", c.sent, got, c.code)
		}
		if before == c.sent && len(m.State()) != 1 {
			t.Errorf("%q moved something: %v", c.sent, m.State())
		}
	}
}

// Every error has its text, and sets the bit of its class (SCPI-1999 vol. 2,
// 21.8.9 to 21.8.12; IEEE 488.2, 11.5.1).
func TestErrorClasses(t *testing.T) {
	for code, text := range texts {
		want := map[int]byte{0: 0, 1: 32, 2: 16, 3: 8, 4: 4}[-code/100]
		if got := (fault{code: code}).event(); got != want || text == "" {
			t.Errorf("%d %q sets %d, not %d", code, text, got, want)
		}
	}
	for message, bit := range map[string]string{"ABCD": "32", "*ESE 256": "16"} {
		s, _ := switcher(t, RowsAreOutputs, 2, 2, matrix.Faults{})
		say(s, "*CLS\n"+message+"\n")
		if got := say(s, "*ESR?\n"); got != bit+"\n" {
			t.Errorf("%q sets %q", message, got)
		}
	}
}

// SCPI-1999 vol. 2, 21.8.1: when the queue is full its last entry becomes -350.
func TestFullQueue(t *testing.T) {
	s, _ := switcher(t, RowsAreOutputs, 2, 2, matrix.Faults{})
	say(s, strings.Repeat("ABCD\n", 3*queueDepth))
	if got := say(s, "SYST:ERR:COUN?\n"); got != strconv.Itoa(queueDepth)+"\n" {
		t.Errorf("it holds %q", got)
	}
	codes := strings.Split(strings.TrimSpace(say(s, "SYST:ERR:CODE:ALL?\n")), ",")
	for i, code := range codes {
		want := "-113"
		if i == queueDepth-1 {
			want = "-350"
		}
		if code != want {
			t.Errorf("error %d is %s", i, code)
		}
	}
	if got := say(s, "*ESR?\n"); got != strconv.Itoa(128+32+8)+"\n" {
		t.Errorf("the register holds %q: power on, command error and overflow were meant", got)
	}
}

func TestErrorTextsAreShort(t *testing.T) {
	s, _ := switcher(t, RowsAreOutputs, 2, 2, matrix.Faults{})
	say(s, strings.Repeat("ABCDEFGHIJ:", 100)+"A\n")
	got := say(s, "SYST:ERR?\n")
	text := strings.TrimPrefix(strings.TrimSpace(got), "-113,")
	if len(text) != maxErrorText+2 || strings.Count(text, `"`) != 2 {
		t.Errorf("%d characters: %q", len(text)-2, text)
	}
}

// What stands after a unit that can't be understood is not carried out; after
// one that can't be done it is.
func TestTheRestOfAMessage(t *testing.T) {
	s, m := switcher(t, RowsAreOutputs, 2, 2, matrix.Faults{})
	say(s, "CLOS (@1!1);XYZ;CLOS (@2!2)\n")
	if m.Closed(matrix.Crosspoint{Output: 2, Input: 2}) || !m.Closed(matrix.Crosspoint{Output: 1, Input: 1}) {
		t.Errorf("closed are %v", m.State())
	}
	if got := say(s, "CLOS (@3!1);CLOS? (@1!1)\n"); got != "1\n" {
		t.Errorf("after -222: %q", got)
	}
}

func TestARelayThatRefuses(t *testing.T) {
	s, _ := switcher(t, RowsAreOutputs, 2, 2, matrix.Faults{Refuse: 1})
	if got := say(s, "*CLS;CLOS (@1!1);CLOS? (@1!1);:SYST:ERR?\n"); got != "0;-240,\"Hardware error\"\n" {
		t.Errorf("got %q", got)
	}
}

func TestStatusByte(t *testing.T) {
	s, _ := switcher(t, RowsAreOutputs, 2, 2, matrix.Faults{})
	// Bit 2 errors, 4 an answer waits, 5 an enabled event, 6 the summary
	// (IEEE 488.2, 11.2; SCPI-1999 vol. 2, 20).
	for _, c := range [][2]string{
		{"*CLS;*STB?\n", "0\n"},
		{"*OPC?;*STB?\n", "1;16\n"},
		{"ABCD\n*STB?\n", "4\n"},
		{"*ESE 32;*STB?\n", "36\n"},
		{"*SRE 32;*STB?\n", "100\n"},
		{"*CLS;*STB?;*ESE?;*SRE?\n", "0;32;32\n"},
		{"ABCD\n*RST;*STB?\n", "100\n"},
		{"STAT:OPER:ENAB 40000;ENAB?;COND?;EVEN?\n", "7232;0;0\n"},
		{"STAT:QUES:ENAB 5;:STAT:QUES?;:STAT:QUES:COND?;ENAB?;:STAT:PRES;QUES:ENAB?\n", "0;0;5;0\n"},
	} {
		if got := say(s, c[0]); got != c[1] {
			t.Errorf("%q brings %q, not %q", c[0], got, c[1])
		}
	}
}
