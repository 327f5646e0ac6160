package codes

import (
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
)

// answer is the bytes of one answer of a control unit, without its header.
type answer struct {
	line int
	from string // header, "" where there was none
	data []byte
	// exact is set where the header told the length, so that the data ends with
	// the answer and nothing is filled up.
	exact bool
}

// unfinished is an answer of several frames that is not whole yet.
type unfinished struct {
	answer
	length, next int
}

// bus puts the frames of answers together.
type bus struct {
	open   []unfinished
	lines  *unfinished // of numbered lines; nil: none
	length int         // that stood ahead of them; 0: none
}

// bytesOf reads a line of hexadecimal bytes; ok is false for anything else. A
// header in front is told apart by its length.
func bytesOf(line string) (header string, data []byte, ok bool) {
	fields := strings.Fields(strings.TrimLeft(strings.TrimSpace(line), ">"))
	if len(fields) == 0 {
		return "", nil, false
	}
	if isHex(fields[0]) && (len(fields[0]) == 3 && fields[0][0] == '7' || len(fields[0]) == 8 && strings.HasPrefix(strings.ToUpper(fields[0]), "18DA")) {
		header, fields = strings.ToUpper(fields[0]), fields[1:]
	}
	if len(fields) == 1 && len(fields[0]) >= 4 {
		joined := fields[0]
		fields = nil
		for len(joined) >= 2 {
			fields, joined = append(fields, joined[:2]), joined[2:]
		}
		if joined != "" {
			return "", nil, false
		}
	}
	for _, f := range fields {
		if len(f) != 2 || !isHex(f) {
			return "", nil, false
		}
	}
	data, err := hex.DecodeString(strings.Join(fields, ""))
	return header, data, err == nil && len(data) >= 2
}

func isHex(s string) bool {
	return s != "" && !strings.ContainsFunc(s, func(r rune) bool {
		return !(isDigit(r) || r >= 'a' && r <= 'f' || r >= 'A' && r <= 'F')
	})
}

// take reads a line of bytes. whole is false while frames of the answer are
// missing.
//
// ref: ISO_15765_2 frames
func (b *bus) take(header string, data []byte, line int) (a answer, whole bool, why string) {
	if header == "" {
		if len(data) > 4 && data[0] == 0x48 && data[1] == 0x6B { // three bytes of header, a check byte at the end
			return answer{line, "48 6B", data[3 : len(data)-1], true}, true, ""
		}
		return answer{line, "", data, false}, true, ""
	}
	kind, rest := data[0]>>4, data[1:]
	switch kind {
	case 0:
		n := int(data[0])
		if n == 0 || n > len(rest) {
			return a, false, "the length in front does not fit the bytes"
		}
		return answer{line, header, rest[:n], true}, true, ""
	case 1:
		n := int(data[0]&15)<<8 | int(data[1])
		b.open = append(b.open, unfinished{answer{line, header, slices.Clone(data[2:]), true}, n, 1})
		return a, false, ""
	case 2:
		return b.later(header, data)
	}
	return a, false, "a frame of a kind that carries no answer"
}

// later adds a frame to the answer of its header.
func (b *bus) later(header string, data []byte) (a answer, whole bool, why string) {
	i := slices.IndexFunc(b.open, func(u unfinished) bool { return u.from == header })
	if i < 0 {
		return a, false, "a later frame of an answer whose first is missing"
	}
	u := &b.open[i]
	if int(data[0]&15) != u.next&15 {
		b.open = slices.Delete(b.open, i, i+1)
		return a, false, "a frame before it is missing"
	}
	u.next++
	u.data = append(u.data, data[1:]...)
	if len(u.data) < u.length {
		return a, false, ""
	}
	a = u.answer
	a.data = a.data[:u.length]
	b.open = slices.Delete(b.open, i, i+1)
	return a, true, ""
}

// codesOf are the codes in the data of an answer to services 03, 07 and 0A. On
// CAN a count stands first, on older buses three pairs are filled up with zeros:
// an odd number of bytes has a count. Six bytes without a header may be either;
// why says so where the one is as likely as the other.
//
// ref: SAE_J1979 services 03, 07 and 0A
func codesOf(a answer) (list []string, why string) {
	data := a.data[1:]
	if len(data)%2 == 1 {
		n := int(data[0])
		if 2*n > len(data)-1 {
			return pairs(data[1:]), fmt.Sprintf("%d codes are counted and %d are there: the rest of the answer is missing", n, (len(data)-1)/2)
		}
		return pairs(data[1 : 1+2*n]), ""
	}
	plain := pairs(data)
	n := 0
	if len(data) > 0 {
		n = int(data[0])
	}
	if a.exact || len(data) != 6 || n > 2 || !filled(data[1+2*n:]) {
		return plain, ""
	}
	counted := pairs(data[1 : 1+2*n])
	switch {
	case slices.Equal(plain, counted), odd(counted) && !odd(plain):
		return plain, ""
	case odd(plain) && !odd(counted):
		return counted, ""
	}
	return nil, fmt.Sprintf("without a header this may be %s (a count in front) or %s (an older bus): read it again with headers shown",
		strings.Join(counted, ", "), strings.Join(plain, ", "))
}

// pairs are the codes in pairs of bytes.
func pairs(data []byte) []string {
	list := []string{}
	for i := 0; i+1 < len(data); i += 2 {
		if text, ok := fromBytes(data[i], data[i+1]); ok {
			list = append(list, text)
		}
	}
	return list
}

// filled reports bytes that only fill a frame up: all alike, and one of those
// in use.
func filled(data []byte) bool {
	return onlyFilling(data) && !slices.ContainsFunc(data, func(b byte) bool { return b != data[0] })
}

// odd reports codes of the rare range that bytes read out of step fall into.
func odd(list []string) bool {
	return slices.ContainsFunc(list, func(code string) bool {
		return strings.HasPrefix(code, "P3") || code[1:] == "2AAA" || code[1:] == "1555" || code == "U3FFF"
	})
}
