package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"wreckwright/rebuild"
)

// The files of an export; docs/export-format.md describes them.

// exportFormat names the format, exportVersion its version.
const (
	exportFormat  = "wreckwright book"
	exportVersion = 7
)

// bookFile is book.json.
type bookFile struct {
	Format   string            `json:"format"`
	Version  int               `json:"version"`
	Settings map[string]string `json:"settings"`
	Rebuilds []int64           `json:"rebuilds"` // each in rebuilds/N
	Files    []fileLine        `json:"files"`    // each in files/ab/HASH
}

type fileLine struct {
	Hash      string    `json:"hash"`
	Size      int64     `json:"size"`
	MediaType string    `json:"media_type"`
	AddedAt   time.Time `json:"added_at"`
}

// rebuildFile is rebuilds/N/rebuild.json.
type rebuildFile struct {
	ID        int64       `json:"id"`
	Version   int64       `json:"version"`
	NextID    int64       `json:"next_id"`
	ChangedAt time.Time   `json:"changed_at"`
	Car       rebuild.Car `json:"car"`
	// Appraisal is missing in version 1.
	Appraisal *rebuild.Appraisal `json:"appraisal"`
	Zones     []rebuild.Zone     `json:"zones"`
	Stages    []rebuild.Stage    `json:"stages"`
	Findings  []rebuild.Finding  `json:"findings"`
	Jobs      []rebuild.Job      `json:"jobs"`
	Entries   []rebuild.Entry    `json:"entries"`
	// Evidence is missing before version 3.
	Evidence []rebuild.Evidence `json:"evidence"`
	// Cases is missing before version 4.
	Cases []rebuild.Case `json:"cases"`
	// Strip, Joints and Tools are missing before version 5.
	Strip  []rebuild.StripItem `json:"strip"`
	Joints []rebuild.Joint     `json:"joints"`
	Tools  []rebuild.Tool      `json:"tools"`
	// What follows is missing before version 6.
	GatePasses    []rebuild.GatePass     `json:"gate_passes"`
	Shakedown     []rebuild.ShakedownRun `json:"shakedown"`
	Rehearsal     []rebuild.Rehearsed    `json:"rehearsal"`
	OfficialTests []rebuild.OfficialTest `json:"official_tests"`
	Confirmations []rebuild.Confirmation `json:"confirmations"`
	// What follows is missing before version 7.
	Sheets     []rebuild.Sheet     `json:"sheets"`
	People     []rebuild.Person    `json:"people"`
	Things     []rebuild.Thing     `json:"things"`
	Milestones []rebuild.Milestone `json:"milestones"`
	JobPlans   []rebuild.JobPlan   `json:"job_plans"`
	Deliveries []rebuild.Delivery  `json:"deliveries"`
	Timetables []rebuild.Timetable `json:"timetables"`
}

func fileOf(r *rebuild.Rebuild, changedAt time.Time) rebuildFile {
	return rebuildFile{
		r.ID, r.Version, r.NextID, changedAt, r.Car, appraisalOf(r), listed(r.Zones), listed(r.Stages),
		listed(r.Findings), listed(r.Jobs), listed(r.Entries), listed(r.Evidence), listed(r.Cases),
		listed(r.Strip), listed(r.Joints), listed(r.Tools),
		listed(r.GatePasses), listed(r.Shakedown), listed(r.Rehearsal), listed(r.OfficialTests), listed(r.Confirmations),
		listed(r.Sheets), listed(r.People), listed(r.Things), listed(r.Milestones), listed(r.JobPlans), listed(r.Deliveries), listed(r.Timetables),
	}
}

// listed makes an empty list [] rather than null.
func listed[T any](items []T) []T {
	if items == nil {
		return []T{}
	}
	return items
}

func appraisalOf(r *rebuild.Rebuild) *rebuild.Appraisal {
	a := r.Appraisal
	a.Events, a.Fees, a.Other = listed(a.Events), listed(a.Fees), listed(a.Other)
	return &a
}

func (f rebuildFile) rebuild() *rebuild.Rebuild {
	appraisal := rebuild.NewAppraisal()
	if f.Appraisal != nil {
		appraisal = *f.Appraisal
	}
	r := rebuild.Rebuild{
		ID: f.ID, Version: f.Version, NextID: f.NextID, Car: f.Car, Appraisal: appraisal, Zones: f.Zones, Stages: f.Stages,
		Findings: f.Findings, Jobs: f.Jobs, Entries: f.Entries, Evidence: f.Evidence, Cases: f.Cases,
		Strip: f.Strip, Joints: f.Joints, Tools: f.Tools,
		GatePasses: f.GatePasses, Shakedown: f.Shakedown, Rehearsal: f.Rehearsal, OfficialTests: f.OfficialTests, Confirmations: f.Confirmations,
		Sheets: f.Sheets, People: f.People, Things: f.Things, Milestones: f.Milestones, JobPlans: f.JobPlans, Deliveries: f.Deliveries, Timetables: f.Timetables,
	}
	return r.Tidy()
}

// recordLine is one element of rebuilds/N/journal.json, oldest first.
type recordLine struct {
	ID       int64      `json:"id"`
	Version  int64      `json:"version"`
	At       time.Time  `json:"at"`
	Who      string     `json:"who"`
	What     string     `json:"what"`
	Kind     string     `json:"kind"`
	Request  string     `json:"request"`
	Of       int64      `json:"of"`
	UndoneBy int64      `json:"undone_by"`
	Edits    []editLine `json:"edits"`
}

type editLine struct {
	Kind   rebuild.Kind    `json:"kind"`
	Before json.RawMessage `json:"before"`
	After  json.RawMessage `json:"after"`
}

// BadExport is the error of an export that cannot be read.
type BadExport struct {
	File   string // relative to the export's folder
	Line   int    // from 1; 0: the file as a whole
	Column int
	Err    error
}

func (e *BadExport) Error() string {
	if e.Line == 0 {
		return fmt.Sprintf("%s: %v", e.File, e.Err)
	}
	return fmt.Sprintf("%s, line %d, column %d: %v", e.File, e.Line, e.Column, e.Err)
}

// Unwrap gives the cause.
func (e *BadExport) Unwrap() error { return e.Err }

// Hint says what to do.
func (e *BadExport) Hint() string {
	return "the export is incomplete or was edited; nothing was imported"
}

// decodeStrictly reads one JSON value that fills the whole text. Unknown fields
// are refused, so that nothing is dropped silently; errors name the place.
func decodeStrictly(file string, data []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return badAt(file, data, placeOf(err, d.InputOffset(), len(data)), plainJSON(err))
	}
	after := d.InputOffset()
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return badAt(file, data, after, errors.New("more follows after the end"))
	}
	return nil
}

// placeOf is how many bytes were read up to the fault.
func placeOf(err error, read int64, all int) int64 {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return int64(all)
	case errors.As(err, &syntax):
		return syntax.Offset
	case errors.As(err, &kind):
		return kind.Offset
	}
	return read
}

func plainJSON(err error) error {
	var kind *json.UnmarshalTypeError
	switch {
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return fmt.Errorf("it ends too early: %w", err)
	case errors.As(err, &kind):
		return fmt.Errorf("%s cannot be a %s", kind.Field, kind.Value)
	}
	return errors.New(strings.TrimPrefix(err.Error(), "json: "))
}

func badAt(file string, data []byte, offset int64, err error) error {
	before := data[:min(max(offset, 0), int64(len(data)))]
	line := 1 + bytes.Count(before, []byte("\n"))
	column := len(before) - bytes.LastIndexByte(before, '\n')
	return &BadExport{file, line, column, err}
}

// encodePlainly writes a value as indented JSON, the same for the same value.
func encodePlainly(value any) ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(value)
	return out.Bytes(), err
}
