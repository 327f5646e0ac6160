package knowledge

import (
	"bytes"
	"embed"
	"fmt"

	"github.com/goccy/go-yaml"
)

//go:embed *.yaml
var files embed.FS

// parse reads one list strictly and lets check have its say. The error names
// the file.
func parse[T any](name string, data []byte, check func([]T) error) ([]T, error) {
	var list []T
	if err := yaml.NewDecoder(bytes.NewReader(data), yaml.Strict()).Decode(&list); err != nil {
		return nil, fmt.Errorf("knowledge/%s: %w", name, err)
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("knowledge/%s: holds no entries", name)
	}
	if err := check(list); err != nil {
		return nil, fmt.Errorf("knowledge/%s: %w", name, err)
	}
	return list, nil
}

// load reads a list that was built into the program. Its content is fixed when
// the program is built and read by this package's tests, so an error here is a
// damaged program, not something a person entered: it stops the program.
func load[T any](name string, check func([]T) error) []T {
	data, err := files.ReadFile(name)
	if err != nil {
		panic(fmt.Errorf("knowledge/%s: %w", name, err))
	}
	list, err := parse(name, data, check)
	if err != nil {
		panic(err)
	}
	return list
}

// entry is what the check of every list needs to know of an entry.
type entry struct {
	key   string
	texts []string // that must not be empty
	refs  Refs
}

// checkEntries makes sure that keys are there and differ, that no text is
// missing and that every source is registered.
func checkEntries[T any](list []T, of func(T) entry) error {
	seen := map[string]bool{}
	for i, item := range list {
		e := of(item)
		switch {
		case e.key == "":
			return fmt.Errorf("entry %d: has no key", i+1)
		case seen[e.key]:
			return fmt.Errorf("%s: stands there twice", e.key)
		case len(e.refs) == 0:
			return fmt.Errorf("%s: cites no source: add ref: KEY WHERE", e.key)
		}
		seen[e.key] = true
		for _, text := range e.texts {
			if text == "" {
				return fmt.Errorf("%s: a text is missing", e.key)
			}
		}
		for _, r := range e.refs {
			if _, ok := SourceFor(r.Key); !ok {
				return fmt.Errorf("%s: source %s is not in knowledge/sources.yaml", e.key, r.Key)
			}
		}
	}
	return nil
}
