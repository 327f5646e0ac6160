package report

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"

	"wreckwright/prove/buildfile"
	"wreckwright/store"
	"wreckwright/workshop"
)

// shrunk is a photo on its way: made small beside the writing.
type shrunk struct {
	picture Picture
	err     error
}

// mostAtOnce bounds how many photos are unpacked at a time: each takes up to 150
// MB, one of a phone about 20.
const mostAtOnce = 2

// shrinkAhead makes the photos small on the other cores while the ZIP is written,
// and gives them in order; never more than two ahead, whatever their number.
func (m *making) shrinkAhead() <-chan chan shrunk {
	workers := min(mostAtOnce, runtime.GOMAXPROCS(0))
	queue := make(chan chan shrunk, workers)
	go func() {
		defer close(queue)
		turn := make(chan struct{}, workers)
		for _, f := range m.b.Files {
			if f.Use != workshop.UsePhoto {
				continue
			}
			answer := make(chan shrunk, 1)
			select {
			case turn <- struct{}{}:
			case <-m.ctx.Done():
				return
			}
			go func() {
				defer func() { <-turn }()
				answer <- shrinkOne(m.ctx, m.open, f.Hash)
			}()
			select {
			case queue <- answer:
			case <-m.ctx.Done():
				return
			}
		}
	}()
	return queue
}

// shrinkOne makes one photo small. A fault of a decoder on a file from outside
// must not end the program: it becomes the error of that photo.
func shrinkOne(ctx context.Context, open Opener, hash string) (s shrunk) {
	defer func() {
		if fault := recover(); fault != nil {
			s.err = fmt.Errorf("%w: a fault while it was unpacked: %v", errNoPicture, fault)
		}
	}()
	content, _, err := open(ctx, hash)
	if err != nil {
		return shrunk{err: err}
	}
	defer content.Close()
	p, err := Shrink(content)
	return shrunk{p, err}
}

// photo puts one photo into the ZIP and keeps the small one for the PDF.
func (m *making) photo(f workshop.BuildFileFile, photos <-chan chan shrunk) error {
	var small shrunk
	select {
	case answer, ok := <-photos:
		if !ok {
			return m.ctx.Err()
		}
		select {
		case small = <-answer:
		case <-m.ctx.Done():
			return m.ctx.Err()
		}
	case <-m.ctx.Done():
		return m.ctx.Err()
	}
	switch {
	case errors.Is(small.err, store.ErrNoFile):
		m.b.Leaving.Count("files that the book does not have any more", "they were taken out of its folder")
		return nil
	case isNoPicture(small.err):
		return m.unshown(f)
	case small.err != nil:
		return small.err
	}
	m.pictures[f.Hash] = &small.picture
	if m.b.Options.Originals {
		return m.original(f)
	}
	hash := buildfile.HashOf(small.picture.JPEG)
	return m.put(buildfile.File{Name: "photos/" + hash + ".jpg", Of: f.Hash, Changed: "made small and written anew: nothing but the picture is in it"}, small.picture.JPEG)
}

// original puts in a photo as the camera made it, with or without what stands
// beside the picture.
func (m *making) original(f workshop.BuildFileFile) error {
	if m.b.Options.Positions {
		return m.file(f)
	}
	content, info, err := m.open(m.ctx, f.Hash)
	if err != nil {
		return err
	}
	defer content.Close()
	whole, err := io.ReadAll(readerUntil{m.ctx, content})
	if err != nil {
		return err
	}
	bare, err := Bare(whole)
	if err != nil {
		small := m.pictures[f.Hash]
		m.b.Leaving.Count("originals of photos that could only be put in small", "the position cannot be taken out of such a file without changing the picture")
		return m.put(buildfile.File{Name: "photos/" + buildfile.HashOf(small.JPEG) + ".jpg", Of: f.Hash, Changed: "made small and written anew: nothing but the picture is in it"}, small.JPEG)
	}
	changed := "what stood beside the picture (position, moment, camera) taken out"
	if len(bare) == len(whole) {
		changed = ""
	}
	return m.put(buildfile.File{Name: "photos/" + buildfile.HashOf(bare) + endingOf(info.MediaType), MediaType: info.MediaType, Of: f.Hash, Changed: changed}, bare)
}

// unshown handles a picture that cannot be unpacked here: a drawing goes in as it
// is, for it holds no position; anything else only where positions may stay.
func (m *making) unshown(f workshop.BuildFileFile) error {
	if f.MediaType == "image/svg+xml" || m.b.Options.Positions {
		m.undrawn = append(m.undrawn, notDrawn{f.Hash, kindWords(f.MediaType), true})
		return m.file(f)
	}
	m.undrawn = append(m.undrawn, notDrawn{f.Hash, kindWords(f.MediaType), false})
	m.b.Leaving.Count("pictures of a kind that cannot be read here", "the place where they were taken may stand in them; ask for originals with positions")
	return nil
}

// notDrawn is a picture that cannot be drawn on paper.
type notDrawn struct {
	hash string // as in the book
	kind string
	kept bool // in the ZIP
}

// words say it in the place where the picture would be.
func (n notDrawn) words() string {
	if n.kept {
		return n.kind + ": kept in the ZIP, not drawn"
	}
	return n.kind + ": not drawn, left out of this edition"
}

// Error makes it one of the errors that a picture can have.
func (n notDrawn) Error() string { return n.words() }

// Unwrap says that it gives no picture.
func (notDrawn) Unwrap() error { return errNoPicture }

// kindWords is a kind of picture as people call it.
func kindWords(mediaType string) string {
	_, kind, _ := strings.Cut(mediaType, "/")
	switch kind {
	case "svg+xml":
		return "SVG drawing"
	case "":
		return "picture"
	}
	return strings.ToUpper(kind) + " picture"
}

// undrawnBlocks list the pictures that the document names and does not draw, so
// that nobody believes them shown.
func undrawnBlocks(list []notDrawn, named []string) []buildfile.Block {
	list = slices.DeleteFunc(slices.Clone(list), func(n notDrawn) bool { return !slices.Contains(named, n.hash) })
	if len(list) == 0 {
		return nil
	}
	table := buildfile.Table{Head: []string{"Picture", "Its SHA-256 in the book begins with", "Where it is"}, Shares: []float64{4, 6, 6}}
	for _, n := range list {
		where := "in the ZIP, folder photos"
		if !n.kept {
			where = "not in this file"
		}
		table.Rows = append(table.Rows, []string{n.kind, n.hash[:min(16, len(n.hash))], where})
	}
	return []buildfile.Block{{Heading: "Pictures that are not drawn in this document"}, {Table: &table}}
}
