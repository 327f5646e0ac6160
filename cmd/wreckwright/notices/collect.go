//go:build ignore

// collect copies the licence and notice files of every module that the program
// links, and of the Go standard library, into text/. Modules that go.mod asks
// for, but that no command links yet, are kept out. Run it with `go generate`.
package main

import (
	"bytes"
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
)

func main() {
	log.SetFlags(0)
	log.SetPrefix("collect: ")
	modules, err := linked()
	if err != nil {
		log.Fatal(err)
	}
	if err := os.RemoveAll("text"); err != nil {
		log.Fatal(err)
	}
	if err := os.MkdirAll("text", 0o755); err != nil {
		log.Fatal(err)
	}
	for _, m := range modules {
		if err := m.write(); err != nil {
			log.Fatal(err)
		}
	}
}

type module struct{ path, version, folder string }

func linked() ([]module, error) {
	out, err := exec.Command("go", "list", "-deps", "-f",
		"{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Version}}\t{{.Dir}}{{end}}{{end}}", "wreckwright/cmd/wreckwright").Output()
	if err != nil {
		return nil, fmt.Errorf("go list: %w", err)
	}
	modules := []module{{"std", runtime.Version(), runtime.GOROOT()}}
	seen := map[string]bool{}
	for line := range strings.Lines(string(out)) {
		parts := strings.Split(strings.TrimSpace(line), "\t")
		if len(parts) != 3 || seen[parts[0]] {
			continue
		}
		seen[parts[0]] = true
		modules = append(modules, module{parts[0], parts[1], parts[2]})
	}
	return modules, nil
}

func (m module) write() error {
	var text bytes.Buffer
	fmt.Fprintf(&text, "%s %s\n", m.path, m.version)
	found := 0
	for _, pattern := range []string{"LICENSE*", "LICENCE*", "UNLICENSE*", "COPYING*", "NOTICE*", "PATENTS"} {
		files, err := filepath.Glob(filepath.Join(m.folder, pattern))
		if err != nil {
			return err
		}
		for _, file := range files {
			info, err := os.Stat(file)
			if err != nil || info.IsDir() {
				continue
			}
			data, err := os.ReadFile(file)
			if err != nil {
				return err
			}
			fmt.Fprintf(&text, "\n%s\n", bytes.TrimSpace(bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n"))))
			found++
		}
	}
	if found == 0 {
		return fmt.Errorf("%s: no licence file in %s", m.path, m.folder)
	}
	name := strings.ReplaceAll(m.path, "/", "_") + ".txt"
	return os.WriteFile(filepath.Join("text", name), text.Bytes(), 0o644)
}
