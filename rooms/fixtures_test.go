package rooms

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

// TestFixtures inspects small made-up modules. Each lists in its file "want",
// line by line and sorted, how every complaint begins; an empty "want" is a
// module in order.
func TestFixtures(t *testing.T) {
	archives, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(archives) < 5 {
		t.Fatalf("found %d fixtures, %v", len(archives), err)
	}
	for _, name := range archives {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			checkFixture(t, name)
		})
	}
}

func checkFixture(t *testing.T, name string) {
	t.Helper()
	archive, err := txtar.ParseFile(name)
	if err != nil {
		t.Fatal(err)
	}
	root := t.TempDir()
	if err := txtar.Write(archive, root); err != nil {
		t.Fatal(err)
	}
	wanted, err := os.ReadFile(filepath.Join(root, "want"))
	if err != nil {
		t.Fatal(err)
	}
	files, err := readModule(root)
	if err != nil {
		t.Fatal(err)
	}
	got, want := inspect(files), lines(string(wanted))
	if !slices.EqualFunc(got, want, strings.HasPrefix) {
		t.Errorf("complaints:\n%s\nwanted to begin with:\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// lines splits a text into its lines that are not empty.
func lines(text string) []string {
	return slices.DeleteFunc(strings.Split(text, "\n"), func(l string) bool { return strings.TrimSpace(l) == "" })
}

// TestUnreadableFile makes sure that a file the parser refuses is an error, not
// a file left out.
func TestUnreadableFile(t *testing.T) {
	root := t.TempDir()
	if err := os.WriteFile(filepath.Join(root, "broken.go"), []byte("package"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := readModule(root); err == nil {
		t.Error("a broken file was read without an error")
	}
}

// TestEveryRoomIsOnTheMap makes sure that docs/ARCHITECTURE.md names each row.
func TestEveryRoomIsOnTheMap(t *testing.T) {
	page, err := os.ReadFile("../docs/ARCHITECTURE.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range plan {
		if !strings.Contains(string(page), "`"+r.folder+"/`") {
			t.Errorf("docs/ARCHITECTURE.md does not mention `%s/`", r.folder)
		}
	}
}
