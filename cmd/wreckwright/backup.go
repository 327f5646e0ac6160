package main

import (
	"context"
	"errors"
	"fmt"
)

// backupCommand copies a book.
type backupCommand struct {
	bookFlag
	Dir string `arg:"" help:"A new or empty folder, best on another disk." type:"path"`
}

// Help is printed below the usage.
func (backupCommand) Help() string {
	return "The copy is a book of its own: serve it with --book. The book may be open in the browser meanwhile."
}

// Run backs the book up.
func (c backupCommand) Run(ctx context.Context, out output) (err error) {
	book, err := c.read(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	if err := book.Backup(ctx, c.Dir); err != nil {
		return err
	}
	fmt.Fprintf(out.Result, "Backed up %s to %s\n", book.Dir(), c.Dir)
	return nil
}
