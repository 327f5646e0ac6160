package knowledge

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// citation is one place in the module that rests on a source.
type citation struct {
	Ref
	file string // slash path from the root
	line int
	// owes is set for a comment in the code of an engine: the cited place owes
	// a case.
	owes bool
}

// checked is one case of package outside, as its source text gives it.
type checked struct {
	Ref
	file string
	line int
	test string // the function that holds it
	what string
	why  string
}

// found is everything in the module that has to do with sources.
type found struct {
	citations []citation
	cases     []checked
	faults    []string // what cannot be read as a citation or a case
}

// engines are the rooms whose cited places owe a case.
var engines = []string{"uncertain", "money", "appraise", "diagnose", "bench", "plan", "prove"}

// citing finds a citation in a line of a comment or of a data file. In prose
// about citations the word stands in backquotes, which this passes over.
var citing = regexp.MustCompile(`(?:^|[\s(,{])ref:\s+([^}"\n]+)`)

// survey reads the module below root: Go files with go/parser, knowledge's data
// files line by line.
func survey(root string) (found, error) {
	var all found
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() {
			if p != root && (name == "testdata" || name == "node_modules" || strings.HasPrefix(name, ".") || strings.HasPrefix(name, "_")) {
				return fs.SkipDir
			}
			return nil
		}
		rel, err := filepath.Rel(root, p)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		switch {
		case path.Ext(name) == ".go":
			return all.readGo(p, rel)
		case strings.HasPrefix(rel, "knowledge/") && slices.Contains([]string{".yaml", ".csv"}, path.Ext(name)):
			return all.readData(p, rel)
		}
		return nil
	})
	return all, err
}

// readData takes the citations of a data file.
func (f *found) readData(p, rel string) error {
	data, err := os.ReadFile(p)
	if err != nil {
		return err
	}
	for i, line := range strings.Split(string(data), "\n") {
		f.cite(line, rel, i+1, false)
	}
	return nil
}

// readGo takes the citations, the cases and the sources of workings of a Go file.
func (f *found) readGo(p, rel string) error {
	fset := token.NewFileSet()
	syntax, err := parser.ParseFile(fset, p, nil, parser.ParseComments|parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	isTest := strings.HasSuffix(rel, "_test.go")
	owes := !isTest && slices.Contains(engines, strings.SplitN(rel, "/", 2)[0])
	for _, group := range syntax.Comments {
		for _, c := range group.List {
			for i, line := range strings.Split(c.Text, "\n") {
				f.cite(strings.TrimPrefix(line, "//"), rel, fset.Position(c.Pos()).Line+i, owes)
			}
		}
	}
	f.readWorkings(syntax, fset, rel)
	if isTest {
		f.readCases(syntax, fset, rel)
	}
	return nil
}

// cite takes the citations of one line.
func (f *found) cite(line, rel string, at int, owes bool) {
	m := citing.FindStringSubmatch(line)
	if m == nil {
		return
	}
	text := strings.TrimSpace(m[1])
	if strings.Count(text, ")") > strings.Count(text, "(") {
		text = strings.TrimSuffix(strings.TrimSuffix(text, "."), ")")
	}
	refs, err := ParseRefs(text)
	if err != nil {
		f.faults = append(f.faults, rel+":"+strconv.Itoa(at)+": "+err.Error())
	}
	for _, r := range refs {
		f.citations = append(f.citations, citation{r, rel, at, owes})
	}
}

// readWorkings takes the sources that steps of a working name: the last of
// Add's five arguments, the field Source of a Step. Words such as "own
// estimate" are not keys and are left alone.
func (f *found) readWorkings(syntax *ast.File, fset *token.FileSet, rel string) {
	take := func(e ast.Expr) {
		text, ok := literal(e)
		refs, err := ParseRefs(text)
		if !ok || err != nil {
			return
		}
		for _, r := range refs {
			f.citations = append(f.citations, citation{r, rel, fset.Position(e.Pos()).Line, false})
		}
	}
	ast.Inspect(syntax, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			if sel, ok := n.Fun.(*ast.SelectorExpr); ok && sel.Sel.Name == "Add" && len(n.Args) == 5 {
				take(n.Args[4])
			}
		case *ast.CompositeLit:
			if isType(n.Type, "working", "Step") {
				take(field(n, "Source", 4))
			}
		}
		return true
	})
}

// readCases takes the cases of package outside that a test file holds, in
// tables ([]outside.Case{{...}}) and one by one (outside.Case{...}).
func (f *found) readCases(syntax *ast.File, fset *token.FileSet, rel string) {
	for _, decl := range syntax.Decls {
		test := ""
		if fn, ok := decl.(*ast.FuncDecl); ok {
			test = fn.Name.Name
		}
		ast.Inspect(decl, func(n ast.Node) bool {
			lit, ok := n.(*ast.CompositeLit)
			if !ok {
				return true
			}
			if isCase(lit.Type) {
				f.takeCase(lit, fset, rel, test)
			}
			if table, ok := lit.Type.(*ast.ArrayType); ok && isCase(table.Elt) {
				for _, e := range lit.Elts {
					if row, ok := e.(*ast.CompositeLit); ok && row.Type == nil {
						f.takeCase(row, fset, rel, test)
					}
				}
			}
			return true
		})
	}
}

// takeCase reads one case; a source or place that is not a literal cannot be
// found by a reader of the table and is a fault.
func (f *found) takeCase(lit *ast.CompositeLit, fset *token.FileSet, rel, test string) {
	line := fset.Position(lit.Pos()).Line
	source, ok1 := literal(field(lit, "Source", 0))
	where, ok2 := literal(field(lit, "Where", 1))
	if !ok1 || !ok2 || source == "" || where == "" {
		f.faults = append(f.faults, rel+":"+strconv.Itoa(line)+": the case has no source: write Source and Where as string literals")
		return
	}
	f.cases = append(f.cases, checked{
		Ref{source, where},
		rel, line, test,
		words(field(lit, "What", 2)), reason(lit),
	})
}

// isCase reports whether a type is one of the two kinds of case.
func isCase(e ast.Expr) bool {
	return isType(e, "outside", "Case") || isType(e, "outside", "TextCase")
}

// reason is why a case has its tolerance; texts have none and must be equal.
func reason(lit *ast.CompositeLit) string {
	if why := field(lit, "Why", 6); why != nil {
		return words(why)
	}
	return "equal"
}

// field gives the value of a field of a composite literal, by name or place.
func field(lit *ast.CompositeLit, name string, place int) ast.Expr {
	for i, e := range lit.Elts {
		kv, keyed := e.(*ast.KeyValueExpr)
		if !keyed && i == place {
			return e
		}
		if keyed {
			if id, ok := kv.Key.(*ast.Ident); ok && id.Name == name {
				return kv.Value
			}
		}
	}
	return nil
}

// literal is the value of a string literal.
func literal(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(lit.Value)
	return text, err == nil
}

// words is the text of an expression for the page: string literals as they are,
// everything computed as three dots.
func words(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.BasicLit:
		if text, ok := literal(e); ok {
			return text
		}
	case *ast.BinaryExpr:
		return words(e.X) + words(e.Y)
	case *ast.CallExpr:
		if len(e.Args) > 0 {
			if format, ok := literal(e.Args[0]); ok {
				return verb.ReplaceAllString(format, "...")
			}
		}
	}
	return "..."
}

var verb = regexp.MustCompile(`%[-+# 0]*[0-9.]*[a-zA-Z]`)

// isType reports whether an expression is the type pkg.name.
func isType(e ast.Expr, pkg, name string) bool {
	sel, ok := e.(*ast.SelectorExpr)
	if !ok || sel.Sel.Name != name {
		return false
	}
	x, ok := sel.X.(*ast.Ident)
	return ok && x.Name == pkg
}
