package notices

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"
)

//go:embed text/*.txt
var texts embed.FS

// Notice is what one module asks to be shown.
type Notice struct {
	Module  string
	Version string
	Text    string
}

// All is every notice, sorted by module. A file begins with a line of module
// and version.
func All() ([]Notice, error) {
	names, err := fs.Glob(texts, "text/*.txt")
	if err != nil {
		return nil, fmt.Errorf("embedded notices: %w", err)
	}
	var list []Notice
	for _, name := range names {
		data, err := texts.ReadFile(name)
		if err != nil {
			return nil, fmt.Errorf("embedded notices: %w", err)
		}
		first, rest, _ := strings.Cut(string(data), "\n")
		module, version, ok := strings.Cut(first, " ")
		if !ok {
			return nil, fmt.Errorf("embedded notices: %s: first line %q; expected module and version", name, first)
		}
		list = append(list, Notice{module, version, strings.TrimSpace(rest)})
	}
	return list, nil
}
