package casefile

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"wreckwright/uncertain"
)

// Value is what stands behind a key or in a list. Reading one that is wrong
// notes the mistake and gives zero.
type Value struct {
	file         *File
	node         ast.Node
	path         string
	line, column int
}

// Fail notes a mistake about this value: "340 is above likely (320)", "low <=
// likely <= high".
func (v Value) Fail(problem, expected string) {
	if v.file != nil {
		v.file.mistakes = append(v.file.mistakes, v.mistake(problem, expected))
	}
}

func (v Value) mistake(problem, expected string) *Error {
	return &Error{File: v.file.name, Line: v.line, Column: v.column, Key: v.path, Problem: problem, Expected: expected}
}

// resolved is the node behind anchors and aliases; nil where there is nothing,
// which is then noted or was noted before.
func (v Value) resolved(expected string) ast.Node {
	if v.file == nil {
		return nil
	}
	node := v.node
	for range maxDepth {
		switch n := node.(type) {
		case *ast.AnchorNode:
			node = n.Value
		case *ast.AliasNode:
			name := n.Value.GetToken().Value
			target, ok := v.file.anchors[name]
			if !ok {
				v.Fail("refers to *"+name+", which is not there", expected)
				return nil
			}
			node = target
		case *ast.NullNode:
			v.Fail("is empty", expected)
			return nil
		case nil:
			v.Fail("is empty", expected)
			return nil
		case *ast.TagNode:
			v.Fail("has the tag "+n.Start.Value, expected+" without a tag")
			return nil
		default:
			return node
		}
	}
	v.Fail("refers to itself", expected)
	return nil
}

// describe says what a node is, for the message about a wrong type.
func describe(node ast.Node) string {
	switch n := node.(type) {
	case *ast.MappingNode, *ast.MappingValueNode:
		return "is a group of keys"
	case *ast.SequenceNode:
		return "is a list"
	case *ast.BoolNode:
		return "is " + n.GetToken().Value
	case *ast.LiteralNode:
		return "is a block of text"
	case *ast.IntegerNode, *ast.FloatNode:
		return "is the number " + shorten(n.GetToken().Value)
	case *ast.InfinityNode:
		return "is infinite"
	case *ast.NanNode:
		return "is not a number"
	}
	return fmt.Sprintf("is the text %q", shorten(node.GetToken().Value))
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// Mapping is the value as a group of keys.
func (v Value) Mapping() *Mapping {
	node := v.resolved("a group of keys")
	switch n := node.(type) {
	case nil:
	case *ast.MappingNode:
		return newMapping(v, n.Values)
	case *ast.MappingValueNode:
		return newMapping(v, []*ast.MappingValueNode{n})
	default:
		v.Fail(describe(node), "a group of keys")
	}
	return &Mapping{}
}

// IsMapping reports whether the value is a group of keys, without a complaint.
func (v Value) IsMapping() bool {
	if v.node == nil || v.node.Type() == ast.NullType {
		return false
	}
	switch v.resolved("a value").(type) {
	case *ast.MappingNode, *ast.MappingValueNode:
		return true
	}
	return false
}

// List is the items of a list.
func (v Value) List() []Value {
	node := v.resolved("a list")
	if node == nil {
		return nil
	}
	list, ok := node.(*ast.SequenceNode)
	if !ok {
		v.Fail(describe(node), "a list")
		return nil
	}
	items := make([]Value, 0, len(list.Values))
	for i, n := range list.Values {
		item := Value{file: v.file, node: n, path: fmt.Sprintf("%s[%d]", v.path, i+1), line: v.line, column: v.column}
		if n != nil {
			at := n.GetToken().Position
			item.line, item.column = at.Line, at.Column
		}
		items = append(items, item)
	}
	return items
}

// Line is where the value stands in the file, counted from 1.
func (v Value) Line() int { return v.line }

// Text is the value as one line of text that is not blank. A folded block (>-)
// is one line.
func (v Value) Text() string {
	const expected = "a line of text"
	node := v.resolved(expected)
	switch n := node.(type) {
	case nil:
		return ""
	case *ast.StringNode:
		return v.oneLine(n.Value, expected)
	case *ast.LiteralNode:
		if n.Value != nil {
			return v.oneLine(n.Value.Value, expected)
		}
		v.Fail("is blank", expected)
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode:
		v.Fail(describe(node), expected+" (put it in quotes)")
	default:
		v.Fail(describe(node), expected)
	}
	return ""
}

// oneLine is a text without the blanks around it, which must have no others
// than spaces inside.
func (v Value) oneLine(text, expected string) string {
	s := strings.TrimSpace(text)
	switch {
	case s == "":
		v.Fail("is blank", expected)
	case strings.ContainsFunc(s, func(r rune) bool { return !unicode.IsPrint(r) }):
		v.Fail("has a line break or a control character", expected)
	default:
		return s
	}
	return ""
}

// Choice is the value as one of the given words.
func (v Value) Choice(words ...string) string {
	before := v.mistakes()
	s := v.Text()
	if v.mistakes() > before || v.file == nil {
		return ""
	}
	for _, w := range words {
		if s == w {
			return s
		}
	}
	expected := "one of " + strings.Join(words, ", ")
	if near := nearest(s, words); near != "" {
		expected = near + ", if that was meant (" + expected + ")"
	}
	v.Fail(fmt.Sprintf("is %q", shorten(s)), expected)
	return ""
}

func (v Value) mistakes() int {
	if v.file == nil {
		return 0
	}
	return len(v.file.mistakes)
}

// Bool is the value as true or false.
func (v Value) Bool() bool {
	node := v.resolved("true or false")
	if node == nil {
		return false
	}
	b, ok := node.(*ast.BoolNode)
	if !ok {
		v.Fail(describe(node), "true or false")
		return false
	}
	return b.Value
}

// Date is the value as a day, 2027-01-04.
func (v Value) Date() time.Time {
	const expected = "a date such as 2027-01-04"
	node := v.resolved(expected)
	if node == nil {
		return time.Time{}
	}
	if s, ok := node.(*ast.StringNode); ok {
		if day, err := time.Parse(time.DateOnly, strings.TrimSpace(s.Value)); err == nil {
			return day
		}
	}
	v.Fail(describe(node), expected)
	return time.Time{}
}

// Number is the value as a number within bounds.
func (v Value) Number(bounds uncertain.Bounds) float64 {
	x, ok := v.number()
	if !ok {
		return 0
	}
	if err := bounds.Check(x); err != nil {
		v.failRange(err)
		return 0
	}
	return x
}

// Whole is the value as a whole number from least to most.
func (v Value) Whole(least, most int) int {
	x, ok := v.number()
	if !ok {
		return 0
	}
	expected := fmt.Sprintf("a whole number from %d to %d", least, most)
	switch {
	case x < float64(least):
		v.Fail("is "+v.text()+", too small", expected)
	case x > float64(most):
		v.Fail("is "+v.text()+", too large", expected)
	case x != math.Trunc(x):
		v.Fail("is "+v.text()+", not a whole number", expected)
	default:
		return int(x)
	}
	return 0
}

func (v Value) text() string { return shorten(v.node.GetToken().Value) }

// Range is the value as {low, likely, high}, or one plain number for a value
// that is certain. Each number is checked, and their order.
func (v Value) Range(bounds uncertain.Bounds) uncertain.Range {
	const expected = "a number or {low, likely, high}"
	if !v.IsMapping() {
		node := v.resolved(expected)
		if node == nil {
			return uncertain.Range{}
		}
		if _, isList := node.(*ast.SequenceNode); isList {
			v.Fail(describe(node), expected)
			return uncertain.Range{}
		}
		return uncertain.Certain(v.Number(bounds))
	}
	return v.Mapping().Range(bounds)
}

// Range is the keys low, likely and high of a group that may have others.
func (m *Mapping) Range(bounds uncertain.Bounds) uncertain.Range {
	low, likely, high := m.Need("low"), m.Need("likely"), m.Need("high")
	before := low.mistakes()
	r := uncertain.Range{Low: low.Number(bounds), Likely: likely.Number(bounds), High: high.Number(bounds)}
	if low.file == nil || likely.file == nil || high.file == nil || low.mistakes() > before {
		return r
	}
	if err := r.Validate(bounds); err != nil {
		at := map[string]Value{"low": low, "likely": likely, "high": high}
		var wrong *uncertain.RangeError
		if errors.As(err, &wrong) {
			at[wrong.Number].failRange(err)
		}
	}
	return r
}

// failRange notes the complaint of a bounds or order check.
func (v Value) failRange(err error) {
	var wrong *uncertain.RangeError
	if errors.As(err, &wrong) {
		v.Fail(strconv.FormatFloat(wrong.Value, 'g', 15, 64)+" "+wrong.Problem, wrong.Expected)
	}
}

// number reads a number that every reader of YAML and JSON reads alike.
func (v Value) number() (float64, bool) {
	const expected = "a number"
	node := v.resolved(expected)
	if node == nil {
		return 0, false
	}
	text := node.GetToken().Value
	switch n := node.(type) {
	case *ast.IntegerNode, *ast.FloatNode:
		if !plainNumber(text) {
			v.Fail("is "+shorten(text)+", which can be read in two ways", "a number in plain decimal digits")
			return 0, false
		}
	case *ast.StringNode:
		if quoted := n.GetToken().Type; quoted == token.SingleQuoteType || quoted == token.DoubleQuoteType || !plainNumber(text) {
			v.Fail(describe(node), numberHint(text))
			return 0, false
		}
	default:
		v.Fail(describe(node), expected)
		return 0, false
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		v.Fail(shorten(text)+" is too large", expected)
		return 0, false
	}
	return x, true
}

// plainNumber holds for decimal digits with an optional sign, point and
// exponent, and no leading zero that would make it octal for some.
func plainNumber(s string) bool {
	if s != "" && (s[0] == '+' || s[0] == '-') {
		s = s[1:]
	}
	if len(s) > 1 && s[0] == '0' && s[1] >= '0' && s[1] <= '9' {
		return false
	}
	mantissa, exponent, hasExponent := strings.Cut(strings.ToLower(s), "e")
	whole, fraction, _ := strings.Cut(mantissa, ".")
	if whole+fraction == "" || !digits(whole) || !digits(fraction) {
		return false
	}
	if !hasExponent {
		return true
	}
	exponent = strings.TrimPrefix(strings.TrimPrefix(exponent, "-"), "+")
	return exponent != "" && digits(exponent)
}

func digits(s string) bool {
	return !strings.ContainsFunc(s, func(r rune) bool { return r < '0' || r > '9' })
}

// numberHint says what to write instead of a text that was meant as a number.
func numberHint(text string) string {
	bare := strings.NewReplacer(",", "", " ", "", "'", "", "\u00a0", "", "\u202f", "").Replace(text)
	switch {
	case bare != text && plainNumber(strings.TrimLeft(bare, "£$€")):
		return "a number with a decimal point and no separators"
	case plainNumber(text):
		return "a number without quotes"
	case plainNumber(strings.TrimFunc(text, func(r rune) bool { return r < '0' || r > '9' })):
		return "a number without a unit"
	}
	return "a number"
}

// IsList reports whether the value is a list, without a complaint about
// anything else.
func (v Value) IsList() bool {
	_, ok := v.node.(*ast.SequenceNode)
	return ok
}
