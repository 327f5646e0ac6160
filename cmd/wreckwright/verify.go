package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"wreckwright/prove/buildfile"
	paper "wreckwright/report"
	"wreckwright/store"
)

// verifyCommand looks through a whole book, or checks a build file.
type verifyCommand struct {
	bookFlag
	What        string  `arg:"" optional:"" help:"A build file (ZIP) to check, or the folder of a book; otherwise the book." type:"path" placeholder:"FILE.zip"`
	Fingerprint *string `help:"The fingerprint that the key of the build file must have: the one that whoever made it told you." placeholder:"HEX"`
	JSON        bool    `help:"Print one JSON object about the build file and nothing else."`
}

// Help is printed below the usage.
func (verifyCommand) Help() string {
	return "Of a book: checks the database file, every row against the rules, the journal, and every photo and receipt against its hash; " +
		"the exit status is 1 when something is not in order. Of a build file, which needs no book: works out every hash anew, checks the " +
		"record of evidence and the signature, works the measurements out again from the raw readings and lists what differs; the exit status " +
		"is 2 when the file is not what was signed, 1 when only a measurement comes out otherwise. Nothing is changed or unpacked."
}

// Run verifies what the argument is.
func (c verifyCommand) Run(ctx context.Context, out output) error {
	if c.What == "" {
		return c.book(ctx, out)
	}
	at, err := os.Stat(c.What)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return misuse{fmt.Errorf("there is no %s; expected a build file (ZIP) or the folder of a book", c.What)}
	case err != nil:
		return err
	case at.IsDir():
		c.Book = c.What
		return c.book(ctx, out)
	case !at.Mode().IsRegular():
		return misuse{fmt.Errorf("%s is no file that can be read; expected a build file (ZIP)", c.What)}
	}
	return c.buildFile(ctx, out, at.Size())
}

// book verifies a book.
func (c verifyCommand) book(ctx context.Context, out output) (err error) {
	if c.Fingerprint != nil || c.JSON {
		return misuse{errors.New("--fingerprint and --json are for build files: name the ZIP")}
	}
	book, err := c.read(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	problems, err := book.Verify(ctx)
	if err != nil {
		return err
	}
	return sayProblems(out, book, problems)
}

func sayProblems(out output, book *store.Book, problems []string) error {
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

// buildFile checks a build file where it lies.
func (c verifyCommand) buildFile(ctx context.Context, out output, size int64) (err error) {
	if c.Fingerprint != nil && strings.Trim(*c.Fingerprint, " -:") == "" {
		return misuse{errors.New("--fingerprint is empty; expected the one that whoever made the build file told you")}
	}
	f, err := os.Open(c.What)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	name := buildfile.OneLine(filepath.Base(c.What))
	checked, err := paper.Check(ctx, f, size, name)
	if err != nil {
		return err
	}
	if c.Fingerprint != nil && !buildfile.SameFingerprint(*c.Fingerprint, checked.Manifest.Fingerprint) {
		checked.Wrong = append(checked.Wrong, fmt.Sprintf("it is signed with another key: %s, not %s", checked.Manifest.Fingerprint, buildfile.OneLine(*c.Fingerprint)))
	}
	if c.JSON {
		if err := sayCheckedJSON(out, checked); err != nil {
			return err
		}
	} else {
		sayChecked(out, name, checked)
	}
	switch {
	case len(checked.Wrong) > 0:
		return &notAsSigned{name, checked.Wrong}
	case len(checked.Differs) > 0:
		return fmt.Errorf("%s is what was signed, but %d results come out otherwise than they were kept", name, len(checked.Differs))
	}
	return nil
}

// notAsSigned is the error of a build file that was changed, or is not from whom
// it should be.
type notAsSigned struct {
	file  string
	wrong []string
}

func (e *notAsSigned) Error() string {
	text := e.file + " is not what was signed: " + e.wrong[0]
	if more := len(e.wrong) - 1; more > 0 {
		text += fmt.Sprintf(" (and %d more)", more)
	}
	return text
}

// Hint says what to do.
func (*notAsSigned) Hint() string {
	return "trust nothing in it; ask whoever made it for it once more"
}

// isBadBuildFile reports a file that is no build file, or not as it was signed.
func isBadBuildFile(err error) bool {
	var notWhole *paper.BadFile
	var changed *notAsSigned
	return errors.As(err, &notWhole) || errors.As(err, &changed)
}

// sayChecked prints what the check came to; also where it fails, for then it is
// wanted most.
func sayChecked(out output, name string, c paper.Checked) {
	to := out.Live
	m := c.Manifest
	fmt.Fprintf(to, "%s: %s edition, %s, made %s by %s\n", name, m.Edition, m.Car, m.MadeAt, m.Program)
	for _, w := range c.Wrong {
		fmt.Fprintf(to, "WRONG    %s\n", w)
	}
	for _, d := range c.Differs {
		fmt.Fprintf(to, "differs  %s\n", d)
	}
	for _, a := range c.Again {
		fmt.Fprintf(to, "same     %s\n", a)
	}
	for _, n := range c.NotAgain {
		fmt.Fprintf(to, "not tried  %s\n", n)
	}
	if len(c.Wrong) > 0 {
		return
	}
	fmt.Fprintf(to, "%d files are as they were signed; %d entries of evidence hang together\n", len(m.Files), c.Entries)
	if c.Missing > 0 {
		fmt.Fprintf(to, "%d files of the evidence are not in this edition: left-out.json says why\n", c.Missing)
	}
	fmt.Fprintf(to, "signed with the key  %s\n", m.Fingerprint)
	fmt.Fprintln(to, "That shows who has the key, not that what was entered is true: compare the fingerprint with the one you were told.")
}

func sayCheckedJSON(out output, c paper.Checked) error {
	listed := func(list []string) []string { return append([]string{}, list...) }
	verdict, why := "pass", "every byte is as it was signed and every measurement that was worked out again comes out the same"
	switch {
	case len(c.Wrong) > 0:
		verdict, why = "fail", c.Wrong[0]
	case len(c.Differs) > 0:
		verdict, why = "fail", c.Differs[0]
	case len(c.NotAgain) > 0:
		why = "every byte is as it was signed; some measurements could not be worked out again"
	}
	e := json.NewEncoder(out.Live)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(map[string]any{
		"verdict": verdict, "why": why, "edition": c.Manifest.Edition, "car": c.Manifest.Car, "made_at": c.Manifest.MadeAt,
		"program": c.Manifest.Program, "fingerprint": c.Manifest.Fingerprint, "files": len(c.Manifest.Files), "entries": c.Entries,
		"wrong": listed(c.Wrong), "differs": listed(c.Differs), "same": listed(c.Again), "not_tried": listed(c.NotAgain), "missing": c.Missing,
	})
}
