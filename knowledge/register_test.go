package knowledge

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

// TestTheRegister holds the register of sources over the whole module.
func TestTheRegister(t *testing.T) {
	all, err := survey("..")
	if err != nil {
		t.Fatal(err)
	}
	if len(all.citations) < 20 {
		t.Fatalf("only %d citations found: not looking at the module", len(all.citations))
	}
	for _, b := range breaches(all, Sources()) {
		t.Error(b)
	}
}

// breaches gives every breach of the rules of the register, sorted.
func breaches(all found, sources []Source) []string {
	out := slices.Clone(all.faults)
	byKey := map[string]Source{}
	for _, s := range sources {
		byKey[s.Key] = s
	}
	cited, cased := map[string]bool{}, map[Ref]bool{}
	for _, c := range all.cases {
		cited[c.Key], cased[c.Ref] = true, true
		if _, ok := byKey[c.Key]; !ok {
			out = append(out, fmt.Sprintf("%s:%d: the case's source %s is not in knowledge/sources.yaml", c.file, c.line, c.Key))
		}
	}
	for _, c := range all.citations {
		cited[c.Key] = true
		out = append(out, breach(c, byKey, cased)...)
	}
	for _, s := range sources {
		if !cited[s.Key] {
			out = append(out, fmt.Sprintf("knowledge/sources.yaml: %s is cited nowhere: cite it where it is used or take it out", s.Key))
		}
	}
	slices.Sort(out)
	return out
}

// breach says what is wrong with one citation.
func breach(c citation, byKey map[string]Source, cased map[Ref]bool) []string {
	at := fmt.Sprintf("%s:%d: ", c.file, c.line)
	source, ok := byKey[c.Key]
	switch {
	case !ok:
		return []string{at + "source " + c.Key + " is not in knowledge/sources.yaml"}
	case !c.owes || !source.Checkable():
		return nil
	case c.Where == "":
		return []string{at + c.Key + ": say where in it: clause, table, equation, page, function"}
	case !cased[c.Ref]:
		return []string{fmt.Sprintf("%s%s: no test checks this place: add an outside.Case{Source: %q, Where: %q, ...}", at, c.Ref, c.Key, c.Where)}
	}
	return nil
}

// TestRegisterFixtures surveys small made-up modules, each with a register of
// its own and the list of what must be found wrong with it, line by line.
func TestRegisterFixtures(t *testing.T) {
	archives, err := filepath.Glob("testdata/*.txtar")
	if err != nil || len(archives) < 3 {
		t.Fatalf("found %d fixtures, %v", len(archives), err)
	}
	for _, name := range archives {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) { checkFixture(t, name) })
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
	register, err := os.ReadFile(filepath.Join(root, "knowledge", "sources.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	sources, err := parse("sources.yaml", register, checkSources)
	if err != nil {
		t.Fatal(err)
	}
	all, err := survey(root)
	if err != nil {
		t.Fatal(err)
	}
	wanted, err := os.ReadFile(filepath.Join(root, "want"))
	if err != nil {
		t.Fatal(err)
	}
	got := strings.TrimSpace(strings.Join(breaches(all, sources), "\n"))
	if want := strings.TrimSpace(string(wanted)); got != want {
		t.Errorf("found:\n%s\nwanted:\n%s", got, want)
	}
	if page, err := os.ReadFile(filepath.Join(root, "page")); err == nil {
		if got := referencesPage(all, sources); got != string(page) {
			t.Errorf("page:\n%s\nwanted:\n%s", got, page)
		}
	}
}
