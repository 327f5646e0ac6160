package main

import (
	"fmt"
	"strings"

	"github.com/alecthomas/kong"
)

// mistyped is the error for a first argument that is no command. Without a command
// the book is served, so that the parser itself takes such a word for an argument
// too many and cannot say which command was meant.
func mistyped(program *kong.Application, args []string, err error) error {
	if len(args) == 0 || strings.HasPrefix(args[0], "-") {
		return err
	}
	nearest, least := "", 3 // two slips at most
	for _, command := range program.Children {
		if command.Name == args[0] {
			return err
		}
		if d := slips(strings.ToLower(args[0]), command.Name); !command.Hidden && d < least && d < len(command.Name)-1 {
			nearest, least = command.Name, d
		}
	}
	if nearest == "" {
		return fmt.Errorf("there is no command %q", args[0])
	}
	return fmt.Errorf("there is no command %q, did you mean %q?", args[0], nearest)
}

// slips is how many letters must be added, left out, changed or swapped with
// their neighbour to make one word of the other (optimal string alignment).
func slips(a, b string) int {
	rows := make([][]int, len(a)+1)
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
		rows[i][0] = i
	}
	for j := range rows[0] {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			differs := 1
			if a[i-1] == b[j-1] {
				differs = 0
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+differs)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(a)][len(b)]
}
