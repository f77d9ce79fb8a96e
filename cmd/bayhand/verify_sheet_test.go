package main

import (
	"math"
	"slices"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/recall/listen"
)

// The sheet of the year has what was read beside the reference, path by path and input by
// input: what is not heard any more is said, and so is what is heard only now.
func TestSheetOfTheYear(t *testing.T) {
	out, in := func(n int) name.Point { return name.At("interface", "out", n) }, func(n int) name.Point { return name.At("interface", "in", n) }
	kept := &listen.Kept{
		Paths: []listen.KeptPath{
			{Output: out(1), Input: in(1), Level: -0.04, Polarity: "+", Band: [2]float64{30, 19800}},
			{Output: out(2), Input: in(2), Level: math.NaN()},
		},
		Inputs: []listen.InputJSON{{Input: in(1), Noise: -98.2, Hum: []listen.LineJSON{{Frequency: 50, Level: -91}}}, {Input: in(2), Noise: math.NaN()}},
	}
	now := &listen.Kept{
		Paths: []listen.KeptPath{
			{Output: out(1), Input: in(1), Level: -6.02, Polarity: "-", Band: [2]float64{45, 12000}},
			{Output: out(3), Input: in(1), Level: -40},
		},
		Inputs: []listen.InputJSON{{Input: in(1), Noise: -80, Hum: []listen.LineJSON{{Frequency: 50, Level: -70}, {Frequency: 100, Level: -75}}}},
	}
	w := listen.In(nil)
	for _, c := range []struct {
		name string
		rows [][]string
		want []string
	}{
		{"paths", pathRows(w, kept, now), []string{
			"interface out 1|interface in 1|-0.0|+|30 - 19800|-6.0|-|45 - 12000|",
			"interface out 2|interface in 2||||not heard|||",
			"interface out 3|interface in 1|none|||-40.0|||"}},
		{"paths to be filled in", pathRows(w, kept, nil), []string{
			"interface out 1|interface in 1|-0.0|+|30 - 19800||||", "interface out 2|interface in 2|||||||"}},
		{"inputs", inputRows(w, kept, now), []string{
			"interface in 1|-98|-91 at 50 Hz|-80|-70 at 50 Hz, -75 at 100 Hz|", "interface in 2|||||"}},
	} {
		var got []string
		for _, row := range c.rows {
			got = append(got, strings.Join(row, "|"))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, strings.Join(got, "\n"), strings.Join(c.want, "\n"))
		}
	}
}
