package gaugelog

import (
	"bytes"
	"fmt"
	"io"
	"strings"
)

// mostRuns is the longest list of runs that is read.
const mostRuns = 100_000

// ReadRuns reads a list of pump runs: columns pump_on_s and pump_off_s, in
// seconds, in order. The last run may still be going (an empty second cell);
// it is left out.
func ReadRuns(from io.Reader, file string) ([]Run, error) {
	r := newReader(from, Options{File: file})
	if err := r.noCSV(); err != nil {
		return nil, err
	}
	separator, on, off, err := r.runColumns()
	if err != nil {
		return nil, err
	}
	point := byte('.')
	if separator != ',' {
		point = ','
	}
	var runs []Run
	going := false
	for {
		line, ok := r.next()
		if !ok {
			return runs, r.broken()
		}
		if going {
			return nil, r.fault("pump_off_s", "a run follows one that has no end", "an end for every run but the last")
		}
		r.cells = splitLine(line, separator, r.cells)
		var run Run
		if run, going, err = r.run(on, off, point); err != nil {
			return nil, err
		}
		if n := len(runs); n > 0 && run.OnS < runs[n-1].OffS {
			return nil, r.fault("pump_on_s", fmt.Sprintf("%g is before the run above ends (%g)", run.OnS, runs[n-1].OffS), "runs in order that do not overlap")
		}
		if going {
			continue
		}
		if len(runs) == mostRuns {
			return nil, r.fault("", "too many runs", fmt.Sprintf("at most %d", mostRuns))
		}
		runs = append(runs, run)
	}
}

// runColumns reads the header of a list of runs: what parts its cells, and where
// start and stop stand.
func (r *reader) runColumns() (separator byte, on, off int, err error) {
	line, ok := r.next()
	if !ok {
		if err := r.broken(); err != nil {
			return 0, 0, 0, err
		}
		return 0, 0, 0, &Error{File: r.o.File, Problem: "the file is empty", Expected: "the header pump_on_s,pump_off_s and one run a line"}
	}
	separator, on, off = separatorOf(line), -1, -1
	for i, cell := range splitLine(line, separator, nil) {
		switch strings.ToLower(string(cell)) {
		case "pump_on_s":
			on = i
		case "pump_off_s":
			off = i
		}
	}
	if on < 0 || off < 0 {
		return 0, 0, 0, r.fault("", "no columns pump_on_s and pump_off_s", "the header pump_on_s,pump_off_s")
	}
	return separator, on, off, nil
}

// run reads one row of a list of runs.
func (r *reader) run(on, off int, point byte) (run Run, going bool, err error) {
	read := func(i int, column string) (float64, error) {
		cell := r.cell(i)
		value, ok := number(bytes.Replace(cell, []byte{point}, []byte{'.'}, 1), '.')
		if !ok || value < -1e15 || value > 1e15 {
			return 0, r.fault(column, show(cell)+" is no number", "seconds, such as 255.9")
		}
		return value, nil
	}
	if run.OnS, err = read(on, "pump_on_s"); err != nil {
		return run, false, err
	}
	if missing(r.cell(off)) {
		return run, true, nil
	}
	if run.OffS, err = read(off, "pump_off_s"); err != nil {
		return run, false, err
	}
	if run.OffS <= run.OnS {
		return run, false, r.fault("pump_off_s", fmt.Sprintf("%g is not after pump_on_s (%g)", run.OffS, run.OnS), "a pump that stops after it starts")
	}
	return run, false, nil
}
