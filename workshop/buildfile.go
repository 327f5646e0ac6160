package workshop

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"
	"unicode/utf8"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// BuildFileOptions is what a build file is to hold.
type BuildFileOptions struct {
	Edition buildfile.Edition
	Money   bool // sums; never in a redacted edition
	// Originals puts the photos in as the camera made them, without what stands
	// beside the picture; else small. Never in a redacted edition.
	Originals bool
	// Positions leaves in the originals what the camera wrote beside the picture,
	// the place where it was taken too.
	Positions bool
	At        time.Time
	Program   string // name and version
}

// Plain is the options with what cannot be together set right.
func (o BuildFileOptions) Plain() BuildFileOptions {
	if o.Edition == buildfile.Redacted {
		o.Money, o.Originals, o.Positions = false, false, false
	}
	o.Positions = o.Positions && o.Originals
	return o
}

// BuildFile is everything that goes into a build file but the content of the
// book's files and the signature.
type BuildFile struct {
	Options  BuildFileOptions
	Rebuild  *rebuild.Rebuild // as the edition has it
	Document buildfile.Document
	Data     []DataFile
	Files    []BuildFileFile
	Record   []buildfile.Entry // of evidence
	Leaving  *buildfile.Leaving
}

// DataFile is a file made here.
type DataFile struct {
	Name    string
	Content []byte
}

// FileUse is what a file of the book is to the build file.
type FileUse string

// The uses.
const (
	UsePhoto  FileUse = "photo"
	UseRaw    FileUse = "raw"    // readings of an instrument
	UseRecord FileUse = "record" // what else stands as proof
	// UseReceipt is told apart only where files are counted.
	UseReceipt FileUse = "receipt"
)

// BuildFileFile is one file of the book.
type BuildFileFile struct {
	rebuild.Attachment
	Use FileUse
}

// BuildFile gathers the build file of a rebuild.
func (w *Workshop) BuildFile(ctx context.Context, id int64, o BuildFileOptions) (*BuildFile, error) {
	o = o.Plain()
	taken, err := w.book.Take(ctx, id)
	if err != nil {
		return nil, err
	}
	whole, err := store.ReadTaken(taken.Rebuild)
	if err != nil {
		return nil, fmt.Errorf("reading what was taken out of the book: %w", err)
	}
	b := &BuildFile{Options: o, Leaving: leavingOf(whole, taken.Journal, o)}
	data, err := b.Leaving.Apply(taken.Rebuild, editionRules())
	if err != nil {
		return nil, fmt.Errorf("leaving out what the edition does not hold: %w", err)
	}
	if b.Rebuild, err = store.ReadTaken(data); err != nil {
		return nil, fmt.Errorf("reading what the edition holds: %w", err)
	}
	if b.Record, err = EvidenceRecord(b.Rebuild); err != nil {
		return nil, err
	}
	b.Data = append(b.Data, DataFile{buildfile.RebuildName, data})
	if o.Edition == buildfile.Full && o.Money {
		b.Data = append(b.Data, DataFile{buildfile.JournalName, taken.Journal}, DataFile{buildfile.MarksName, taken.Marks})
	} else {
		b.Leaving.Count("the journal of all changes and the forecasts of earlier days", "they hold names and sums")
	}
	joints, err := buildfile.EncodeJSON(ReckonedTightenings(b.Rebuild))
	if err != nil {
		return nil, err
	}
	b.Data = append(b.Data, DataFile{buildfile.JointsName, joints})
	b.Files = filesOf(b.Rebuild)
	b.Document = w.document(ctx, b, whole)
	return b, nil
}

// leavingOf knows the names, the firms and the marks of the car that an edition
// leaves out.
func leavingOf(r *rebuild.Rebuild, journal []byte, o BuildFileOptions) *buildfile.Leaving {
	l := &buildfile.Leaving{Sums: !o.Money, Identity: o.Edition == buildfile.Redacted}
	if l.Identity {
		l.Words = buildfile.NewWords(buildfile.Known{
			People: peopleOf(r, journal), Firms: firmsOf(r), Plate: r.Car.Plate, VIN: r.Car.VIN, Currencies: currenciesOf(r),
		})
	}
	return l
}

// peopleOf are the names of people that the book knows as such, in the order in
// which they come up.
func peopleOf(r *rebuild.Rebuild, journal []byte) []string {
	var names []string
	add := func(name string) {
		if name != "" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, j := range r.Joints {
		for _, t := range j.Tightenings {
			add(t.Who)
			add(t.SecondBy)
		}
	}
	for _, s := range r.Strip {
		add(s.BackBy)
	}
	for _, p := range r.GatePasses {
		add(p.By)
	}
	for _, run := range r.Shakedown {
		add(run.By)
	}
	for _, item := range r.Rehearsal {
		add(item.By)
	}
	for _, c := range r.Confirmations {
		add(c.By)
	}
	for _, p := range r.People {
		add(p.Name)
	}
	var records []struct {
		Who string `json:"who"`
	}
	if json.Unmarshal(journal, &records) == nil { // it was written a moment ago
		for _, record := range records {
			add(record.Who)
		}
	}
	return names
}

func firmsOf(r *rebuild.Rebuild) []string {
	var firms []string
	add := func(name string) {
		if name != "" && !slices.Contains(firms, name) {
			firms = append(firms, name)
		}
	}
	for _, e := range r.Entries {
		add(e.Supplier)
	}
	for _, d := range r.Deliveries {
		add(d.Supplier)
	}
	for _, test := range r.OfficialTests {
		add(test.Where)
	}
	return firms
}

// currenciesOf are those that the car and its ledger are counted in.
func currenciesOf(r *rebuild.Rebuild) []string {
	codes := []string{r.Car.Currency}
	for _, e := range r.Entries {
		if !slices.Contains(codes, e.Amount.Currency) {
			codes = append(codes, e.Amount.Currency)
		}
	}
	return codes
}

// filesOf are the files of the book that the rebuild names, each once: what is
// raw readings counts as that, whatever else it is.
func filesOf(r *rebuild.Rebuild) []BuildFileFile {
	var files []BuildFileFile
	add := func(use FileUse, list []rebuild.Attachment) {
		for _, a := range list {
			if slices.ContainsFunc(files, func(f BuildFileFile) bool { return f.Hash == a.Hash }) {
				continue
			}
			if use == UseRecord && a.IsImage() {
				files = append(files, BuildFileFile{a, UsePhoto})
				continue
			}
			files = append(files, BuildFileFile{a, use})
		}
	}
	for i := range r.Evidence {
		add(UseRaw, r.Evidence[i].Raw)
	}
	for i := range r.Findings {
		add(UseRecord, r.Findings[i].Photos)
	}
	for i := range r.Jobs {
		add(UseRecord, r.Jobs[i].Proofs)
	}
	for i := range r.Strip {
		add(UseRecord, r.Strip[i].Photos)
	}
	for _, j := range r.Joints {
		for _, t := range j.Tightenings {
			add(UseRecord, t.Photos)
		}
	}
	for i := range r.Shakedown {
		add(UseRecord, r.Shakedown[i].Photos)
	}
	for i := range r.OfficialTests {
		add(UseRecord, r.OfficialTests[i].Photos)
	}
	for i := range r.Entries {
		add(UseRecord, r.Entries[i].Receipts)
	}
	return files
}

// HoldsWords reports whether in the text of a file stands what the edition leaves
// out.
func (b *BuildFile) HoldsWords(f BuildFileFile, text []byte) bool {
	kind := buildfile.Prose
	switch {
	case f.MediaType == "image/svg+xml":
		kind = buildfile.Drawing
	case f.Use == UseRaw:
		kind = buildfile.Readings
	}
	return b.Leaving.Words.Holds(legible(text), kind)
}

// legible is a text as far as names can be found in it, also where a program of
// another time or place wrote it: with noughts between its letters (UTF-16), or
// one byte a letter (ISO 8859-1).
func legible(text []byte) string {
	text = bytes.ReplaceAll(text, []byte{0}, nil)
	if utf8.Valid(text) {
		return string(text)
	}
	letters := make([]rune, len(text))
	for i, b := range text {
		letters[i] = rune(b)
	}
	return string(letters)
}
