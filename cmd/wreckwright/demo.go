package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"wreckwright/demo"
)

// demoCommand serves the invented example book.
type demoCommand struct {
	Book   string `help:"The folder of the demo book; otherwise one in the user's cache folder. Made when missing." type:"path" placeholder:"DIR"`
	Port   int    `help:"The port to serve on; otherwise ${port}, or a free one when that is taken." placeholder:"N"`
	NoOpen bool   `help:"Do not open the page in the browser."`
	Fresh  bool   `help:"Build the demo book anew; what was tried in it is lost."`
	Dev    string `help:"Read templates and assets from this web folder at each request." type:"existingdir" hidden:""`
	Log    bool   `help:"Log to the standard error."`
}

// Run makes the demo book where it is missing and serves it until interrupted.
func (c demoCommand) Run(ctx context.Context, out output) error {
	dir := c.Book
	if dir == "" {
		cache, err := os.UserCacheDir()
		if err != nil {
			return fmt.Errorf("there is no cache folder to keep the demo book in; name a folder with --book: %w", err)
		}
		dir = filepath.Join(cache, "wreckwright", "demo")
	}
	if _, err := demo.Prepare(ctx, dir, time.Now(), c.Fresh); err != nil {
		return err
	}
	serve := serveCommand{Port: c.Port, NoOpen: c.NoOpen, Dev: c.Dev, Log: c.Log}
	return serve.serve(ctx, out, dir, true)
}
