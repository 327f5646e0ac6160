package main

import (
	"context"

	"wreckwright/store"
)

// bookFlag names the book that a command works on.
type bookFlag struct {
	Book string `help:"The folder of the book; otherwise the one in the user's data folder." type:"path" placeholder:"DIR" env:"WRECKWRIGHT_BOOK"`
}

// folder is the book's folder.
func (f bookFlag) folder() (string, error) {
	if f.Book != "" {
		return f.Book, nil
	}
	return bookFolder()
}

// read opens the book without changing it, also while another process serves it.
func (f bookFlag) read(ctx context.Context) (*store.Book, error) {
	dir, err := f.folder()
	if err != nil {
		return nil, err
	}
	return store.Open(ctx, dir, store.Options{ReadOnly: true})
}
