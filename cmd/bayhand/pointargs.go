package main

import (
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// pointArgs says how many places a command takes as its arguments: one or two.
type pointArgs struct{ least, most int }

// args checks that enough was typed. A place may be several arguments, such as main 7 top.
func (n pointArgs) args(c *cobra.Command, args []string) error {
	return arguments(n.least, -1)(c, args)
}

// in reads the places that a person typed: each argument as one, else the words of a place
// joined, where only one reading gives places that there are.
func (n pointArgs) in(s *studio.Studio, typed []string) ([]name.Point, error) {
	if all, err := pointsOf(s, typed); err == nil && len(typed) >= n.least && len(typed) <= n.most {
		return all, nil
	}
	var found [][]name.Point
	for _, parts := range n.readings(typed) {
		if all, err := pointsOf(s, parts); err == nil {
			found = append(found, all)
		}
	}
	switch len(found) {
	case 0:
		return nil, n.unread(s, typed)
	case 1:
		return found[0], nil
	}
	return nil, wrongUsage("%s can be read in more than one way; put each place in quotes", strings.Join(typed, " "))
}

// readings are the ways to take words for as many places as the command takes.
func (n pointArgs) readings(typed []string) [][]string {
	var all [][]string
	if n.least <= 1 {
		all = append(all, []string{strings.Join(typed, " ")})
	}
	for i := 1; i < len(typed) && n.most > 1; i++ {
		all = append(all, []string{strings.Join(typed[:i], " "), strings.Join(typed[i:], " ")})
	}
	return all
}

// unread says which of the places that were typed there is not: the other one of a reading
// with one that there is, or all that was typed.
func (n pointArgs) unread(s *studio.Studio, typed []string) error {
	if len(typed) <= n.most {
		_, err := pointsOf(s, typed)
		return err
	}
	if at, err := pointIn(s, typed[0]); err == nil && n.most == 1 {
		return wrongUsage("unexpected argument %q; a place with spaces stands in quotes, such as %q", typed[1], words.In(s).Point(at))
	}
	var err error
	for _, parts := range n.readings(typed) {
		ends := []string{parts[0], parts[len(parts)-1]}
		_, first := pointIn(s, ends[0])
		_, last := pointIn(s, ends[1])
		switch {
		case first == nil:
			return last
		case last == nil || err == nil:
			err = first
		}
	}
	return err
}

func pointsOf(s *studio.Studio, typed []string) ([]name.Point, error) {
	var all []name.Point
	for _, text := range typed {
		at, err := pointIn(s, text)
		if err != nil {
			return nil, err
		}
		all = append(all, at)
	}
	return all, nil
}
