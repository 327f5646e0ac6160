package store

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"testing/fstest"
)

// FuzzReadExport feeds the reader of exports with texts of all kinds. It must
// not panic; what it takes must keep the rules and come back the same when it is
// written and read again.
func FuzzReadExport(f *testing.F) {
	for form := range released {
		seedWithExample(f, form+1)
	}
	const book = `{"format":"wreckwright book","version":2,"settings":{},"rebuilds":[1],"files":[]}`
	for _, text := range []string{``, `null`, `{}`, `[]`, `{"id":1}`, `[{"id":1}]`, `{"id":1,"version":1,"car":{"ceiling":{"number":"1.","currency":"GBP"}}}`, "\xff", `[{"edits":[{"kind":"car","before":{},"after":null}]}]`} {
		f.Add([]byte(text), []byte(text), []byte(text), []byte(text))
		f.Add([]byte(book), []byte(text), []byte(text), []byte(text))
	}
	f.Fuzz(func(t *testing.T, book, rebuilt, journal, marks []byte) {
		files := fstest.MapFS{
			"book.json":                {Data: book},
			"rebuilds/1/rebuild.json":  {Data: rebuilt},
			"rebuilds/1/journal.json":  {Data: journal},
			"rebuilds/1/marks.json":    {Data: marks},
			"rebuilds/-1/rebuild.json": {Data: rebuilt},
		}
		_, _, _ = readExport(context.Background(), files)
		in, err := parseRebuild(1, rebuilt, journal, marks)
		if err != nil {
			return
		}
		if err := in.rebuild.Validate(); err != nil {
			t.Fatalf("taken against the rules: %v", err)
		}
		again, err := parseRebuild(1, encoded(t, fileOf(in.rebuild, in.changedAt)), encoded(t, in.journal), encoded(t, in.marks))
		if err != nil {
			t.Fatalf("written and read again: %v", err)
		}
		if !reflect.DeepEqual(in.rebuild, again.rebuild) || !reflect.DeepEqual(in.edits, again.edits) {
			t.Fatal("written and read again it differs")
		}
	})
}

func encoded(t *testing.T, value any) []byte {
	t.Helper()
	data, err := encodePlainly(value)
	if err != nil {
		t.Fatalf("writing what was taken: %v", err)
	}
	return data
}

// seedWithExample exports the example book of that form, so that the fuzzer starts
// with texts that are taken. Each rebuild is given the number 1.
func seedWithExample(f *testing.F, form int) {
	f.Helper()
	ctx := context.Background()
	dir := filepath.Join(f.TempDir(), "book")
	if err := os.CopyFS(dir, os.DirFS(filepath.Join("testdata", fmt.Sprintf("book-form-%d", form)))); err != nil {
		f.Fatal(err)
	}
	b, err := Open(ctx, dir, Options{})
	if err != nil {
		f.Fatal(err)
	}
	defer b.Close()
	out := filepath.Join(f.TempDir(), "export")
	if err := b.Export(ctx, out); err != nil {
		f.Fatal(err)
	}
	book, err := os.ReadFile(filepath.Join(out, "book.json"))
	if err != nil {
		f.Fatal(err)
	}
	folders, err := filepath.Glob(filepath.Join(out, "rebuilds", "*"))
	if err != nil || len(folders) == 0 {
		f.Fatalf("no rebuilds (%v)", err)
	}
	for _, folder := range folders {
		seedWithRebuild(f, book, folder)
	}
}

func seedWithRebuild(f *testing.F, book []byte, folder string) {
	f.Helper()
	texts := [4][]byte{book}
	for i, name := range []string{"rebuild.json", "journal.json", "marks.json"} {
		text, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			f.Fatal(err)
		}
		texts[i+1] = text
	}
	own := fmt.Appendf(nil, "\"id\": %s,", filepath.Base(folder))
	texts[1] = bytes.Replace(texts[1], own, []byte(`"id": 1,`), 1)
	if _, err := parseRebuild(1, texts[1], texts[2], texts[3]); err != nil {
		f.Fatalf("the example is not taken: %v", err)
	}
	f.Add(texts[0], texts[1], texts[2], texts[3])
	f.Add(compact(f, texts[0]), compact(f, texts[1]), compact(f, texts[2]), compact(f, texts[3]))
}

func compact(f *testing.F, data []byte) []byte {
	f.Helper()
	var value any
	if err := json.Unmarshal(data, &value); err != nil {
		f.Fatal(err)
	}
	short, err := json.Marshal(value)
	if err != nil {
		f.Fatal(err)
	}
	return short
}
