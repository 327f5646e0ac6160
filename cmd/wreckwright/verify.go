package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
)

// verifyCommand looks through a whole book.
type verifyCommand struct {
	bookFlag
}

// Help is printed below the usage.
func (verifyCommand) Help() string {
	return "Checks the database file, every row against the rules, the journal, and every photo and receipt against its hash. " +
		"Nothing is changed. The exit status is 1 when something is not in order."
}

// Run verifies the book.
func (c verifyCommand) Run(ctx context.Context, out output) (err error) {
	book, err := c.read(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	problems, err := book.Verify(ctx)
	if err != nil {
		return err
	}
	wrong := 0
	for _, p := range problems {
		fmt.Fprintln(out.Live, p)
		if !strings.HasSuffix(p, "(harmless)") {
			wrong++
		}
	}
	if wrong > 0 {
		return fmt.Errorf("the book %s has %d faults; restore a backup, or ask for help with the lines above", book.Dir(), wrong)
	}
	fmt.Fprintf(out.Result, "The book %s is in order\n", book.Dir())
	return nil
}
