package rooms

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// goFile is one parsed Go file of a module.
type goFile struct {
	folder string // slash path from the module's root, "." for the root
	name   string
	syntax *ast.File
	fset   *token.FileSet
}

// isTest reports whether the go command compiles the file for tests only.
func (f goFile) isTest() bool { return strings.HasSuffix(f.name, "_test.go") }

// at is the place of a node as a person would look for it.
func (f goFile) at(p token.Pos) string {
	pos := f.fset.Position(p)
	return path.Join(f.folder, f.name) + ":" + strconv.Itoa(pos.Line)
}

// imports lists the paths that the file imports, with their places.
func (f goFile) imports() []*ast.ImportSpec { return f.syntax.Imports }

// readModule parses every Go file below root as the go command would see them:
// not testdata, not folders whose name begins with a dot or an underscore, not
// modules of their own.
func readModule(root string) ([]goFile, error) {
	var files []goFile
	fset := token.NewFileSet()
	err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if p != root && (skipped(d.Name()) || ownModule(p)) {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(d.Name(), ".go") {
			return nil
		}
		syntax, err := parser.ParseFile(fset, p, nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		folder, err := filepath.Rel(root, filepath.Dir(p))
		files = append(files, goFile{filepath.ToSlash(folder), d.Name(), syntax, fset})
		return err
	})
	return files, err
}

// skipped reports whether the go command passes a folder over.
func skipped(name string) bool {
	return name == "testdata" || name == "node_modules" || strings.HasPrefix(name, ".") || strings.HasPrefix(name, "_")
}

// ownModule reports whether a folder is the root of another module.
func ownModule(folder string) bool {
	_, err := os.Stat(filepath.Join(folder, "go.mod"))
	return err == nil
}

// folders lists the folders that hold Go files, sorted.
func folders(files []goFile) []string {
	var out []string
	for _, f := range files {
		if !slices.Contains(out, f.folder) {
			out = append(out, f.folder)
		}
	}
	slices.Sort(out)
	return out
}
