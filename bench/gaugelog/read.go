package gaugelog

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
)

// reader reads one log.
type reader struct {
	o        Options
	lines    *bufio.Scanner
	line     int
	l        layout
	log      Log
	cells    [][]byte
	origin   float64 // seconds taken off dated and clocked times
	days     float64 // midnights passed, in seconds
	previous float64 // the last stamp
	started  bool
	group    int     // rows that share the last stamp
	step     float64 // seconds between the last two stamps
	said     string  // the last mark
}

// Read reads a log. An error that is the file's is an [*Error].
func Read(from io.Reader, o Options) (Log, error) {
	r := &reader{o: o, lines: bufio.NewScanner(from)}
	r.lines.Buffer(make([]byte, 64<<10), maxLine)
	units, err := r.header()
	if err != nil {
		return Log{}, err
	}
	if !r.l.setUnit(o.Unit, units.pressure) {
		return Log{}, &Error{File: o.File, Problem: fmt.Sprintf("--unit %q is no unit of pressure", o.Unit), Expected: "bar, psi, kPa or MPa"}
	}
	if err := r.rows(units); err != nil {
		return Log{}, err
	}
	r.spread(r.step)
	r.log.Columns = r.l.columns
	return r.log, nil
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
				return unitRow{}, r.fault("", fmt.Sprintf("no column %q for --event", r.o.Event), "the name of a column in the header")
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

func (r *reader) rows(units unitRow) error {
	r.decimalSign()
	if r.l.date >= 0 {
		if _, ok := calendarSeconds(r.stampCell()); !ok {
			r.l.date = -1
		}
	}
	if !r.l.setTime(units.time, r.stampCell()) {
		return r.fault(r.l.columns.Time, show(r.cell(r.l.time))+" is no time", "seconds, a clock such as 14:03:07, or a date with a time such as 2027-01-04T14:03:07")
	}
	for {
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
		return r.fault(r.l.columns.Pressure, show(cell)+" "+r.l.columns.Unit+" is no pressure of a hydraulic unit", "a pressure below 10000 bar; --unit says another unit")
	}
	if len(r.log.TimeS) == MaxRows {
		return r.fault("", fmt.Sprintf("the log is longer than %d rows", MaxRows), "a shorter log, or one with fewer readings a second")
	}
	r.append(stamp, value*r.l.scale-r.l.offsetBar)
	return nil
}

// append adds a reading and spreads the ones before it that share a stamp.
func (r *reader) append(stamp, bar float64) {
	n := len(r.log.TimeS)
	if n > 0 && stamp == r.log.TimeS[n-max(r.group, 1)] {
		r.group++
		r.log.Repeated++
	} else {
		if n > 0 {
			step := stamp - r.log.TimeS[n-max(r.group, 1)]
			if r.step == 0 || step < r.step {
				r.spread(step)
			} else {
				r.spread(r.step)
			}
			r.step = step
		}
		r.group = 1
	}
	r.log.TimeS = append(r.log.TimeS, stamp)
	r.log.PressureBar = append(r.log.PressureBar, bar)
	r.log.Line = append(r.log.Line, int32(r.line))
}

// spread lays the rows that share the last stamp evenly over a step.
func (r *reader) spread(step float64) {
	n := len(r.log.TimeS)
	if step <= 0 {
		step = 1
	}
	for i := 1; i < r.group; i++ {
		at := n - r.group + i
		r.log.TimeS[at] += step * float64(i) / float64(r.group)
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
	if !missing(cell) && len(r.log.Marks) < MaxRows/100 {
		r.log.Marks = append(r.log.Marks, Mark{AtS: stamp, Text: show(cell)[1 : len(show(cell))-1], Line: r.line})
	}
}
