package paper

import (
	"strings"

	"bayhand/recall/words"

	"github.com/rivo/uniseg"
)

// ruler measures a text, in columns or in millimetres.
type ruler func(string) float64

// wrap breaks a text into lines no wider than the limit, at the places where its
// script may break (UAX #14), and within a word only where the word alone is
// wider than a line. Names such as main/t3 and "out 1", and a range such as "1 to 8",
// where UAX #14 allows a break, are such words, and so is an arrow. An empty text is no
// line.
func wrap(text string, limit float64, size ruler) []string {
	var lines []string
	var line string
	state := -1
	for text != "" {
		var segment string
		segment, text, state = next(text, state, limit, size)
		bare := strings.TrimRight(segment, " \n")
		if line != "" && size(line+bare) > limit {
			lines = append(lines, strings.TrimRight(line, " "))
			line = ""
		}
		for line == "" && size(bare) > limit {
			head, rest := cut(bare, limit, size)
			if rest == "" {
				break
			}
			lines = append(lines, head)
			bare, segment = rest, segment[len(head):]
		}
		line += segment
	}
	if line = strings.TrimRight(line, " \n"); line != "" {
		lines = append(lines, line)
	}
	return lines
}

// next takes the text up to the next place where it may break.
func next(text string, state int, limit float64, size ruler) (segment, rest string, after int) {
	segment, rest, _, after = uniseg.FirstLineSegmentInString(text, state)
	for slashed(segment, rest) || partsNumber(segment, rest) || strings.HasSuffix(segment, "-") && strings.HasPrefix(rest, ">") {
		more, beyond, _, then := uniseg.FirstLineSegmentInString(rest, after)
		if size(segment+strings.TrimRight(more, " \n")) > limit {
			break
		}
		segment, rest, after = segment+more, beyond, then
	}
	return segment, rest, after
}

// slashed says whether a break here would part a name: a word with a slash.
func slashed(segment, rest string) bool {
	if rest == "" || strings.HasSuffix(segment, " ") || strings.HasSuffix(segment, "\n") {
		return false
	}
	head := segment[strings.LastIndexAny(segment, " \n")+1:]
	tail, _, _ := strings.Cut(rest, " ")
	return strings.Contains(head+tail, "/")
}

// partsNumber says whether a break here would part a number from its name or its range.
// Two spaces are the gap between columns.
func partsNumber(segment, rest string) bool {
	head, spaced := strings.CutSuffix(segment, " ")
	if !spaced || strings.HasSuffix(head, " ") {
		return false
	}
	return words.Inseparable(head[strings.LastIndexAny(head, " \n")+1:], rest)
}

// cut takes as many whole graphemes off the front as fit, and one in any case.
func cut(text string, limit float64, size ruler) (head, rest string) {
	state, at := -1, 0
	for rest = text; rest != ""; {
		var cluster string
		cluster, rest, _, state = uniseg.FirstGraphemeClusterInString(rest, state)
		if at > 0 && size(text[:at+len(cluster)]) > limit {
			break
		}
		at += len(cluster)
	}
	return text[:at], text[at:]
}

// columns is the width of a text in a terminal; a wide letter takes two (UAX
// #11).
func columns(text string) int { return uniseg.StringWidth(text) }

func wrapColumns(text string, width int) []string {
	return wrap(text, float64(width), func(s string) float64 { return float64(columns(s)) })
}

// pad fills a text with spaces to a width.
func pad(text string, width int) string {
	return text + strings.Repeat(" ", max(0, width-columns(text)))
}
