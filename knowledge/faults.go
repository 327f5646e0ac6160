package knowledge

import (
	"bytes"
	"embed"
	"fmt"
	"path"
	"slices"
	"strings"
	"sync"
)

//go:embed faults/*.yaml
var faultFiles embed.FS

// FaultModel is what may be behind one symptom: faults, tests with how they
// come out under each, repairs with what they cure. A case begins as a copy.
type FaultModel struct {
	Key   string // the name of its file: "runs-hot"
	Title string
	Zone  string // where it is looked for first, of rebuild.ZonePlaces
	YAML  []byte // the whole file, as package diagnose/faultmodel reads it
}

// FaultModels lists the fault models by key.
func FaultModels() []FaultModel {
	list := slices.Clone(faultModels())
	for i := range list {
		list[i].YAML = bytes.Clone(list[i].YAML)
	}
	return list
}

// FaultModelFor finds a fault model by its key.
func FaultModelFor(key string) (FaultModel, bool) {
	list := faultModels()
	i := slices.IndexFunc(list, func(m FaultModel) bool { return m.Key == key })
	if i < 0 {
		return FaultModel{}, false
	}
	found := list[i]
	found.YAML = bytes.Clone(found.YAML)
	return found, true
}

// faultModels reads no more than the heads of the files; a test parses them
// whole. As with the lists, an error is a damaged program.
var faultModels = sync.OnceValue(func() []FaultModel {
	entries, err := faultFiles.ReadDir("faults")
	if err != nil {
		panic(fmt.Errorf("knowledge/faults: %w", err))
	}
	list := make([]FaultModel, 0, len(entries))
	for _, e := range entries {
		data, err := faultFiles.ReadFile("faults/" + e.Name())
		if err != nil {
			panic(fmt.Errorf("knowledge/faults/%s: %w", e.Name(), err))
		}
		list = append(list, FaultModel{
			Key:   strings.TrimSuffix(e.Name(), path.Ext(e.Name())),
			Title: headLine(data, "title"),
			Zone:  headLine(data, "zone"),
			YAML:  data,
		})
	}
	return list
})

// headLine is the plain text after a key at the margin of a file; these files
// write title and zone so.
func headLine(data []byte, key string) string {
	for line := range strings.Lines(string(data)) {
		if text, ok := strings.CutPrefix(line, key+":"); ok {
			return strings.Trim(strings.TrimSpace(text), `"`)
		}
	}
	return ""
}
