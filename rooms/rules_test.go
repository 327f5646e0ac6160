package rooms

import (
	"fmt"
	"go/ast"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "wreckwright"

// TestTheHouse holds every rule over this module.
func TestTheHouse(t *testing.T) {
	files, err := readModule("..")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 10 {
		t.Fatalf("only %d Go files found: not looking at the module", len(files))
	}
	for _, complaint := range inspect(files) {
		t.Error(complaint)
	}
}

// inspect gives every breach of every rule, one line each, sorted.
func inspect(files []goFile) []string {
	var out []string
	for _, folder := range folders(files) {
		if _, ok := roomOf(folder); !ok {
			out = append(out, folder+": belongs to no room: add it to docs/ARCHITECTURE.md and to the table in rooms/plan_test.go")
		}
	}
	for _, f := range files {
		out = append(out, badName(f)...)
		if r, ok := roomOf(f.folder); ok {
			out = append(out, badImports(f, r)...)
			out = append(out, impure(f, r)...)
		}
	}
	out = append(out, undocumented(files)...)
	slices.Sort(out)
	return out
}

// badImports gives the imports of a file that its room's row does not allow.
func badImports(f goFile, r room) []string {
	var out []string
	for _, spec := range f.imports() {
		to := importPath(spec)
		if spec.Name != nil && spec.Name.Name == "." {
			out = append(out, fmt.Sprintf("%s: dot import of %s: say whose name it is", f.at(spec.Pos()), to))
		}
		if why := barred(f, r, to); why != "" {
			out = append(out, fmt.Sprintf("%s: %s may not import %s: %s", f.at(spec.Pos()), f.folder, to, why))
		}
	}
	return out
}

// barred says why a room may not import a path, or nothing when it may.
func barred(f goFile, r room, to string) string {
	inside, ours := cutModule(to)
	switch {
	case !ours && isStandard(to):
		return ""
	case inside == f.folder, allows(r.may, inside):
		return testsOnly(f, inside, ours)
	case f.isTest() && (allows(forTests, inside) || allows(r.inTests, inside)):
		return ""
	case slices.Contains(r.may, "any") && !allows(closed, strings.SplitN(inside, "/", 2)[0]):
		return testsOnly(f, inside, ours)
	}
	return "the floor plan (rooms/plan_test.go) does not allow it"
}

// testsOnly says why a room that serves tests may not be used by the program.
func testsOnly(f goFile, inside string, ours bool) string {
	if to, ok := roomOf(inside); ours && ok && to.tests && !f.isTest() && inside != f.folder {
		return "that room serves tests only"
	}
	return ""
}

// impure gives the places where an engine reaches outside the program.
func impure(f goFile, r room) []string {
	if !r.pure || f.isTest() {
		return nil
	}
	var out []string
	for _, spec := range f.imports() {
		if to := importPath(spec); allows(hands, to) {
			out = append(out, fmt.Sprintf("%s: a pure room: it may not import %s; take plain values or an io.Reader instead", f.at(spec.Pos()), to))
		}
	}
	ast.Inspect(f.syntax, func(n ast.Node) bool {
		if sel, ok := n.(*ast.SelectorExpr); ok {
			if why := impureName(f, sel); why != "" {
				out = append(out, fmt.Sprintf("%s: a pure room: %s", f.at(sel.Pos()), why))
			}
		}
		return true
	})
	return out
}

// impureName says what is wrong with a use of package time or math/rand/v2.
func impureName(f goFile, sel *ast.SelectorExpr) string {
	x, ok := sel.X.(*ast.Ident)
	if !ok {
		return ""
	}
	switch {
	case x.Name == localName(f, "time") && slices.Contains(clock, sel.Sel.Name):
		return "time." + sel.Sel.Name + " reads the clock; take the time as an argument"
	case x.Name == localName(f, "math/rand/v2") && !slices.Contains(ownDice, sel.Sel.Name):
		return "rand." + sel.Sel.Name + " draws from a source shared by everybody; take a seeded one as an argument"
	}
	return ""
}

// badName gives a complaint for a file, folder or package whose name says nothing.
func badName(f goFile) []string {
	var out []string
	stem := strings.TrimSuffix(strings.TrimSuffix(f.name, ".go"), "_test")
	for _, name := range []string{stem, path.Base(f.folder), f.syntax.Name.Name} {
		if slices.Contains(nameless, strings.ToLower(name)) {
			out = append(out, fmt.Sprintf("%s: the name %q says nothing of what is inside: name it for that", path.Join(f.folder, f.name), name))
		}
	}
	return out
}

// undocumented gives the folders without a doc.go that begins as godoc wants.
func undocumented(files []goFile) []string {
	var out []string
	for _, folder := range folders(files) {
		i := slices.IndexFunc(files, func(f goFile) bool { return f.folder == folder && f.name == "doc.go" })
		if i < 0 {
			out = append(out, folder+": has no doc.go that says what the package answers")
			continue
		}
		want := "Package " + files[i].syntax.Name.Name + " "
		if files[i].syntax.Name.Name == "main" {
			want = "Command " + path.Base(folder) + " "
		}
		if !strings.HasPrefix(files[i].syntax.Doc.Text(), want) {
			out = append(out, fmt.Sprintf("%s/doc.go: its comment must begin with %q", folder, want))
		}
	}
	return out
}

// importPath is the path of an import without its quotes.
func importPath(spec *ast.ImportSpec) string {
	p, err := strconv.Unquote(spec.Path.Value)
	if err != nil {
		return spec.Path.Value
	}
	return p
}

// localName is the name by which a file calls an imported package; empty when
// it does not import it.
func localName(f goFile, want string) string {
	for _, spec := range f.imports() {
		if importPath(spec) != want {
			continue
		}
		if spec.Name != nil {
			return spec.Name.Name
		}
		if want == "math/rand/v2" {
			return "rand"
		}
		return path.Base(want)
	}
	return ""
}

// cutModule strips this module's path; the root itself is ".".
func cutModule(to string) (inside string, ours bool) {
	if to == module {
		return ".", true
	}
	if rest, ok := strings.CutPrefix(to, module+"/"); ok {
		return rest, true
	}
	return to, false
}

// isStandard reports whether a path is the standard library's: its first
// element has no dot.
func isStandard(to string) bool {
	return !strings.Contains(strings.SplitN(to, "/", 2)[0], ".")
}
