package rebuild

import (
	"encoding/json"
	"fmt"
)

// Sheet is a measuring sheet: readings that are taken over several visits before
// an instrument works on them.
type Sheet struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Of    Instrument `json:"of"` // survey, angles or noise
	Title string     `json:"title"`
	JobID int64      `json:"job"`   // 0: none
	Phase Phase      `json:"phase"` // of the job's work; empty: not said
	Told  string     `json:"told"`  // what was entered so far, JSON in the instrument's own form; empty: nothing
	Note  string     `json:"note"`
}

// SheetInstruments lists those that have sheets.
var SheetInstruments = []Instrument{InstrumentSurvey, InstrumentAngles, InstrumentNoise}

// MaxToldBytes bounds what a sheet may hold.
const MaxToldBytes = 256 << 10

// ItemKind is part of [Item].
func (s Sheet) ItemKind() Kind { return KindSheet }

// ItemID is part of [Item].
func (s Sheet) ItemID() int64 { return s.ID }

// Revision is part of [Item].
func (s Sheet) Revision() int { return s.Rev }

// Label is part of [Item].
func (s Sheet) Label() string { return s.Title }

// Validate checks the sheet by itself. What it was told is for the instrument to
// understand; here it must only be JSON.
func (s Sheet) Validate() error {
	var c checks
	c.oneOf(string(s.Of), "of", "what the sheet is for", names(SheetInstruments)...)
	c.text(s.Title, "title", "what is measured", 1, 200)
	c.that(s.JobID >= 0, "job", "there is no job %d", s.JobID)
	c.oneOfIfSaid(string(s.Phase), "phase", "before or after the work", names(Phases)...)
	c.that(len(s.Told) <= MaxToldBytes, "told", "the readings have %d bytes; at most %d fit on one sheet", len(s.Told), MaxToldBytes)
	c.text(s.Told, "told", "the readings", 0, MaxToldBytes)
	c.that(s.Told == "" || json.Valid([]byte(s.Told)), "told", "the readings are not valid JSON")
	c.text(s.Note, "note", "the note", 0, 4000)
	return c.err()
}

// AddSheet begins a sheet; its number and revision are given here.
func (r *Rebuild) AddSheet(s Sheet) (Change, error) {
	s.ID, s.Rev = r.nextID(), 0
	return adding(s, r.checkSheet, fmt.Sprintf("began the measuring sheet %q", short(s.Title)))
}

// EditSheet replaces a sheet. s.Rev is the revision the form was opened with.
func (r *Rebuild) EditSheet(s Sheet) (Change, error) {
	old := r.Sheet(s.ID)
	what := fmt.Sprintf("changed the measuring sheet %q", short(s.Title))
	if old != nil && old.Told != s.Told {
		what = fmt.Sprintf("entered readings on the measuring sheet %q", short(s.Title))
	}
	return editing(old, s, r.checkSheet, what)
}

// DeleteSheet takes a sheet out. Measurements made from it stay.
func (r *Rebuild) DeleteSheet(id int64, rev int) (Change, error) {
	return removing(r.Sheets, id, rev, KindSheet, "deleted the measuring sheet")
}

func (r *Rebuild) checkSheet(s Sheet) error {
	if err := s.Validate(); err != nil {
		return err
	}
	return r.jobThere(s.JobID, "job")
}
