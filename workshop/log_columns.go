package workshop

import (
	"bufio"
	"io"
	"strings"
)

// LogColumns are the names in a log's header, to choose columns from; nil where
// none is to be seen. It is the first line of the first sixty that is cut into
// two cells at least and holds no number alone in a cell.
func LogColumns(from io.Reader) []string {
	lines := bufio.NewScanner(from)
	for n := 0; n < 60 && lines.Scan(); n++ {
		line := strings.TrimPrefix(strings.ToValidUTF8(lines.Text(), "?"), "\ufeff")
		cells := strings.Split(line, mostOften(line))
		named := len(cells) > 1
		for i, cell := range cells {
			cells[i] = strings.Trim(cell, " \t\r\"")
			named = named && cells[i] != "" && strings.Trim(cells[i], "0123456789.,-+:eE") != ""
		}
		if named {
			return cells
		}
	}
	return nil
}

// mostOften is the separator that a line has most of.
func mostOften(line string) string {
	best := ","
	for _, c := range []string{"\t", ";", "|"} {
		if strings.Count(line, c) > strings.Count(line, best) {
			best = c
		}
	}
	return best
}
