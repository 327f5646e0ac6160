package codes

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// lineNumber is a line as readers show an answer of several frames without headers:
// the length in three digits on a line of its own, then "0: 43 03 01 33 03 01".
//
// ref: ISO_15765_2 frames
var lineNumber = regexp.MustCompile(`^([0-9A-Fa-f]):\s*((?:[0-9A-Fa-f]{2}\s*)+)$`)

// lengthAhead reads the length in front of numbered lines.
func lengthAhead(line string) (int, bool) {
	text := strings.TrimLeft(strings.TrimSpace(line), ">")
	if len(text) != 3 || text[0] != '0' {
		return 0, false
	}
	n, err := strconv.ParseInt(text, 16, 0)
	return int(n), err == nil && n > 6
}

// numbered reads a line with its number in front.
func numbered(line string) (nth int, data []byte, ok bool) {
	m := lineNumber.FindStringSubmatch(strings.TrimSpace(line))
	if m == nil {
		return 0, nil, false
	}
	n, _ := strconv.ParseInt(m[1], 16, 0)
	for _, pair := range pairsOf(m[2]) {
		b, err := strconv.ParseUint(pair, 16, 8)
		if err != nil {
			return 0, nil, false
		}
		data = append(data, byte(b))
	}
	return int(n), data, len(data) > 0
}

// pairsOf are the digits of a line two by two.
func pairsOf(text string) []string {
	digits := strings.Join(strings.Fields(text), "")
	var list []string
	for i := 0; i+1 < len(digits); i += 2 {
		list = append(list, digits[i:i+2])
	}
	return list
}

// numberedLine adds a numbered line to the answer that it belongs to, and takes that
// up once it is whole: by the length that stood in front, else by what its first
// bytes say. It gives 1 where that told something.
func (r *Result) numberedLine(b *bus, nth int, data []byte, at int, line string, tables Tables) int {
	unclear := func(why string) int {
		b.lines = nil
		r.Unclear = append(r.Unclear, Unclear{Line: at, Text: strings.TrimSpace(line), Why: why})
		return 0
	}
	switch {
	case nth == 0:
		b.lines = &unfinished{answer: answer{line: at, data: slices.Clone(data), exact: true}, length: wholeLength(b.length, data), next: 1}
		b.length = 0
	case b.lines == nil:
		return unclear("a later line of an answer whose first is missing")
	case nth != b.lines.next&15:
		return unclear("a line before it is missing")
	default:
		b.lines.next++
		b.lines.data = append(b.lines.data, data...)
	}
	u := b.lines
	if len(u.data) < u.length {
		return 1
	}
	b.lines = nil
	u.data = u.data[:u.length]
	if why := r.answer(u.answer, tables); why != "" {
		return unclear(why)
	}
	return 1
}

// wholeLength is how long an answer is: as said, or for services that list codes
// by the count that stands behind the service.
func wholeLength(said int, data []byte) int {
	if said > 0 {
		return said
	}
	if len(data) > 1 && (data[0] == 0x43 || data[0] == 0x47 || data[0] == 0x4A) {
		return 2 + 2*int(data[1])
	}
	return len(data)
}

// frameOn is one of several frames on a line.
type frameOn struct {
	header string
	data   []byte
}

// framesOf reads a line on which several frames with headers stand, each of a header
// and eight bytes at most: "7E8 10 08 43 03 01 33 03 01 7E8 21 C1 00".
func framesOf(line string) ([]frameOn, bool) {
	fields := strings.Fields(strings.TrimLeft(strings.TrimSpace(line), ">"))
	var parts [][]string
	for _, f := range fields {
		if len(f) == 3 && f[0] == '7' && isHex(f) || len(f) == 8 && strings.HasPrefix(strings.ToUpper(f), "18DA") && isHex(f) {
			parts = append(parts, nil)
		}
		if len(parts) == 0 {
			return nil, false
		}
		parts[len(parts)-1] = append(parts[len(parts)-1], f)
	}
	if len(parts) < 2 {
		return nil, false
	}
	var frames []frameOn
	for _, p := range parts {
		header, data, ok := bytesOf(strings.Join(p, " "))
		if !ok || len(data) > 8 {
			return nil, false
		}
		frames = append(frames, frameOn{header, data})
	}
	return frames, true
}
