package buildfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Canonical writes a JSON text in the one form that its value has: no white
// space, members sorted by the UTF-16 code units of their names, numbers as the
// shortest that reads back the same double, text escaped only where it must be.
//
// ref: RFC_8785 section 3.2.2, numbers and text; RFC_8785 section 3.2.3, sorting of members
func Canonical(text []byte) ([]byte, error) {
	tree, err := parseJSON(text)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := writeCanonical(&out, tree); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// CanonicalOf is [Canonical] of what encoding/json makes of the value.
func CanonicalOf(value any) ([]byte, error) {
	text, err := json.Marshal(value)
	if err != nil {
		return nil, err
	}
	return Canonical(text)
}

// errNotOneValue says that a text holds more or less than one JSON value.
var errNotOneValue = errors.New("it is not exactly one JSON value")

// parseJSON reads one JSON value; numbers keep their digits. A member that comes
// twice is refused: which of them counts would be anybody's guess.
func parseJSON(text []byte) (any, error) {
	if !utf8.Valid(text) {
		return nil, errors.New("it is not valid UTF-8")
	}
	if loneSurrogate(text) {
		return nil, errors.New("it holds half a letter: one part of an escaped pair without the other")
	}
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	tree, err := readValue(d, 0)
	if err != nil {
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return nil, errNotOneValue
		}
		return nil, err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errNotOneValue
	}
	return tree, nil
}

// loneSurrogate reports half of a pair of escapes in a JSON text, which stands for no
// letter: others would each read something else in its place. A backslash stands
// nowhere in JSON but in a text.
//
// ref: RFC_8785 section 3.2.2, numbers and text
func loneSurrogate(text []byte) bool {
	for i := 0; i+1 < len(text); i++ {
		if text[i] != '\\' {
			continue
		}
		r := escaped(text[i:])
		i++
		if !utf16.IsSurrogate(r) {
			continue
		}
		if utf16.DecodeRune(r, escaped(text[min(i+5, len(text)):])) == unicode.ReplacementChar {
			return true
		}
		i += 10 // behind both
	}
	return false
}

// escaped is the code unit that is written as \uXXXX here; -1: none is.
func escaped(text []byte) rune {
	if len(text) < 6 || text[0] != '\\' || text[1] != 'u' {
		return -1
	}
	v, err := strconv.ParseUint(string(text[2:6]), 16, 16)
	if err != nil {
		return -1
	}
	return rune(v)
}

// CheckMembers refuses what the readers of different programs may read otherwise: a
// text that is no single JSON value, a member that comes twice, also where only
// capitals tell the two apart - one program takes both for the same, another knows
// but one of them.
func CheckMembers(text []byte) error {
	tree, err := parseJSON(text)
	if err != nil {
		return err
	}
	return noTwins(tree)
}

func noTwins(v any) error {
	switch v := v.(type) {
	case []any:
		for _, member := range v {
			if err := noTwins(member); err != nil {
				return err
			}
		}
	case map[string]any:
		folded := map[string]string{}
		for _, name := range slices.Sorted(maps.Keys(v)) {
			key := folding(name)
			if twin, there := folded[key]; there {
				return fmt.Errorf("the member %q comes twice, as %q", twin, name)
			}
			folded[key] = name
			if err := noTwins(v[name]); err != nil {
				return err
			}
		}
	}
	return nil
}

// folding is the same for names that encoding/json takes for one another.
func folding(name string) string {
	return strings.Map(func(r rune) rune {
		least := r
		for next := unicode.SimpleFold(r); next != r; next = unicode.SimpleFold(next) {
			least = min(least, next)
		}
		return least
	}, name)
}

// deepest bounds how far values may be nested: a text of brackets alone must not
// fill the stack.
const deepest = 200

func readValue(d *json.Decoder, depth int) (any, error) {
	if depth > deepest {
		return nil, fmt.Errorf("it is nested more than %d deep", deepest)
	}
	token, err := d.Token()
	if err != nil {
		return nil, err
	}
	switch token {
	case json.Delim('{'):
		return readObject(d, depth)
	case json.Delim('['):
		list := []any{}
		for d.More() {
			v, err := readValue(d, depth+1)
			if err != nil {
				return nil, err
			}
			list = append(list, v)
		}
		_, err := d.Token()
		return list, err
	}
	return token, nil
}

func readObject(d *json.Decoder, depth int) (any, error) {
	object := map[string]any{}
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return nil, err
		}
		name, ok := key.(string)
		if !ok {
			return nil, errNotOneValue
		}
		if _, twice := object[name]; twice {
			return nil, fmt.Errorf("the member %q comes twice", name)
		}
		if object[name], err = readValue(d, depth+1); err != nil {
			return nil, err
		}
	}
	_, err := d.Token()
	return object, err
}

func writeCanonical(out *bytes.Buffer, v any) error {
	switch v := v.(type) {
	case nil:
		out.WriteString("null")
	case bool:
		out.WriteString(strconv.FormatBool(v))
	case string:
		writeText(out, v)
	case json.Number:
		return writeNumber(out, v)
	case []any:
		return writeList(out, v)
	case map[string]any:
		return writeObject(out, v)
	default:
		return fmt.Errorf("%T is no JSON value", v)
	}
	return nil
}

func writeList(out *bytes.Buffer, list []any) error {
	out.WriteByte('[')
	for i, v := range list {
		if i > 0 {
			out.WriteByte(',')
		}
		if err := writeCanonical(out, v); err != nil {
			return err
		}
	}
	out.WriteByte(']')
	return nil
}

func writeObject(out *bytes.Buffer, object map[string]any) error {
	names := slices.SortedFunc(maps.Keys(object), func(a, b string) int {
		return slices.Compare(utf16.Encode([]rune(a)), utf16.Encode([]rune(b)))
	})
	out.WriteByte('{')
	for i, name := range names {
		if i > 0 {
			out.WriteByte(',')
		}
		writeText(out, name)
		out.WriteByte(':')
		if err := writeCanonical(out, object[name]); err != nil {
			return err
		}
	}
	out.WriteByte('}')
	return nil
}

// writeNumber writes a double as ECMAScript does, which encoding/json does too
// but for the negative zero.
func writeNumber(out *bytes.Buffer, n json.Number) error {
	v, err := n.Float64()
	if err != nil || math.IsInf(v, 0) {
		return fmt.Errorf("the number %s does not fit a double", n)
	}
	text, err := json.Marshal(v + 0) // no negative zero
	out.Write(text)
	return err
}

const hexDigits = "0123456789abcdef"

// writeText escapes quotes, backslashes and control characters, and nothing else.
func writeText(out *bytes.Buffer, s string) {
	short := map[byte]byte{'"': '"', '\\': '\\', '\b': 'b', '\f': 'f', '\n': 'n', '\r': 'r', '\t': 't'}
	out.WriteByte('"')
	for i := range len(s) {
		c := s[i]
		if e, ok := short[c]; ok {
			out.Write([]byte{'\\', e})
		} else if c < ' ' {
			out.WriteString(`\u00`)
			out.Write([]byte{hexDigits[c>>4], hexDigits[c&15]})
		} else {
			out.WriteByte(c)
		}
	}
	out.WriteByte('"')
}
