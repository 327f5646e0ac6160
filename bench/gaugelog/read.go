package gaugelog

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
)

// reader reads one log.
type reader struct {
	o        Options
	in       *bufio.Reader
	lines    *bufio.Scanner
	line     int
	l        layout
	log      Log
	timeS    column[float64]
	bar      column[float64]
	lineOf   column[int32]
	cells    [][]byte
	origin   float64 // seconds taken off dated and clocked times
	days     float64 // midnights passed, in seconds
	previous float64 // the last stamp
	started  bool
	group    int     // rows that share the last stamp
	shared   float64 // that stamp
	step     float64 // seconds between the last two stamps
	said     string  // the last mark
}

func newReader(from io.Reader, o Options) *reader {
	in := bufio.NewReaderSize(from, 64<<10)
	r := &reader{o: o, in: in, lines: bufio.NewScanner(in)}
	r.lines.Buffer(make([]byte, 64<<10), maxLine)
	return r
}

// Read reads a log. An error that is the file's is an [*Error]; it ends early,
// with the context's error, when nobody waits any more.
func Read(ctx context.Context, from io.Reader, o Options) (Log, error) {
	r := newReader(from, o)
	units, err := r.header()
	if err != nil {
		return Log{}, err
	}
	if !r.l.setUnit(o.Unit, units.pressure) {
		return Log{}, &Error{File: o.File, Problem: fmt.Sprintf("%q is no unit of pressure", o.Unit), Expected: "bar, psi, kPa or MPa", Wrong: SettingUnit}
	}
	if err := r.rows(ctx, units); err != nil {
		return Log{}, err
	}
	r.spread(r.step)
	r.log.Columns = r.l.columns
	r.log.TimeS, r.log.PressureBar, r.log.Line = r.timeS.whole(), r.bar.whole(), r.lineOf.whole()
	return r.log, r.doubtUnit(r.log.PressureBar)
}

// noCSV is that the file is of another kind, by its first bytes.
func (r *reader) noCSV() error {
	head, _ := r.in.Peek(foreignMost) // what ended the file early is told by the first line
	if kind := foreign(head); kind != "" {
		return &Error{File: r.o.File, Problem: "this is no CSV but " + kind, Expected: "a CSV file: plain text with a header and one reading a line"}
	}
	return nil
}

// next is the next line that is not empty.
func (r *reader) next() ([]byte, bool) {
	for r.lines.Scan() {
		r.line++
		line := r.lines.Bytes()
		if r.line == 1 {
			line = bytes.TrimPrefix(line, []byte("\xef\xbb\xbf"))
		}
		if len(bytes.TrimSpace(line)) > 0 {
			return line, true
		}
	}
	return nil, false
}

// broken is why the lines ended, where it was not the end of the file.
func (r *reader) broken() error {
	err := r.lines.Err()
	switch {
	case errors.Is(err, bufio.ErrTooLong):
		return r.fault("", "the line is longer than a million characters", "a text file with one reading a line")
	case err != nil:
		return fmt.Errorf("cannot read %s: %w", r.o.File, err)
	}
	return nil
}

func (r *reader) fault(column, problem, expected string) *Error {
	return &Error{File: r.o.File, Line: r.line, Column: column, Problem: problem, Expected: expected}
}

// unitRow is what a row of units beneath the header says.
type unitRow struct{ time, pressure string }

// header finds the header and the first row of data, which it leaves in r.cells.
func (r *reader) header() (unitRow, error) {
	if err := r.noCSV(); err != nil {
		return unitRow{}, err
	}
	var names []string
	first := 0
	for r.line < headerLines {
		line, ok := r.next()
		if !ok {
			break
		}
		if !plainText(line) {
			return unitRow{}, r.fault("", "this is not plain text in UTF-8", "a CSV file; in a spreadsheet, save as CSV UTF-8")
		}
		l, found, ok := readHeader(line, r.o)
		if ok {
			r.l, r.l.columns.HeaderLine = l, r.line
			if r.o.Event != "" && l.event < 0 {
				e := r.fault("", fmt.Sprintf("no column %q", r.o.Event), "the name of a column in the header")
				e.Wrong = SettingEvent
				return unitRow{}, e
			}
			return r.firstRow()
		}
		if len(found) > len(names) {
			names, first = found, r.line
		}
	}
	if err := r.broken(); err != nil {
		return unitRow{}, err
	}
	if r.line == 0 {
		return unitRow{}, &Error{File: r.o.File, Problem: "the file is empty", Expected: "a CSV file with a header and one reading a line"}
	}
	return unitRow{}, lacks(r.o, names, first)
}

// firstRow reads on to the first row with data, over a row of units.
func (r *reader) firstRow() (unitRow, error) {
	var units unitRow
	line, ok := r.next()
	if !ok {
		return units, r.noRows()
	}
	r.cells = splitLine(line, r.l.separator, r.cells)
	time, pressure := string(r.cell(r.l.time)), string(r.cell(r.l.pressure))
	if _, _, isUnit := unitIn(pressure); isUnit {
		units = unitRow{time, pressure}
		if line, ok = r.next(); !ok {
			return units, r.noRows()
		}
		r.cells = splitLine(line, r.l.separator, r.cells)
	}
	return units, nil
}

func (r *reader) noRows() error {
	if err := r.broken(); err != nil {
		return err
	}
	return r.fault("", "the file ends with its header", "one reading a line beneath it")
}

// cell is a cell of the row, nil where the row is too short.
func (r *reader) cell(i int) []byte {
	if i < 0 || i >= len(r.cells) {
		return nil
	}
	return r.cells[i]
}

// stampCell is the cell of the time, with the date before it where it has a
// column of its own.
func (r *reader) stampCell() []byte {
	cell := r.cell(r.l.time)
	if r.l.date < 0 {
		return cell
	}
	return append(append(append(make([]byte, 0, 32), r.cell(r.l.date)...), ' '), cell...)
}

// decimalSign is the comma where a cell of the first row can be read only so.
func (r *reader) decimalSign() {
	if r.l.separator == ',' && bytes.IndexByte(r.cell(r.l.pressure), ',') < 0 && bytes.IndexByte(r.cell(r.l.time), ',') < 0 {
		return
	}
	for _, i := range []int{r.l.time, r.l.pressure} {
		cell := r.cell(i)
		if _, ok := number(cell, '.'); ok {
			continue
		}
		if _, ok := number(cell, ','); ok {
			r.l.point, r.l.columns.DecimalComma = ',', true
			r.l.columns.guess("the comma before decimals, as in %s", cell)
			return
		}
	}
}

// heedEvery is the rows after which it is seen whether anybody still waits.
const heedEvery = 1 << 12

func (r *reader) rows(ctx context.Context, units unitRow) error {
	r.decimalSign()
	if r.l.date >= 0 {
		if _, ok := calendarSeconds(r.stampCell()); !ok {
			r.l.date = -1
		}
	}
	if !r.l.setTime(units.time, r.stampCell()) {
		return r.fault(r.l.columns.Time, show(r.cell(r.l.time))+" is no time", "seconds, a clock such as 14:03:07, or a date with a time such as 2027-01-04T14:03:07")
	}
	for n := 1; ; n++ {
		if n%heedEvery == 0 && ctx.Err() != nil {
			return fmt.Errorf("reading %s: %w", r.o.File, ctx.Err())
		}
		if err := r.row(); err != nil {
			return err
		}
		line, ok := r.next()
		if !ok {
			return r.broken()
		}
		r.cells = splitLine(line, r.l.separator, r.cells)
	}
}

// row takes in one row.
func (r *reader) row() error {
	stamp, err := r.stamp()
	if err != nil {
		return err
	}
	r.mark(stamp)
	cell := r.cell(r.l.pressure)
	value, ok := number(cell, r.l.point)
	if !ok && r.l.point == '.' && r.l.separator != ',' && !r.l.columns.DecimalComma {
		if value, ok = number(cell, ','); ok { // the first rows were whole numbers
			r.l.point, r.l.columns.DecimalComma = ',', true
			r.l.columns.guess("the comma before decimals, as in %s", cell)
		}
	}
	if !ok {
		if missing(cell) {
			r.log.Missing++
			return nil
		}
		return r.fault(r.l.columns.Pressure, show(cell)+" is no number", "a pressure in "+r.l.columns.Unit+", or an empty cell where there is none")
	}
	if math.Abs(value*r.l.scale) > 1e5 {
		e := r.fault(r.l.columns.Pressure, show(cell)+" "+r.l.columns.Unit+" is no pressure of a hydraulic unit", "a pressure below 10000 bar")
		e.Mends = []Setting{SettingUnit}
		return e
	}
	if r.timeS.n == MaxRows {
		return r.fault("", fmt.Sprintf("the log is longer than %d readings, a week at ten a second", MaxRows), "a part of it, or one with fewer readings a second: ten are plenty")
	}
	r.append(stamp, value*r.l.scale-r.l.offsetBar)
	return nil
}

// append adds a reading and spreads the ones before it that share a stamp.
func (r *reader) append(stamp, bar float64) {
	if r.group > 0 && stamp == r.shared {
		r.group++
		r.log.Repeated++
	} else {
		if r.group > 0 {
			step := stamp - r.shared
			if r.step == 0 || step < r.step {
				r.spread(step)
			} else {
				r.spread(r.step)
			}
			r.step = step
		}
		r.group, r.shared = 1, stamp
	}
	r.timeS.append(stamp)
	r.bar.append(bar)
	r.lineOf.append(int32(r.line))
}

// spread lays the rows that share the last stamp evenly over a step.
func (r *reader) spread(step float64) {
	if step <= 0 {
		step = 1
	}
	for i := 1; i < r.group; i++ {
		*r.timeS.at(r.timeS.n - r.group + i) += step * float64(i) / float64(r.group)
	}
}

// stamp reads the row's time.
func (r *reader) stamp() (float64, error) {
	cell := r.stampCell()
	var value float64
	var ok bool
	switch r.l.form {
	case counted:
		value, ok = number(cell, r.l.point)
		if !ok && r.l.point == '.' && r.l.separator != ',' {
			value, ok = number(cell, ',')
		}
		value *= r.l.timeScale
	case clock:
		value, ok = clockSeconds(cell)
	case calendar:
		value, ok = calendarSeconds(cell)
	}
	if !ok || math.Abs(value) > 1e15 {
		return 0, r.fault(r.l.columns.Time, show(r.cell(r.l.time))+" is no time like the ones above", "a time in the form of the first row ("+r.l.columns.TimeForm+")")
	}
	if !r.started {
		r.started = true
		if r.l.form != counted || math.Abs(value) > 1e8 {
			r.origin = value
		}
		r.previous = value - r.origin
		return r.previous, nil
	}
	value += r.days - r.origin
	if r.l.form == clock && value < r.previous-daySeconds/2 {
		r.days += daySeconds
		value += daySeconds
	}
	if value < r.previous {
		return 0, r.fault(r.l.columns.Time, fmt.Sprintf("the clock runs backwards: %s is %.6g s before the row above", show(cell), r.previous-value), "times that never fall")
	}
	r.previous = value
	return value, nil
}

// mark takes in the row's mark where it is a new one.
func (r *reader) mark(stamp float64) {
	cell := r.cell(r.l.event)
	if string(cell) == r.said {
		return
	}
	r.said = string(cell)
	if r.l.pump {
		cell = pumpState(cell)
	}
	if !missing(cell) && len(r.log.Marks) < mostMarks {
		r.log.Marks = append(r.log.Marks, Mark{AtS: stamp, Text: show(cell)[1 : len(show(cell))-1], Line: r.line})
	}
}

// mostMarks is the most marks that are kept.
const mostMarks = 100_000
