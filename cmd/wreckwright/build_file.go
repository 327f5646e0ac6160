package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"time"

	"wreckwright/prove/buildfile"
	paper "wreckwright/report"
	"wreckwright/store"
	"wreckwright/workshop"
)

// buildFileCommand writes the build file of a rebuild.
type buildFileCommand struct {
	bookFlag
	Rebuild   int64  `required:"" help:"Number of the rebuild in the book, as in its address." placeholder:"N"`
	Output    string `short:"o" help:"The ZIP to write; otherwise build-file-N-DAY.zip here." type:"path" placeholder:"FILE"`
	Edition   string `enum:"full,redacted" default:"full" help:"Full, or redacted: without prices, names, plate (full, redacted)."`
	WithMoney bool   `help:"With the ledger, receipts and all sums."`
	Originals bool   `help:"Photos as the camera made them, without the place where they were taken; otherwise small."`
	Positions bool   `help:"With --originals: leave in what the camera wrote beside the picture, the place too."`
}

// Help is printed below the usage.
func (buildFileCommand) Help() string {
	return "One ZIP with the record on paper (PDF), all data, raw readings and photos, each with its hash, signed with the book's key, which is " +
		"made at first use. “wreckwright verify FILE.zip” checks it anywhere. No file is overwritten."
}

// Run writes the build file.
func (c buildFileCommand) Run(ctx context.Context, out output) (err error) {
	if c.Edition == string(buildfile.Redacted) && (c.WithMoney || c.Originals || c.Positions) {
		return misuse{errors.New("a redacted edition holds neither money nor originals; leave --with-money, --originals and --positions out")}
	}
	if c.Positions && !c.Originals {
		return misuse{errors.New("--positions needs --originals: small photos hold nothing but the picture")}
	}
	dir, err := c.folder()
	if err != nil {
		return err
	}
	book, key, err := bookWithKey(ctx, dir)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	shop := workshop.New(book, nil, func() string { return time.Now().Format(time.DateOnly) })
	defer func() { err = errors.Join(err, shop.Close()) }()
	private, err := shop.SigningKey(ctx, key)
	if err != nil {
		return err
	}
	b, err := shop.BuildFile(ctx, c.Rebuild, workshop.BuildFileOptions{
		Edition: buildfile.Edition(c.Edition), Money: c.WithMoney, Originals: c.Originals, Positions: c.Positions,
		At: time.Now(), Program: "Wreckwright " + release + revision(),
	})
	if errors.Is(err, store.ErrNoRebuild) {
		return misuse{fmt.Errorf("the book %s has no rebuild %d", dir, c.Rebuild)}
	}
	if err != nil {
		return err
	}
	name := c.Output
	if name == "" {
		name = fmt.Sprintf("build-file-%d-%s.zip", c.Rebuild, time.Now().Format(time.DateOnly))
	}
	made, err := paper.MakeFile(ctx, name, b, private, book.OpenFile, progressLine(out))
	if errors.Is(err, fs.ErrExist) {
		return misuse{fmt.Errorf("%s is there already; nothing is overwritten", name)}
	}
	if err != nil {
		return err
	}
	sayMade(out, name, made)
	return nil
}

// bookWithKey opens the book for reading, which works beside a running server,
// and for writing only where its key has still to be made.
func bookWithKey(ctx context.Context, dir string) (book *store.Book, mayMake bool, err error) {
	book, err = store.Open(ctx, dir, store.Options{ReadOnly: true})
	if err != nil {
		return nil, false, err
	}
	_, err = workshop.New(book, nil, func() string { return "" }).SigningKey(ctx, false)
	var none *workshop.NoKey
	if !errors.As(err, &none) {
		return book, false, nil // whatever is wrong is told when it is used
	}
	if err := book.Close(); err != nil {
		return nil, false, err
	}
	book, err = store.Open(ctx, dir, store.Options{})
	var used *store.InUse
	if errors.As(err, &used) {
		return nil, false, none
	}
	return book, true, err
}

// progressLine tells the progress on a terminal, every tenth step.
func progressLine(out output) paper.Progress {
	return func(done, of int) {
		if of > 20 && done%max(1, of/10) == 0 {
			fmt.Fprintf(out.Errors, "wreckwright: %d of %d files\n", done, of)
		}
	}
}

func sayMade(out output, name string, made paper.Made) {
	fmt.Fprintf(out.Result, "Wrote %s: %s edition, %d files, %.1f MB\n", filepath.Clean(name), made.Manifest.Edition, len(made.Manifest.Files), float64(made.Bytes)/1e6)
	left := 0
	for _, l := range made.LeftOut {
		left += l.Count
	}
	if left > 0 {
		fmt.Fprintf(out.Result, "Left out: %d things, listed in the PDF and in %s\n", left, buildfile.LeftOutName)
	}
	fmt.Fprintf(out.Result, "Fingerprint of the key: %s\n", made.Manifest.Fingerprint)
}
