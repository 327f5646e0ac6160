package workshop

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"wreckwright/rebuild"
)

// ReadingsName is what the readings of a check are called when they are kept.
const ReadingsName = "readings.txt"

// mostReadings is how many readings a check may have.
const mostReadings = 500

// CheckRow is the readings of one part of a quantity; without a name where there
// is one row only. Of a part that wears the name is the distance.
type CheckRow struct {
	Name   string
	Values []float64
}

// WriteReadings writes readings as they are kept: a line for each part, its name
// before a colon and its values parted by semicolons.
func WriteReadings(rows []CheckRow) string {
	var b strings.Builder
	for _, row := range rows {
		values := make([]string, len(row.Values))
		for i, v := range row.Values {
			values[i] = strconv.FormatFloat(v, 'f', -1, 64)
		}
		if row.Name == "" {
			b.WriteString(strings.Join(values, "\n") + "\n")
			continue
		}
		b.WriteString(row.Name + ": " + strings.Join(values, "; ") + "\n")
	}
	return b.String()
}

// ReadReadings reads what [WriteReadings] wrote. The error is [*rebuild.Invalid]
// and names the line.
func ReadReadings(text string) ([]CheckRow, error) {
	var rows []CheckRow
	n := 0
	for i, line := range strings.Split(strings.ReplaceAll(text, "\r", "\n"), "\n") {
		name, list := "", strings.TrimSpace(line)
		if at := strings.LastIndexByte(list, ':'); at >= 0 {
			name, list = strings.TrimSpace(list[:at]), list[at+1:]
		}
		var values []float64
		for item := range strings.SplitSeq(list, ";") {
			item = strings.TrimSpace(item)
			if item == "" {
				continue
			}
			v, err := strconv.ParseFloat(item, 64)
			if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, refusedReading(fmt.Sprintf("line %d: %q is not a number", i+1, shortened(item)))
			}
			values = append(values, v)
		}
		if n += len(values); n > mostReadings {
			return nil, refusedReading(fmt.Sprintf("there are more than %d readings; a check has a few", mostReadings))
		}
		if len(values) > 0 {
			rows = addRow(rows, CheckRow{name, values})
		}
	}
	return rows, nil
}

func addRow(rows []CheckRow, row CheckRow) []CheckRow {
	for i := range rows {
		if rows[i].Name == row.Name {
			rows[i].Values = append(rows[i].Values, row.Values...)
			return rows
		}
	}
	return append(rows, row)
}

func refusedReading(text string) error {
	return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "taken", Text: text}}}
}
