package gaugelog

import (
	"bytes"
	"strconv"
)

var separatorNames = map[byte]string{',': "comma", ';': "semicolon", '\t': "tab", '|': "bar"}

// splitLine puts the cells of a line into into, quotes and blanks around them
// taken off.
//
// ref: RFC_4180 section 2
func splitLine(line []byte, separator byte, into [][]byte) [][]byte {
	into = into[:0]
	for {
		var cell []byte
		cell, line = nextCell(line, separator)
		into = append(into, cell)
		if line == nil {
			return into
		}
		line = line[1:]
	}
}

// nextCell is the first cell and the rest from its separator on; nil when it was
// the last.
func nextCell(line []byte, separator byte) (cell, rest []byte) {
	if start := bytes.TrimLeft(line, " "); len(start) > 0 && start[0] == '"' {
		return quotedCell(start[1:], separator)
	}
	i := bytes.IndexByte(line, separator)
	if i < 0 {
		return bytes.TrimSpace(line), nil
	}
	return bytes.TrimSpace(line[:i]), line[i:]
}

func quotedCell(text []byte, separator byte) (cell, rest []byte) {
	end := 0
	for end < len(text) && (text[end] != '"' || end+1 < len(text) && text[end+1] == '"') {
		if text[end] == '"' {
			end++
		}
		end++
	}
	cell = bytes.TrimSpace(bytes.ReplaceAll(text[:min(end, len(text))], []byte(`""`), []byte(`"`)))
	if end >= len(text) {
		return cell, nil
	}
	if i := bytes.IndexByte(text[end:], separator); i >= 0 {
		return cell, text[end+i:]
	}
	return cell, nil
}

// powers are exact in float64, so that a mantissa below 2^53 divided by one is
// rounded once, as strconv does.
var powers = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// number reads a decimal; point is the sign before the fraction.
func number(cell []byte, point byte) (float64, bool) {
	i, negative := 0, false
	if len(cell) > 0 && (cell[0] == '-' || cell[0] == '+') {
		i, negative = 1, cell[0] == '-'
	}
	mantissa, digits, after, seen := uint64(0), 0, 0, false
	for ; i < len(cell); i++ {
		c := cell[i]
		switch {
		case c >= '0' && c <= '9':
			mantissa = mantissa*10 + uint64(c-'0')
			digits++
			if seen {
				after++
			}
		case c == point && !seen:
			seen = true
		default:
			return slowNumber(cell, point)
		}
		if digits > 15 {
			return slowNumber(cell, point)
		}
	}
	if digits == 0 {
		return 0, false
	}
	value := float64(mantissa) / powers[after]
	if negative {
		value = -value
	}
	return value, true
}

// slowNumber reads what has an exponent or very many digits. Words that ParseFloat
// knows (inf, nan, hexadecimals, underscores) are no readings.
func slowNumber(cell []byte, point byte) (float64, bool) {
	for _, c := range cell {
		if (c < '0' || c > '9') && c != point && c != 'e' && c != 'E' && c != '+' && c != '-' {
			return 0, false
		}
	}
	text := cell
	if point != '.' {
		text = bytes.Replace(cell, []byte{point}, []byte{'.'}, 1)
	}
	value, err := strconv.ParseFloat(string(text), 64)
	return value, err == nil
}

// missing reports a cell by which loggers say that there is no value.
func missing(cell []byte) bool {
	switch len(cell) {
	case 0:
		return true
	case 1, 2, 3, 4:
		switch string(bytes.ToLower(cell)) {
		case "-", "--", "---", "----", "nan", "na", "n/a", "nil", "null", "none", "?":
			return true
		}
	}
	return false
}
