package words_test

import (
	"testing"

	"bayhand/model/level"
	"bayhand/recall/words"
)

func TestLevelsInWords(t *testing.T) {
	for _, test := range []struct{ got, want string }{
		{words.LevelOf(level.Range{Low: 3.914, High: 3.914}), "+3.9 dBu"},
		{words.LevelOf(level.Range{Low: -2.06, High: 3.91}), "-2.1 to +3.9 dBu"},
		{words.LevelOf(level.Range{Low: -99, High: -2.06}), "nothing to -2.1 dBu"},
		{words.LevelOf(level.Range{Low: -99, High: -90}), "nothing"},
		{words.Decibels(level.Range{Low: -0.04, High: 0.04}), "0 dB"},
		{words.Amount(level.Range{Low: -12.61, High: -12.61}), "12.6 dB"},
		{words.Hertz(28117), "28.1 kHz"},
		{words.Hertz(340.4), "340 Hz"},
	} {
		if test.got != test.want {
			t.Errorf("%q, want %q", test.got, test.want)
		}
	}
}
