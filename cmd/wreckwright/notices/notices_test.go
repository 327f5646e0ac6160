package notices

import (
	"os/exec"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// TestLinkedModules compares the notices with what go list says is linked.
func TestLinkedModules(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", "-f",
		"{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}{{end}}{{end}}", "wreckwright/cmd/wreckwright").Output()
	if err != nil {
		t.Fatal(err)
	}
	linked := strings.Split(strings.TrimSpace(string(out)), "\n")
	slices.Sort(linked)
	linked = slices.DeleteFunc(slices.Compact(linked), func(s string) bool { return strings.TrimSpace(s) == "" })

	list, err := All()
	if err != nil {
		t.Fatal(err)
	}
	var embedded []string
	for _, n := range list {
		if len(n.Text) < 200 {
			t.Errorf("%s: the notice has only %d bytes", n.Module, len(n.Text))
		}
		if n.Module != "std" {
			embedded = append(embedded, n.Module+" "+n.Version)
		}
	}
	slices.Sort(embedded)
	if !slices.Equal(linked, embedded) {
		t.Errorf("linked:   %v\nembedded: %v\nrun: go generate ./cmd/wreckwright/notices", linked, embedded)
	}
}

func TestStandardLibrary(t *testing.T) {
	list, err := All()
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(list, func(n Notice) bool { return n.Module == "std" })
	if i < 0 {
		t.Fatalf("no notice of the standard library of %s", runtime.Version())
	}
	if !strings.Contains(list[i].Text, "The Go Authors") {
		t.Error("the standard library's notice does not name its authors")
	}
}
