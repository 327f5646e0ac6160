package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"time"

	"wreckwright/store"
	"wreckwright/web"
	"wreckwright/workshop"
)

// serveCommand serves a book's pages; it is what runs when no command is given.
type serveCommand struct {
	Book   string `help:"The folder of the book. Made when missing." type:"path" placeholder:"DIR" env:"WRECKWRIGHT_BOOK"`
	Port   int    `help:"The port to serve on; otherwise ${port}, or a free one when that is taken." placeholder:"N"`
	NoOpen bool   `help:"Do not open the page in the browser."`
	Dev    string `help:"Read templates and assets from this web folder at each request." type:"existingdir" hidden:""`
	Log    bool   `help:"Log to the standard error."`
}

// Run serves until it is interrupted.
func (c serveCommand) Run(ctx context.Context, out output) error {
	dir := c.Book
	if dir == "" {
		var err error
		if dir, err = bookFolder(); err != nil {
			return err
		}
	}
	return c.serve(ctx, out, dir, false)
}

// serve opens the book in the folder and answers its pages. sample marks the
// demo book.
func (c serveCommand) serve(ctx context.Context, out output, dir string, sample bool) (err error) {
	log := slog.New(slog.DiscardHandler)
	if c.Log {
		log = slog.New(slog.NewTextHandler(out.Errors, nil))
	}
	if c.Port < 0 || c.Port > 65535 {
		return misuse{fmt.Errorf("port %d is not between 1 and 65535", c.Port)}
	}
	book, err := store.Open(ctx, dir, store.Options{Log: log})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	bench := workshop.New(book, log, func() string { return time.Now().Format(time.DateOnly) })
	defer func() { err = errors.Join(err, bench.Close()) }()
	server, err := web.New(bench, web.Options{Log: log, Dev: c.Dev, Sample: sample})
	if err != nil {
		return err
	}
	listener, err := web.Listen("127.0.0.1", c.Port)
	if err != nil {
		return err
	}
	address := "http://" + listener.Addr().String() + "/"
	announce(out.Live, dir, address, c.Port == 0 && listener.Addr().(*net.TCPAddr).Port != web.DefaultPort)
	if !c.NoOpen {
		openPage(log, address)
	}
	return server.Serve(ctx, listener)
}

func announce(w io.Writer, dir, address string, moved bool) {
	fmt.Fprintf(w, "Book:  %s\n", dir)
	if moved {
		fmt.Fprintf(w, "Port %d is taken, so a free one was picked.\n", web.DefaultPort)
	}
	fmt.Fprintf(w, "Pages: %s\nStop with Ctrl-C; everything entered is kept.\n", address)
}

// bookFolder is where the book is when nobody says otherwise: the user's data
// folder, as the XDG base directory specification and the other systems' own
// customs have it.
//
// ref: XDG_BASEDIR XDG_DATA_HOME
func bookFolder() (string, error) {
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("there is no home folder to keep the book in; name one with --book: %w", err)
	}
	switch runtime.GOOS {
	case "windows":
		if data := os.Getenv("LOCALAPPDATA"); data != "" {
			return filepath.Join(data, "Wreckwright", "book"), nil
		}
		return filepath.Join(home, "Wreckwright", "book"), nil
	case "darwin":
		return filepath.Join(home, "Library", "Application Support", "Wreckwright", "book"), nil
	}
	if data := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(data) {
		return filepath.Join(data, "wreckwright", "book"), nil
	}
	return filepath.Join(home, ".local", "share", "wreckwright", "book"), nil
}

// openPage asks the desktop to show the address. It is a convenience: the
// address was printed, so a machine without a desktop loses nothing.
func openPage(log *slog.Logger, address string) {
	command := map[string][]string{
		"darwin":  {"open", address},
		"windows": {"rundll32", "url.dll,FileProtocolHandler", address},
	}[runtime.GOOS]
	if command == nil {
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return
		}
		command = []string{"xdg-open", address}
	}
	opener := exec.Command(command[0], command[1:]...)
	if err := opener.Start(); err != nil {
		log.Info("the browser was not opened", "error", err)
		return
	}
	go func() { _ = opener.Wait() }() // reaps it; its outcome changes nothing
}
