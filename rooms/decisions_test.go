package rooms

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestEveryDependencyHasItsNote looks for each module that go.mod
// requires directly in docs/decisions/.
func TestEveryDependencyHasItsNote(t *testing.T) {
	notes, err := filepath.Glob("../docs/decisions/0*.md")
	if err != nil || len(notes) == 0 {
		t.Fatalf("found %d notes, %v", len(notes), err)
	}
	var all strings.Builder
	for _, note := range notes {
		text, err := os.ReadFile(note)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(text)
	}
	for _, dependency := range dependencies(t, "../go.mod") {
		if !strings.Contains(all.String(), "`"+dependency+"`") {
			t.Errorf("go.mod requires %s: say why in a note in docs/decisions/", dependency)
		}
	}
}

// dependencies reads the modules that a go.mod requires directly.
func dependencies(t *testing.T, file string) []string {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	inside := false
	for _, line := range lines(string(text)) {
		fields := strings.Fields(line)
		switch {
		case fields[0] == "require" && fields[1] == "(":
			inside = true
		case fields[0] == ")":
			inside = false
		case strings.HasSuffix(line, "// indirect"):
		case inside:
			out = append(out, fields[0])
		case fields[0] == "require":
			out = append(out, fields[1])
		}
	}
	if len(out) == 0 {
		t.Fatalf("%s: no dependencies found: not reading it rightly", file)
	}
	return out
}
