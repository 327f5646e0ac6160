package knowledge

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write docs/REFERENCES.md anew")

// TestReferencesPageIsCurrent compares docs/REFERENCES.md with what the
// register and the module say, or writes it with -update.
func TestReferencesPageIsCurrent(t *testing.T) {
	const file = "../docs/REFERENCES.md"
	all, err := survey("..")
	if err != nil {
		t.Fatal(err)
	}
	want := referencesPage(all, Sources())
	if *update {
		if err := os.WriteFile(file, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	got, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != want {
		t.Errorf("docs/REFERENCES.md is not current: run make references")
	}
}

const pageHead = `# References

Written by ` + "`make references`" + ` out of knowledge/sources.yaml, the citations in code and data, and
the tests that hold computed values against published ones. Do not edit.

"Read" says how well the source was read for this project: an entry "from memory" or "second hand" is a
pointer to where the statement can be checked, not a claim that it was.
`

// referencesPage is the page: each source, where it is cited, what checks it.
// It names files and not lines, so that it changes only when a source does.
func referencesPage(all found, sources []Source) string {
	var b strings.Builder
	b.WriteString(pageHead)
	for _, s := range sources {
		fmt.Fprintf(&b, "\n## %s\n\n%s%s. Kind: %s. Read: %s.\n", s.Key, s.Title, comma(s.Edition), s.Kind, s.Read)
		if lines := citedLines(all.citations, s.Key); len(lines) > 0 {
			fmt.Fprintf(&b, "\nCited:\n\n%s\n", strings.Join(lines, "\n"))
		}
		if lines := checkedLines(all.cases, s.Key); len(lines) > 0 {
			fmt.Fprintf(&b, "\nChecked:\n\n%s\n", strings.Join(lines, "\n"))
		}
	}
	return b.String()
}

func comma(text string) string {
	if text == "" {
		return ""
	}
	return ", " + text
}

// citedLines lists the places of a source that are cited, with the files.
func citedLines(citations []citation, key string) []string {
	var lines []string
	for _, c := range citations {
		if c.Key == key {
			lines = append(lines, fmt.Sprintf("- %s`%s`", before(c.Where, " - "), c.file))
		}
	}
	return distinct(lines)
}

// checkedLines lists the cases that hold values against a source.
func checkedLines(cases []checked, key string) []string {
	var lines []string
	for _, c := range cases {
		if c.Key == key {
			lines = append(lines, fmt.Sprintf("- %s: %s (%s) - `%s` %s", c.Where, c.what, c.why, c.file, c.test))
		}
	}
	return distinct(lines)
}

func before(text, gap string) string {
	if text == "" {
		return ""
	}
	return text + gap
}

// distinct sorts lines and leaves each there once.
func distinct(lines []string) []string {
	slices.Sort(lines)
	return slices.Compact(lines)
}
