package words

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"bayhand/recall/keep"
)

// Beginning says what the patch is known by at which the steps of a paper begin: the one
// that is in. Told says whether anybody reported what is in the bays.
func Beginning(k keep.Known, told bool) string {
	inBays, switched := k.Facts()
	if !told && len(switched) == 0 {
		return "The steps begin at the rest patch: nothing is reported in the bay."
	}
	bay := "the rest patch, assumed"
	switch {
	case told && len(inBays) == 0:
		bay = Put("nothing, {how}", "how", How(keep.Told))
	case told:
		bay = hows(inBays)
	}
	since, sentence := newest(slices.Concat(inBays, switched)), ""
	switch matrices := len(switched) > 0; {
	case since == "" && matrices:
		sentence = "The steps begin at the patch that is in (in the bay: {bay}; switched: {matrices})."
	case since == "":
		sentence = "The steps begin at the patch that is in (in the bay: {bay})."
	case matrices:
		sentence = "The steps begin at the patch that is in since {since} (in the bay: {bay}; switched: {matrices})."
	default:
		sentence = "The steps begin at the patch that is in since {since} (in the bay: {bay})."
	}
	return Put(sentence, "since", since, "bay", bay, "matrices", hows(switched))
}

// newest is the time of the newest of some facts; empty where none has one.
func newest(all []keep.Fact) string {
	var last time.Time
	for _, f := range all {
		if f.Since.After(last) {
			last = f.Since
		}
	}
	return minute(last)
}

// hows are the ways in which some facts are known, the surest first, with how many are
// known by each where they differ.
func hows(all []keep.Fact) string {
	var phrases []string
	for _, how := range keep.Hows {
		n := 0
		for _, f := range all {
			if f.How == how {
				n++
			}
		}
		switch {
		case n > 0 && n == len(all):
			return How(how)
		case n > 0:
			phrases = append(phrases, Put("{n} {how}", "n", strconv.Itoa(n), "how", How(how)))
		}
	}
	return strings.Join(phrases, ", ")
}
