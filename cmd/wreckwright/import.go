package main

import (
	"context"
	"fmt"

	"wreckwright/store"
)

// importCommand makes a book out of an export.
type importCommand struct {
	bookFlag
	Dir string `arg:"" help:"The folder that export wrote." type:"path"`
}

// Help is printed below the usage.
func (importCommand) Help() string {
	return "Makes a book in a new or empty folder, the same as the one that was exported. " +
		"When anything in the export is wrong nothing is left behind."
}

// Run imports into the book's folder.
func (c importCommand) Run(ctx context.Context, out output) error {
	to, err := c.folder()
	if err != nil {
		return err
	}
	if err := store.Import(ctx, c.Dir, to, store.Options{}); err != nil {
		return err
	}
	fmt.Fprintf(out.Result, "Imported %s to %s\n", c.Dir, to)
	return nil
}
