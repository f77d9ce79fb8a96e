package cmd_test

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// forms are ways of writing a unit, a sign, a date or a time that nobody reads here,
// with the one form that is used. SI Brochure, 9th edition, 5.4.3: a space stands
// between a number and its unit. ISO 8601: dates are year-month-day, and times run from
// 00:00 to 24:00. That a level above 0 carries its plus sign is common practice, no
// published source.
var forms = []struct {
	what, instead string
	breach        *regexp.Regexp
}{
	{"a 12-hour time", "09:20 or 21:20", regexp.MustCompile(`\b\d{1,2}(:\d\d)? ?([AaPp]\.?[Mm])\b`)},
	{"a unit without its space", "30 cm, 48 V, +4 dBu",
		regexp.MustCompile(`(^|[\s"(:,+-])\d+(\.\d+)?(dB[uV]?|dBFS|[kM]?Hz|k?ohm|[cmk]m|k?V|mA|[np]F|mW)\b`)},
	{"a level above 0 without its sign", "+4 dBu", regexp.MustCompile(`(^|[\s"(:,])(0*[1-9]\d*(\.\d+)?|0\.0*[1-9]\d*) dB[uV]\b`)},
	{"a minus that a keyboard lacks", "-10 dBV, with a hyphen", regexp.MustCompile(`[\x{2010}-\x{2015}\x{2212}]\d`)},
	{"a minus with a space after it", "-10 dBV", regexp.MustCompile(`[\s(]- \d+(\.\d+)? dB`)},
	{"a date in another form", "2026-11-28",
		regexp.MustCompile(`\b\d{1,2}[./]\d{1,2}[./](19|20)\d\d\b|\b(19|20)\d\d[./]\d\d[./]\d\d\b`)},
	{"a date with the name of its month", "2026-11-28",
		regexp.MustCompile(`\b(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)[a-z]*\.? (\d{1,2}, ?)?(19|20)\d\d\b`)},
	{"a short word for a time", "20 seconds, or 20 s", regexp.MustCompile(`\b\d+ ?(secs?|mins|hrs?)\b`)},
	{"a unit in another case or sign", "dB, Hz, kHz, kohm",
		regexp.MustCompile(`(^|[\s"(:,+-])\d+(\.\d+)? ?(DB|db|HZ|hz|KHz|KHZ|Khz|dbu|DBU|kOhm|Kohm)\b|\d ?k?[Ωµ]`)},
}

// breaches names the forms that a text breaks.
func breaches(text string) (all []string) {
	for _, f := range forms {
		if found := f.breach.FindString(text); found != "" {
			all = append(all, f.what+", "+strings.TrimSpace(found)+"; write "+f.instead)
		}
	}
	return all
}

// Numbers, units, signs, dates and times have one form in the manual and in whatever
// the program is held to say. Files with mistakes in them on purpose are no one's text.
func TestUnitsAndDatesHaveOneForm(t *testing.T) {
	read := 0
	look := func(file string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		said := strings.Contains(file, "testdata") && !strings.Contains(file, filepath.Join("testdata", "bad")+string(filepath.Separator)) ||
			strings.Contains(file, "manual") || filepath.Ext(file) == ".golden" || filepath.Base(file) == "README.md"
		switch filepath.Ext(file) {
		case ".txt", ".txtar", ".golden", ".md", ".yaml", ".steps":
		default:
			said = false
		}
		if !said {
			return nil
		}
		read++
		src, err := os.ReadFile(file)
		for i, line := range bytes.Split(src, []byte("\n")) {
			for _, breach := range breaches(string(line)) {
				t.Errorf("%s:%d has %s", file, i+1, breach)
			}
		}
		return err
	}
	for _, top := range []string{"bayhand/manual", "bayhand/testdata", "../model", "../recall", "../README.md"} {
		if err := filepath.WalkDir(top, look); err != nil {
			t.Fatal(err)
		}
	}
	if read < 250 {
		t.Errorf("only %d files were read", read)
	}
}

// The forms are told apart: each breach is found, and what is right is left alone.
func TestFormsAreToldApart(t *testing.T) {
	for _, wrong := range []string{
		"at 9 AM", "at 9:20pm", "30cm", "+4dBu", "48V", "1.5kHz", "4 dBu", "12.5 dBV", "0.5 dBu",
		"\u221210 dBV", "\u201310 dB", " - 10 dB", "28.11.2026", "11/28/2026", "2026/11/28",
		"28 November 2026", "Nov 28, 2026", "20 secs", "3hrs", "20 db", "1 KHz", "600 Ω",
	} {
		if len(breaches(wrong)) == 0 {
			t.Errorf("%q passes", wrong)
		}
	}
	for _, right := range []string{
		"at 09:20", "30 cm", "+4 dBu", "-10 dBV", "0 dBu", "0.0 dBu", "48 V", "1.5 kHz", "2026-11-28 09:20",
		"tcp:192.0.2.10:5025", "etcd-server 3.4.23", "20 seconds", "5 s", "1 min", "--within 500ms", "600 ohm",
		"cat5e", "24V2", "10-20 dB",
	} {
		if found := breaches(right); len(found) > 0 {
			t.Errorf("%q has %v", right, found)
		}
	}
}

// What the program writes has the same forms: each layout of a time in its code is one
// of these.
func TestLayoutsOfTimesHaveOneForm(t *testing.T) {
	layout := regexp.MustCompile(`\.Format\("([^"]*)"\)`)
	known := map[string]string{
		"15:04": "the time of today", "15:04:05": "the same with seconds", "2006-01-02": "a day",
		"2006-01-02 15:04": "a day and a time", "2006-01-02 15:04:05": "the same with seconds", "2006-01-02 15:04 UTC": "of a release",
		"20060102150405": "of a version",
	}
	forms := 0
	for _, s := range sources(t) {
		src, err := os.ReadFile(filepath.Join("..", s.path))
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range layout.FindAllSubmatch(src, -1) {
			if forms++; known[string(m[1])] == "" {
				t.Errorf("%s writes a time as %q", s.path, m[1])
			}
		}
	}
	if forms < 15 {
		t.Errorf("only %d layouts were found", forms)
	}
}
