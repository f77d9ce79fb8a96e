package main

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"bayhand/model/phrase"
	"bayhand/recall/words"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func asFailure(err error, f **failure) bool { return errors.As(err, f) }

// unknownName refuses a name that is none of some, and says which of them was probably meant.
func unknownName(text string, names []string, format string, args ...any) error {
	return probably(phrase.Nearest(text, names), format, args...)
}

// unknownCommand refuses a word that is no command under a command. Other words for what
// a command does lead to it, before names that are spelt nearly so.
func unknownCommand(c *cobra.Command, text, format string, args ...any) error {
	var meant []string
	for _, sub := range c.Commands() {
		if slices.Contains(sub.SuggestFor, strings.ToLower(text)) {
			meant = append(meant, sub.Name())
		}
	}
	if meant == nil {
		names := commandNames(c)
		for _, sub := range c.Commands() {
			names = append(names, sub.Aliases...)
		}
		return unknownName(text, names, format, args...)
	}
	return probably(strings.Join(meant, " or "), format, args...)
}

// probably is a refusal with what was probably meant, where that is known.
func probably(meant, format string, args ...any) error {
	refusal := fmt.Sprintf(format, args...)
	if meant != "" {
		refusal = words.Put("{refusal}; did you mean {name}?", "refusal", refusal, "name", meant)
	}
	return wrongUsage("%s", refusal)
}

// nearestCommand refuses a word that is no command.
func nearestCommand(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	return unknownCommand(c, args[0], "there is no command %q (bayhand --help lists them)", args[0])
}

// nearestFlag says which flag was probably meant.
func nearestFlag(c *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	var invalid *pflag.InvalidValueError
	if errors.As(err, &invalid) {
		f := invalid.GetFlag()
		return wrongUsage("--%s %s is not valid; write %s (%s --help tells more)", f.Name, invalid.GetValue(), wanted(f.Value.Type()), c.CommandPath())
	}
	if !errors.As(err, &unknown) {
		return wrongUsage("%w (%s --help tells more)", err, c.CommandPath())
	}
	var names []string
	c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	c.InheritedFlags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	given := unknown.GetSpecifiedName()
	if n := phrase.Nearest(given, names); n != "" && len(given) > 1 {
		return wrongUsage("%s has no flag %q; did you mean --%s?", c.CommandPath(), given, n)
	}
	return wrongUsage("%s has no flag %q", c.CommandPath(), given)
}

// wanted is what a flag of a type takes.
func wanted(kind string) string {
	switch kind {
	case "duration":
		return "a time such as 2s or 500ms"
	case "bool":
		return "true or false"
	case "int", "int64", "uint":
		return "a whole number"
	}
	return "a value of another kind"
}

// arguments checks the number of arguments. A most below
// zero is no bound.
func arguments(least, most int) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return wrongUsage("something is missing after %q; write %s", cmp.Or(c.CalledAs(), c.Name()), form(c))
		case most >= 0 && len(args) > most:
			return wrongUsage("unexpected argument %q; write %s", args[most], form(c))
		}
		return nil
	}
}

// oneSession checks that one session is named, and says which there are.
func oneSession(a *app) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		err := arguments(1, 1)(c, args)
		if len(args) == 0 {
			return wrongUsage("%w; %s", err, a.files.at.Which())
		}
		return err
	}
}

// form is how a command is written, by the name that was typed and without its flags.
func form(c *cobra.Command) string {
	line := strings.TrimSuffix(c.UseLine(), " [flags]")
	return strings.Replace(line, " "+c.Name(), " "+cmp.Or(c.CalledAs(), c.Name()), 1)
}

// eitherFlag refuses two flags that exclude each other.
func eitherFlag(c *cobra.Command, a, b string) error {
	if c.Flags().Changed(a) && c.Flags().Changed(b) {
		return wrongUsage("--%s and --%s exclude each other; leave one of them out", a, b)
	}
	return nil
}
