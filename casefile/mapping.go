package casefile

import (
	"fmt"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"

	"wreckwright/slips"
)

// Mapping is the keys of one level with their values.
type Mapping struct {
	file         *File
	path         string
	line, column int
	entries      map[string]Value
	order        []string // keys as written
	asked        []string
	missing      []*Error
}

func newMapping(v Value, pairs []*ast.MappingValueNode) *Mapping {
	m := &Mapping{file: v.file, path: v.path, line: v.line, column: v.column, entries: map[string]Value{}}
	for _, pair := range pairs {
		m.addPair(pair)
	}
	v.file.opened = append(v.file.opened, m)
	return m
}

func (m *Mapping) addPair(pair *ast.MappingValueNode) {
	at := pair.Key.GetToken().Position
	name := pair.Key.GetToken().Value
	v := Value{file: m.file, node: pair.Value, path: m.join(name), line: at.Line, column: at.Column}
	switch pair.Key.(type) {
	case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode:
	default:
		v.path = m.path
		v.Fail(fmt.Sprintf("a key begins with %q", name), "a plain word and a colon")
		return
	}
	if len(m.order) == 0 && at.Line > m.line {
		m.line, m.column = at.Line, at.Column
	}
	if _, twice := m.entries[name]; twice {
		v.Fail("is given twice", "each key once")
		return
	}
	m.entries[name] = v
	m.order = append(m.order, name)
}

func (m *Mapping) join(key string) string {
	if m.path == "" {
		return key
	}
	return m.path + "." + key
}

// Need is the value of a key that must be there. Where it is not, that is noted
// and the value reads as zero.
func (m *Mapping) Need(key string) Value {
	m.asked = append(m.asked, key)
	if v, ok := m.entries[key]; ok {
		return v
	}
	if m.file == nil {
		return Value{}
	}
	m.missing = append(m.missing, &Error{
		File: m.file.name, Line: m.line, Column: m.column, Key: m.join(key),
		Problem: "is missing", Expected: "the key " + key, rank: rankMissing,
	})
	return Value{}
}

// May is the value of a key that may be left out.
func (m *Mapping) May(key string) (Value, bool) {
	m.asked = append(m.asked, key)
	v, ok := m.entries[key]
	return v, ok
}

// Keys are the keys as written, for groups whose keys are the user's own words.
// They do not count as asked for.
func (m *Mapping) Keys() []string { return slices.Clone(m.order) }

// Empty reports a mapping without keys: {}.
func (m *Mapping) Empty() bool { return len(m.order) == 0 }

// Fail notes a mistake that concerns the whole mapping.
func (m *Mapping) Fail(problem, expected string) {
	Value{file: m.file, path: m.path, line: m.line, column: m.column}.Fail(problem, expected)
}

// reportUnknown notes the keys that nobody asked for, else the missing ones: a
// misspelt key is both, and its own spelling is the better message.
func (m *Mapping) reportUnknown() {
	unknown := false
	for _, key := range m.order {
		if slices.Contains(m.asked, key) {
			continue
		}
		unknown = true
		v := m.entries[key]
		e := v.mistake("is not a known key", m.expectedKeys(key))
		e.rank = rankUnknown
		m.file.mistakes = append(m.file.mistakes, e)
	}
	if !unknown {
		m.file.mistakes = append(m.file.mistakes, m.missing...)
	}
}

// expectedKeys names the key that was probably meant, or else all that are left.
func (m *Mapping) expectedKeys(key string) string {
	var free []string
	for _, name := range m.asked {
		if _, given := m.entries[name]; !given && !slices.Contains(free, name) {
			free = append(free, name)
		}
	}
	if near := nearest(key, m.asked); near != "" {
		return near + ", if that was meant"
	}
	if len(free) == 0 {
		return "no further keys here"
	}
	slices.Sort(free)
	return "one of " + strings.Join(free, ", ")
}

// nearest is the known key within two typing mistakes, case and -_ apart.
func nearest(key string, known []string) string {
	plain := func(s string) string {
		return strings.NewReplacer("-", "_", " ", "_").Replace(strings.ToLower(s))
	}
	best, least := "", 3
	for _, name := range known {
		if d := slips.Between(plain(key), plain(name)); d < least && d < len(name) {
			best, least = name, d
		}
	}
	return best
}
