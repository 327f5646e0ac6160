package survey

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// row is one line of a list.
type row struct {
	in    Input
	line  int
	cells []string
}

// ReadDistances reads from,to,mm[,sd].
func ReadDistances(data []byte) ([]Distance, error) {
	var list []Distance
	err := readRows(InDistances, data, "from,to,mm", func(r row) error {
		d := Distance{From: r.cells[0], To: r.cells[1], Row: r.line}
		err := r.numbers(map[int]*float64{2: &d.Mm, 3: &d.SDMm})
		list = append(list, d)
		return err
	})
	return list, err
}

// ReadHeights reads point,mm[,sd].
func ReadHeights(data []byte) ([]Height, error) {
	var list []Height
	err := readRows(InHeights, data, "point,mm", func(r row) error {
		h := Height{Point: r.cells[0], Row: r.line}
		err := r.numbers(map[int]*float64{1: &h.Mm, 2: &h.SDMm})
		list = append(list, h)
		return err
	})
	return list, err
}

// ReadLevels reads from,to,mm[,sd].
func ReadLevels(data []byte) ([]Level, error) {
	var list []Level
	err := readRows(InLevels, data, "from,to,mm", func(r row) error {
		l := Level{From: r.cells[0], To: r.cells[1], Row: r.line}
		err := r.numbers(map[int]*float64{2: &l.Mm, 3: &l.SDMm})
		list = append(list, l)
		return err
	})
	return list, err
}

// ReadNominal reads point,x,y,z[,sd].
func ReadNominal(data []byte) ([]Nominal, error) {
	var list []Nominal
	err := readRows(InNominal, data, "point,x,y,z", func(r row) error {
		n := Nominal{Point: r.cells[0], Row: r.line}
		err := r.numbers(map[int]*float64{1: &n.X, 2: &n.Y, 3: &n.Z, 4: &n.SDMm})
		list = append(list, n)
		return err
	})
	return list, err
}

// ReadPairs reads left,right.
func ReadPairs(data []byte) ([]Pair, error) {
	var list []Pair
	err := readRows(InPairs, data, "left,right", func(r row) error {
		list = append(list, Pair{Left: r.cells[0], Right: r.cells[1], Row: r.line})
		return nil
	})
	return list, err
}

// readRows calls take for each line under the header.
func readRows(in Input, data []byte, header string, take func(row) error) error {
	reader := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))))
	reader.FieldsPerRecord = -1
	reader.TrimLeadingSpace = true
	reader.Comment = '#'
	names := strings.Split(header, ",")
	most := len(names) + 1
	expected := header + "[,sd]"
	if in == InPairs {
		most, expected = len(names), header
	}
	width := 0
	for {
		cells, err := reader.Read()
		if errors.Is(err, io.EOF) {
			if width == 0 {
				return mistake(in, 0, "the file is empty", "a first line "+expected)
			}
			return nil
		}
		var wrong *csv.ParseError
		if errors.As(err, &wrong) {
			return mistake(in, wrong.Line, wrong.Err.Error(), "lines of "+expected)
		}
		if err != nil {
			return mistake(in, 0, err.Error(), "lines of "+expected)
		}
		line, _ := reader.FieldPos(0)
		for k := range cells {
			cells[k] = strings.TrimSpace(cells[k])
		}
		if width == 0 {
			if !isHeader(cells, names, most) {
				return mistake(in, line, fmt.Sprintf("the first line is %q", strings.Join(cells, ",")), expected)
			}
			width = len(cells)
			continue
		}
		if err := checkRow(row{in, line, cells}, width, expected); err != nil {
			return err
		}
		if err := take(row{in, line, cells}); err != nil {
			return err
		}
	}
}

func isHeader(cells, names []string, most int) bool {
	if len(cells) < len(names) || len(cells) > most {
		return false
	}
	for k, name := range names {
		if !strings.EqualFold(cells[k], name) {
			return false
		}
	}
	return len(cells) == len(names) || strings.EqualFold(cells[len(names)], "sd")
}

func checkRow(r row, width int, expected string) error {
	if len(r.cells) > width {
		return mistake(r.in, r.line, fmt.Sprintf("%d values under %d headings", len(r.cells), width), expected)
	}
	names := 1
	if r.in == InDistances || r.in == InLevels || r.in == InPairs {
		names = 2
	}
	for k := range names {
		if k >= len(r.cells) || r.cells[k] == "" {
			return mistake(r.in, r.line, "the name of a point is missing", expected)
		}
	}
	return nil
}

// numbers reads cells; the last, a standard deviation, may be missing.
func (r row) numbers(into map[int]*float64) error {
	last := 0
	for k := range into {
		last = max(last, k)
	}
	for k := 1; k <= last; k++ {
		target, ok := into[k]
		if !ok {
			continue
		}
		text := ""
		if k < len(r.cells) {
			text = r.cells[k]
		}
		if text == "" && k == last {
			continue
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return mistake(r.in, r.line, fmt.Sprintf("%q is no number", text), "a number of mm with a point, like 851.5")
		}
		if k == last && v <= 0 {
			return mistake(r.in, r.line, fmt.Sprintf("sd %s", text), "a standard deviation above 0 mm")
		}
		*target = v
	}
	return nil
}
