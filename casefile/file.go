package casefile

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
)

const (
	// MaxBytes is the size that a case file may have.
	MaxBytes = 1 << 20
	// maxDepth is how deep values may lie within one another.
	maxDepth = 50
)

// File is a case file that could be parsed.
type File struct {
	name     string
	root     *Mapping
	anchors  map[string]ast.Node
	opened   []*Mapping
	mistakes []*Error
}

// Read reads and parses a case file. The error is an [*Error].
func Read(path string) (*File, error) {
	info, err := os.Stat(path)
	if err == nil && info.IsDir() {
		return nil, &Error{File: path, Problem: "is a folder", Expected: "a case file"}
	}
	if err == nil && info.Size() > MaxBytes {
		return nil, tooBig(path)
	}
	data, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, &Error{File: path, Problem: "there is no such file", Expected: "the path of a case file"}
	case err != nil:
		return nil, &Error{File: path, Problem: "cannot be read (" + errors.Unwrap(err).Error() + ")", Expected: "a case file that you may read"}
	}
	return Parse(path, data)
}

func tooBig(name string) *Error {
	return &Error{File: name, Problem: "is larger than 1 MiB", Expected: "a case file"}
}

// Parse parses the contents of a case file; name is used in messages. The error
// is an [*Error].
func Parse(name string, data []byte) (*File, error) {
	if len(data) > MaxBytes {
		return nil, tooBig(name)
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if mistake := checkText(data); mistake != nil {
		mistake.File = name
		return nil, mistake
	}
	parsed, mistake := parseYAML(data)
	if mistake != nil {
		mistake.File = name
		return nil, mistake
	}
	f := &File{name: name, anchors: map[string]ast.Node{}}
	body, err := f.onlyDocument(parsed)
	if err != nil {
		return nil, err
	}
	ast.Walk(anchorCollector{f.anchors}, body)
	f.root = f.document(body).Mapping()
	if err := f.first(); err != nil {
		return nil, err
	}
	return f, nil
}

// Root is the mapping that the file consists of.
func (f *File) Root() *Mapping { return f.root }

// Err is the first mistake in the file, unknown keys included, or nil. Ask once
// every known key was asked for. The error is an [*Error].
func (f *File) Err() error {
	for _, m := range f.opened {
		m.reportUnknown()
	}
	f.opened = nil
	return f.first()
}

// first is the mistake that comes first in the file.
func (f *File) first() error {
	if len(f.mistakes) == 0 {
		return nil
	}
	first := f.mistakes[0]
	for _, e := range f.mistakes[1:] {
		if e.before(first) {
			first = e
		}
	}
	return first
}

func (f *File) document(body ast.Node) Value { return Value{file: f, node: body, line: 1, column: 1} }

func (f *File) onlyDocument(parsed *ast.File) (ast.Node, error) {
	var bodies []ast.Node
	for _, d := range parsed.Docs {
		if d.Body != nil {
			bodies = append(bodies, d.Body)
		}
	}
	switch {
	case len(bodies) == 0:
		return nil, &Error{File: f.name, Line: 1, Problem: "the file is empty", Expected: "keys with values, one a line, such as `currency: EUR`"}
	case len(parsed.Docs) > 1:
		at := 1
		if len(bodies) > 1 {
			at = bodies[1].GetToken().Position.Line
		}
		return nil, &Error{File: f.name, Line: at, Problem: "a second document begins here", Expected: "one case per file"}
	}
	return bodies[0], nil
}

// checkText finds bytes that are no text, and nesting that no case has (which
// would also keep the parser busy for minutes).
func checkText(data []byte) *Error {
	line, depth := 1, 0
	for rest := data; len(rest) > 0; {
		r, size := utf8.DecodeRune(rest)
		switch {
		case r == utf8.RuneError && size == 1:
			return &Error{Line: line, Problem: fmt.Sprintf("byte 0x%02x is not UTF-8", rest[0]), Expected: "text in UTF-8"}
		case r < ' ' && r != '\n' && r != '\r' && r != '\t', r == 0x7f:
			return &Error{Line: line, Problem: fmt.Sprintf("control character 0x%02x", r), Expected: "plain text"}
		case r == '\n':
			line++
			if dashes := leadingDashes(rest[1:]); dashes > maxDepth {
				return tooDeep(line)
			}
		case r == '[' || r == '{':
			depth++
		case r == ']' || r == '}':
			depth = max(0, depth-1)
		}
		if depth > maxDepth {
			return tooDeep(line)
		}
		rest = rest[size:]
	}
	if leadingDashes(data) > maxDepth {
		return tooDeep(1)
	}
	return nil
}

func tooDeep(line int) *Error {
	return &Error{Line: line, Problem: "values lie within one another too deeply", Expected: fmt.Sprintf("at most %d levels", maxDepth)}
}

// leadingDashes counts the list marks (and key marks) that begin a line.
func leadingDashes(line []byte) int {
	n := 0
	for i, c := range line {
		switch {
		case c == ' ' || c == '\t':
		case (c == '-' || c == '?' || c == ':') && i+1 < len(line) && (line[i+1] == ' ' || line[i+1] == '\t'):
			n++
		default:
			return n
		}
	}
	return n
}

// parseYAML parses, and turns the parser's own complaints into an Error.
func parseYAML(data []byte) (parsed *ast.File, mistake *Error) {
	defer func() {
		if r := recover(); r != nil {
			parsed, mistake = nil, &Error{Line: 1, Problem: "cannot be parsed", Expected: "YAML or JSON"}
		}
	}()
	parsed, err := parser.ParseBytes(data, 0)
	if err == nil {
		return parsed, nil
	}
	mistake = &Error{Line: 1, Problem: "cannot be parsed", Expected: "YAML or JSON"}
	var syntax *yaml.SyntaxError
	if !errors.As(err, &syntax) || syntax.Token == nil {
		return nil, mistake
	}
	at := syntax.Token.Position
	mistake.Line, mistake.Column, mistake.Problem = at.Line, at.Column, syntax.Message
	if strings.Contains(syntax.Message, "found character '\t'") {
		mistake.Problem, mistake.Expected = "a tab stands before the text", "spaces to indent with"
	}
	if name, earlier, ok := duplicate(syntax.Message); ok {
		mistake.Key, mistake.Problem, mistake.Expected = name, "is given twice (first at line "+earlier+")", "each key once"
	}
	return nil, mistake
}

// duplicate reads the parser's message about a key given twice.
func duplicate(message string) (key, line string, ok bool) {
	rest, ok := strings.CutPrefix(message, `mapping key "`)
	if !ok {
		return "", "", false
	}
	key, rest, ok = strings.Cut(rest, `" already defined at [`)
	if !ok {
		return "", "", false
	}
	line, _, ok = strings.Cut(rest, ":")
	return key, line, ok
}

type anchorCollector struct{ anchors map[string]ast.Node }

// Visit notes the values that have an anchor.
func (c anchorCollector) Visit(n ast.Node) ast.Visitor {
	if a, ok := n.(*ast.AnchorNode); ok && a.Name != nil {
		c.anchors[a.Name.GetToken().Value] = a.Value
	}
	return c
}
