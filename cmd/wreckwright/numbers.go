package main

import (
	"errors"
	"regexp"
	"strings"
)

var (
	negative = regexp.MustCompile(`^-\.?[0-9]`)
	// noNumber is how the parser says that a number was expected, in the words of
	// those who write programs.
	noNumber = regexp.MustCompile(`expected an? (?:valid \d+ bit )?(?:float|u?int)(?: value)? but got ("(?:[^"\\]|\\.)*")(?: \(\w+(?: \w+)?\))?`)
)

// withNegatives ties a number below zero to the flag before it, so that the
// parser does not take its minus for another flag: "--angle-deg -30" becomes
// "--angle-deg=-30", and what is wrong with it is said by whoever knows.
func withNegatives(args []string) []string {
	tied := make([]string, 0, len(args))
	for i, arg := range args {
		if arg == "--" {
			return append(tied, args[i:]...)
		}
		last := len(tied) - 1
		if negative.MatchString(arg) && last >= 0 && strings.HasPrefix(tied[last], "--") && !strings.Contains(tied[last], "=") {
			tied[last] += "=" + arg
			continue
		}
		tied = append(tied, arg)
	}
	return tied
}

// inPlainWords says of a number that is none what was expected.
func inPlainWords(err error) error {
	text := err.Error()
	if plain := noNumber.ReplaceAllString(text, "expected a number, not $1"); plain != text {
		return errors.New(plain)
	}
	return err
}
