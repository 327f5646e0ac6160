package main

import (
	"context"
	"errors"
	"fmt"
)

// exportCommand writes a book as plain files that anything can read.
type exportCommand struct {
	bookFlag
	Dir string `arg:"" help:"A new or empty folder." type:"path"`
}

// Help is printed below the usage.
func (exportCommand) Help() string {
	return "Everything in the book as documented JSON, its photos and receipts as they are, and the ledger and the jobs as CSV. " +
		"The book may be open in the browser meanwhile."
}

// Run exports the book.
func (c exportCommand) Run(ctx context.Context, out output) (err error) {
	book, err := c.read(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	if err := book.Export(ctx, c.Dir); err != nil {
		return err
	}
	fmt.Fprintf(out.Result, "Exported %s to %s\n", book.Dir(), c.Dir)
	return nil
}
