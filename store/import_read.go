package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"wreckwright/rebuild"
)

// imported is one rebuild of an export, checked.
type imported struct {
	rebuild   *rebuild.Rebuild
	changedAt time.Time
	journal   []recordLine
	edits     [][]rebuild.Edit // of each record
	marks     []Mark
}

// mostJSON bounds a JSON file of an export: far above any book, there against a
// file that is none.
const mostJSON = 1 << 30

// readExport reads and checks all the JSON of an export.
func readExport(ctx context.Context, from fs.FS) (bookFile, []imported, error) {
	data, err := readJSON(from, "book.json")
	if err != nil {
		return bookFile{}, nil, err
	}
	head, err := parseBook(data)
	if err != nil {
		return bookFile{}, nil, err
	}
	var all []imported
	records := map[int64]bool{}
	for _, id := range head.Rebuilds {
		if err := ctx.Err(); err != nil {
			return bookFile{}, nil, err
		}
		one, err := readRebuildFiles(from, id)
		if err != nil {
			return bookFile{}, nil, err
		}
		for _, l := range one.journal {
			if records[l.ID] {
				return bookFile{}, nil, &BadExport{File: folderOf(id) + "/journal.json", Err: fmt.Errorf("record %d is in another rebuild's journal too", l.ID)}
			}
			records[l.ID] = true
		}
		all = append(all, one)
	}
	return head, all, nil
}

func folderOf(id int64) string { return path.Join("rebuilds", strconv.FormatInt(id, 10)) }

func readRebuildFiles(from fs.FS, id int64) (imported, error) {
	var texts [3][]byte
	for i, name := range []string{"rebuild.json", "journal.json", "marks.json"} {
		data, err := readJSON(from, path.Join(folderOf(id), name))
		if err != nil {
			return imported{}, err
		}
		texts[i] = data
	}
	return parseRebuild(id, texts[0], texts[1], texts[2])
}

func readJSON(from fs.FS, name string) ([]byte, error) {
	f, err := from.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, &BadExport{File: name, Err: errors.New("it is missing")}
	}
	if err != nil {
		return nil, &BadExport{File: name, Err: err}
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostJSON+1))
	if err == nil && len(data) > mostJSON {
		err = errors.New("it is larger than a gigabyte")
	}
	if err != nil {
		return nil, &BadExport{File: name, Err: err}
	}
	return data, nil
}

// parseBook reads book.json.
func parseBook(data []byte) (bookFile, error) {
	const name = "book.json"
	var head bookFile
	// The version comes first: a newer one may well have fields unknown here.
	var form struct {
		Format  string `json:"format"`
		Version int    `json:"version"`
	}
	if err := json.Unmarshal(data, &form); err == nil && form.Format == exportFormat && form.Version > exportVersion {
		return head, &BadExport{File: name, Err: fmt.Errorf("it has version %d of the format; this program knows versions up to %d", form.Version, exportVersion)}
	}
	if err := decodeStrictly(name, data, &head); err != nil {
		return head, err
	}
	if head.Format != exportFormat || head.Version < 1 {
		return head, &BadExport{File: name, Err: fmt.Errorf("its format is %q, version %d, not %q, version %d", head.Format, head.Version, exportFormat, exportVersion)}
	}
	if err := head.check(); err != nil {
		return head, &BadExport{File: name, Err: err}
	}
	return head, nil
}

func (head bookFile) check() error {
	seen := map[string]bool{}
	for _, id := range head.Rebuilds {
		key := strconv.FormatInt(id, 10)
		if id <= 0 || seen[key] {
			return fmt.Errorf("rebuild %d is named twice or is not above zero", id)
		}
		seen[key] = true
	}
	for _, f := range head.Files {
		switch {
		case !isHash(f.Hash):
			return fmt.Errorf("%q is no SHA-256 in hexadecimal digits", f.Hash)
		case seen[f.Hash]:
			return fmt.Errorf("the file %s is named twice", f.Hash)
		case f.Size <= 0 || f.MediaType == "" || len(f.MediaType) > 100 || !sensible(f.AddedAt):
			return fmt.Errorf("the file %s has no sensible size, media type or moment", f.Hash)
		}
		seen[f.Hash] = true
	}
	return nil
}

func isHash(s string) bool { return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == "" }

// sensible moments are those that can be written again.
func sensible(t time.Time) bool { return t.Year() >= 1970 && t.Year() <= 2200 }

// parseRebuild reads the three files of a rebuild and checks that they keep the
// rules and fit together.
func parseRebuild(id int64, rebuildJSON, journalJSON, marksJSON []byte) (imported, error) {
	in := imported{}
	at := folderOf(id)
	var file rebuildFile
	if err := decodeStrictly(at+"/rebuild.json", rebuildJSON, &file); err != nil {
		return in, err
	}
	in.rebuild, in.changedAt = file.rebuild(), file.ChangedAt
	if err := in.checkRebuild(id); err != nil {
		return in, &BadExport{File: at + "/rebuild.json", Err: err}
	}
	if err := decodeStrictly(at+"/journal.json", journalJSON, &in.journal); err != nil {
		return in, err
	}
	if err := in.checkJournal(); err != nil {
		return in, &BadExport{File: at + "/journal.json", Err: err}
	}
	if err := decodeStrictly(at+"/marks.json", marksJSON, &in.marks); err != nil {
		return in, err
	}
	days := map[string]bool{}
	for _, m := range in.marks {
		if err := m.check(); err != nil || days[m.On] {
			return in, &BadExport{File: at + "/marks.json", Err: errors.Join(err, fmt.Errorf("mark of %q", m.On))}
		}
		days[m.On] = true
	}
	return in, nil
}

func (in *imported) checkRebuild(id int64) error {
	if in.rebuild.ID != id {
		return fmt.Errorf("it holds rebuild %d, not %d", in.rebuild.ID, id)
	}
	if !sensible(in.changedAt) {
		return fmt.Errorf("changed_at %s is not between 1970 and 2200", in.changedAt)
	}
	return in.rebuild.Validate()
}

// checkJournal holds that there is one record for each version, in order, and
// that undo and redo name what they are about.
func (in *imported) checkJournal() error {
	if int64(len(in.journal)) != in.rebuild.Version {
		return fmt.Errorf("it has %d records for %d versions", len(in.journal), in.rebuild.Version)
	}
	byID := map[int64]*recordLine{}
	requests := map[string]bool{}
	for i := range in.journal {
		l := &in.journal[i]
		if err := l.check(); err != nil {
			return fmt.Errorf("record %d: %w", l.ID, err)
		}
		if l.Version != int64(i+1) || i > 0 && l.ID <= in.journal[i-1].ID || l.Request != "" && requests[l.Request] {
			return fmt.Errorf("record %d is out of order or there twice", l.ID)
		}
		if of := byID[l.Of]; l.Kind != KindDo && (of == nil || of.Kind != KindDo) {
			return fmt.Errorf("record %d is about record %d, which is no change before it", l.ID, l.Of)
		}
		byID[l.ID], requests[l.Request] = l, true
		edits, err := decodeEdits(l.Edits)
		if err != nil {
			return fmt.Errorf("record %d: %w", l.ID, err)
		}
		in.edits = append(in.edits, edits)
	}
	for _, l := range in.journal {
		if by := byID[l.UndoneBy]; l.UndoneBy != 0 && (by == nil || by.Kind != KindUndo || by.Of != l.ID) {
			return fmt.Errorf("record %d is undone by record %d, which is no undo of it", l.ID, l.UndoneBy)
		}
	}
	return nil
}

func (l recordLine) check() error {
	switch {
	case l.ID <= 0 || !sensible(l.At):
		return errors.New("its number or moment makes no sense")
	case l.Kind != KindDo && l.Kind != KindUndo && l.Kind != KindRedo:
		return fmt.Errorf("its kind %q is not do, undo or redo", l.Kind)
	case (l.Kind == KindDo) != (l.Of == 0) || l.Kind != KindDo && l.UndoneBy != 0:
		return errors.New("only an undo or redo is about another record, and only a change is undone")
	case utf8.RuneCountInString(l.What) > 1000:
		return errors.New("its sentence is too long")
	}
	return By{l.Who, l.Request}.check()
}

func decodeEdits(lines []editLine) ([]rebuild.Edit, error) {
	if len(lines) == 0 {
		return nil, errors.New("it changes nothing")
	}
	edits := make([]rebuild.Edit, len(lines))
	for i, l := range lines {
		before, err := strictItem(l.Kind, l.Before)
		if err != nil {
			return nil, err
		}
		after, err := strictItem(l.Kind, l.After)
		if err != nil {
			return nil, err
		}
		if before == nil && after == nil || before != nil && after != nil && before.ItemID() != after.ItemID() {
			return nil, fmt.Errorf("its edit %d is of nothing or of two different things", i+1)
		}
		edits[i] = rebuild.Edit{Before: before, After: after}
	}
	return edits, nil
}

// strictItem reads an item and refuses fields that it does not have.
func strictItem(kind rebuild.Kind, data json.RawMessage) (rebuild.Item, error) {
	if len(data) == 0 || string(data) == "null" {
		return nil, nil
	}
	item, err := rebuild.DecodeItem(kind, data)
	if err != nil {
		return nil, err
	}
	switch kind {
	case rebuild.KindCar:
		err = decodeStrictly(string(kind), data, new(rebuild.Car))
	case rebuild.KindAppraisal:
		err = decodeStrictly(string(kind), data, new(rebuild.Appraisal))
	case rebuild.KindZone:
		err = decodeStrictly(string(kind), data, new(rebuild.Zone))
	case rebuild.KindStage:
		err = decodeStrictly(string(kind), data, new(rebuild.Stage))
	case rebuild.KindFinding:
		err = decodeStrictly(string(kind), data, new(rebuild.Finding))
	case rebuild.KindJob:
		err = decodeStrictly(string(kind), data, new(rebuild.Job))
	case rebuild.KindEntry:
		err = decodeStrictly(string(kind), data, new(rebuild.Entry))
	case rebuild.KindEvidence:
		err = decodeStrictly(string(kind), data, new(rebuild.Evidence))
	case rebuild.KindCase:
		err = decodeStrictly(string(kind), data, new(rebuild.Case))
	case rebuild.KindStripItem:
		err = decodeStrictly(string(kind), data, new(rebuild.StripItem))
	case rebuild.KindJoint:
		err = decodeStrictly(string(kind), data, new(rebuild.Joint))
	case rebuild.KindTool:
		err = decodeStrictly(string(kind), data, new(rebuild.Tool))
	case rebuild.KindGatePass:
		err = decodeStrictly(string(kind), data, new(rebuild.GatePass))
	case rebuild.KindShakedownRun:
		err = decodeStrictly(string(kind), data, new(rebuild.ShakedownRun))
	case rebuild.KindRehearsed:
		err = decodeStrictly(string(kind), data, new(rebuild.Rehearsed))
	case rebuild.KindOfficialTest:
		err = decodeStrictly(string(kind), data, new(rebuild.OfficialTest))
	case rebuild.KindSheet:
		err = decodeStrictly(string(kind), data, new(rebuild.Sheet))
	case rebuild.KindPerson:
		err = decodeStrictly(string(kind), data, new(rebuild.Person))
	case rebuild.KindThing:
		err = decodeStrictly(string(kind), data, new(rebuild.Thing))
	case rebuild.KindMilestone:
		err = decodeStrictly(string(kind), data, new(rebuild.Milestone))
	case rebuild.KindJobPlan:
		err = decodeStrictly(string(kind), data, new(rebuild.JobPlan))
	case rebuild.KindDelivery:
		err = decodeStrictly(string(kind), data, new(rebuild.Delivery))
	case rebuild.KindTimetable:
		err = decodeStrictly(string(kind), data, new(rebuild.Timetable))
	case rebuild.KindConfirmation:
		err = decodeStrictly(string(kind), data, new(rebuild.Confirmation))
	}
	return item, err
}
