package casefile

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"wreckwright/uncertain"
)

// readParts reads the keys that these tests know.
func readParts(f *File) error {
	root := f.Root()
	root.Need("spent").Number(uncertain.MoneyBounds)
	if v, ok := root.May("cost"); ok {
		v.Range(uncertain.MoneyBounds)
	}
	if v, ok := root.May("trials"); ok {
		v.Whole(1, 1000)
	}
	if v, ok := root.May("kind"); ok {
		v.Choice("inspection", "service")
	}
	if v, ok := root.May("day"); ok {
		v.Date()
	}
	if v, ok := root.May("wait"); ok {
		v.Bool()
	}
	if v, ok := root.May("jobs"); ok {
		for _, j := range v.List() {
			m := j.Mapping()
			m.Need("name").Text()
			m.Need("cost").Range(uncertain.MoneyBounds)
		}
	}
	return f.Err()
}

func read(text string) error {
	f, err := Parse("case.yaml", []byte(text))
	if err != nil {
		return err
	}
	return readParts(f)
}

func TestMistakes(t *testing.T) {
	tests := []struct {
		name, text string
		line       int
		words      []string
	}{
		{"empty", "", 1, []string{"the file is empty"}},
		{"comments only", "# nothing\n", 1, []string{"the file is empty"}},
		{"not UTF-8", "spent: 1\nname: caf\xe9\n", 2, []string{"byte 0xe9 is not UTF-8"}},
		{"UTF-16", "\xff\xfes\x00p\x00", 1, []string{"not UTF-8"}},
		{"control character", "spent: 1\x07\n", 1, []string{"control character 0x07"}},
		{"indented with a tab", "jobs:\n\t- name: x\n", 2, []string{"a tab stands before the text", "spaces"}},
		{"syntax", "spent: [1\nx", 2, []string{"expected YAML or JSON"}},
		{"two documents", "spent: 1\n---\nspent: 2\n", 3, []string{"second document", "one case per file"}},
		{"a list at the top", "- 1\n- 2\n", 1, []string{"is a list", "a group of keys"}},
		{"text at the top", "hello\n", 1, []string{"a group of keys"}},
		{"duplicate key", "spent: 1\nspent: 2\n", 2, []string{"spent", "given twice (first at line 1)"}},
		{"duplicate key, JSON", "{\"spent\": 1,\n\"spent\": 2}", 2, []string{"spent", "given twice"}},
		{"missing", "trials: 5\n", 1, []string{"spent", "is missing"}},
		{"unknown", "spent: 1\ncolour: red\n", 2, []string{"colour", "is not a known key", "one of cost, day"}},
		{"unknown, case", "Spent: 1\n", 1, []string{"Spent", "is not a known key", "expected spent, if that was meant"}},
		{"unknown, near", "spent: 1\njobs:\n  - name: a\n    cots: 5\n", 4, []string{"jobs[1].cots", "expected cost, if that was meant"}},
		{"unknown within a range", "spent: 1\ncost: {low: 1, likely: 2, high: 3, most: 4}\n", 2, []string{"cost.most"}},
		{"merge key", "spent: 1\n<<: {a: 1}\n", 2, []string{"a plain word"}},
		{"wrong type", "spent: yes\n", 1, []string{"spent", `is the text "yes"`, "a number"}},
		{"bool for number", "spent: true\n", 1, []string{"is true"}},
		{"list for number", "spent: [1]\n", 1, []string{"is a list"}},
		{"quoted number", "spent: \"5\"\n", 1, []string{`is the text "5"`, "without quotes"}},
		{"thousands", "spent: 38,000\n", 1, []string{"no separators"}},
		{"unit", "spent: 38 EUR\n", 1, []string{"without a unit"}},
		{"nothing", "spent:\n", 1, []string{"spent", "is empty"}},
		{"null", "spent: ~\n", 1, []string{"is empty"}},
		{"NaN", "spent: .nan\n", 1, []string{"is not a number"}},
		{"infinite", "spent: -.inf\n", 1, []string{"is infinite"}},
		{"huge", "spent: 1e400\n", 1, []string{"too large"}},
		{"huge digits", "spent: 123456789012345678901234567890\n", 1, []string{"above 1000000000000"}},
		{"octal", "spent: 010\n", 1, []string{"two ways"}},
		{"hexadecimal", "spent: 0x10\n", 1, []string{"two ways"}},
		{"underscore", "spent: 1_000\n", 1, []string{"two ways"}},
		{"two signs", "spent: +-5\n", 1, []string{"a number"}},
		{"tag", "spent: !!int 5\n", 1, []string{"tag !!int"}},
		{"negative", "spent: -3\n", 1, []string{"-3 is negative", "a number from 0"}},
		{"low above likely", "spent: 1\ncost:\n  low: 5\n  likely: 4\n  high: 6\n", 3, []string{"cost.low", "5 is above likely (4)", "low <= likely <= high"}},
		{"high below likely", "spent: 1\ncost:\n  low: 1\n  likely: 4\n  high: 3\n", 5, []string{"cost.high", "3 is below likely (4)"}},
		{"half a range", "spent: 1\ncost: {low: 1, high: 3}\n", 2, []string{"cost.likely", "is missing"}},
		{"list as range", "spent: 1\ncost: [1, 2, 3]\n", 2, []string{"is a list", "{low, likely, high}"}},
		{"text in a range", "spent: 1\ncost: {low: 1, likely: two, high: 3}\n", 2, []string{"cost.likely", `"two"`}},
		{"fraction", "spent: 1\ntrials: 2.5\n", 2, []string{"is 2.5, not a whole number", "1 to 1000"}},
		{"too many", "spent: 1\ntrials: 1e300\n", 2, []string{"is 1e300, too large", "expected a whole number from 1 to 1000"}},
		{"more than a computer's word holds", "spent: 1\ntrials: 9223372036854775807\n", 2, []string{"is 9223372036854775807, too large"}},
		{"too few", "spent: 1\ntrials: 0\n", 2, []string{"too small"}},
		{"choice", "spent: 1\nkind: inspecton\n", 2, []string{`is "inspecton"`, "expected inspection, if that was meant"}},
		{"date", "spent: 1\nday: 2027-02-30\n", 2, []string{"2027-02-30", "2027-01-04"}},
		{"bool", "spent: 1\nwait: maybe\n", 2, []string{"true or false"}},
		{"number as text", "spent: 1\njobs:\n- {name: 7, cost: 1}\n", 3, []string{"jobs[1].name", "put it in quotes"}},
		{"blank text", "spent: 1\njobs:\n- {name: \"  \", cost: 1}\n", 3, []string{"is blank"}},
		{"block of lines as text", "spent: 1\njobs:\n- name: |\n    a\n    b\n  cost: 1\n", 3, []string{"line break"}},
		{"escape in text", "spent: 1\njobs:\n- {name: \"a\\x1b[2J\", cost: 1}\n", 3, []string{"control character"}},
		{"item is no group", "spent: 1\njobs:\n- 5\n", 3, []string{"jobs[1]", "is the number 5"}},
		{"no list", "spent: 1\njobs: {name: a}\n", 2, []string{"is a group of keys", "a list"}},
		{"alias without anchor", "spent: *x\n", 1, []string{"*x"}},
		{"deep", "spent: " + strings.Repeat("[", 60), 1, []string{"too deeply"}},
		{"deep dashes", "spent: 1\n" + strings.Repeat("- ", 60), 2, []string{"too deeply"}},
		{"first mistake first", "spent: 1\ntrials: 0\nkind: x\n", 2, []string{"trials"}},
		{"large", strings.Repeat("#\n", MaxBytes), 0, []string{"larger than 1 MiB"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := read(tt.text)
			var wrong *Error
			if !errors.As(err, &wrong) {
				t.Fatalf("%v; want an Error", err)
			}
			if wrong.Line != tt.line {
				t.Errorf("line %d; want %d: %v", wrong.Line, tt.line, err)
			}
			for _, w := range append(tt.words, "case.yaml", "expected") {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("%q lacks %q", err, w)
				}
			}
			if strings.Contains(err.Error(), "\n") {
				t.Errorf("%q is more than one line", err)
			}
		})
	}
}

func TestGoodFiles(t *testing.T) {
	for name, text := range map[string]string{
		"plain":           "spent: 21450.00\ntrials: 1e2\nday: 2027-01-04\nwait: true\nkind: service\n",
		"JSON":            `{"spent": -0, "cost": {"low": 1, "likely": 2.5e0, "high": 3}, "jobs": []}`,
		"byte order mark": "\xef\xbb\xbfspent: 1\n",
		"CRLF":            "spent: 1\r\ncost: 5\r\n",
		"document mark":   "---\nspent: 1\n",
		"anchor":          "spent: &s 5\ncost: {low: *s, likely: 5, high: 5}\n",
		"certain range":   "spent: +3\ncost: .5\n",
	} {
		if err := read(text); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestValues(t *testing.T) {
	f, err := Parse("case.yaml", []byte("a: 12.5\nb: {low: 1, likely: 2, high: 4}\nc: 7\nd: 2027-01-04\ne: {x: 1, y: 2}\nf: some words \ng: >-\n  folded\n  words\n"))
	if err != nil {
		t.Fatal(err)
	}
	root := f.Root()
	if got := root.Need("a").Number(uncertain.MoneyBounds); got != 12.5 {
		t.Errorf("a is %g", got)
	}
	if got := root.Need("b").Range(uncertain.MoneyBounds); got != (uncertain.Range{Low: 1, Likely: 2, High: 4}) {
		t.Errorf("b is %v", got)
	}
	if got := root.Need("c").Whole(0, 10); got != 7 {
		t.Errorf("c is %d", got)
	}
	if got := root.Need("d").Date(); !got.Equal(time.Date(2027, 1, 4, 0, 0, 0, 0, time.UTC)) {
		t.Errorf("d is %v", got)
	}
	e := root.Need("e").Mapping()
	for _, key := range []string{"x", "y"} {
		if _, given := e.May(key); !given {
			t.Errorf("e has no %s", key)
		}
	}
	if got := e.Keys(); !slices.Equal(got, []string{"x", "y"}) {
		t.Errorf("e's keys are %v", got)
	}
	if v := root.Need("g"); v.Text() != "folded words" || v.Line() != 7 {
		t.Errorf("g is %q at line %d", v.Text(), v.Line())
	}
	if got := root.Need("f").Text(); got != "some words" {
		t.Errorf("f is %q", got)
	}
	if err := f.Err(); err != nil {
		t.Error(err)
	}
}

func TestReadingFiles(t *testing.T) {
	folder := t.TempDir()
	name := filepath.Join(folder, "case.yaml")
	if err := os.WriteFile(name, []byte("spent: 1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(name); err != nil {
		t.Error(err)
	}
	for path, word := range map[string]string{
		filepath.Join(folder, "none.yaml"): "there is no such file",
		folder:                             "is a folder",
	} {
		if _, err := Read(path); err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("%s: %v; want %q", path, err, word)
		}
	}
}

// FuzzCase: whatever the bytes, there is an answer or one well-formed mistake.
func FuzzCase(f *testing.F) {
	for _, seed := range []string{
		"spent: 1\ncost: {low: 1, likely: 2, high: 3}\njobs:\n- {name: a, cost: 1}\n",
		"{\"spent\": 1}", "a: &x [*x]\nspent: *x\n", "? a\n: b\n", "spent: |\n  x\n", "a: 'x", "\tspent: 1", "- - -", "spent: !!x", "%YAML 1.2\n---\nspent: 1",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Parse("case.yaml", data)
		if err == nil {
			err = readParts(file)
		}
		var wrong *Error
		if err != nil && (!errors.As(err, &wrong) || wrong.File == "" || wrong.Problem == "" || wrong.Expected == "") {
			t.Fatalf("%q: %v", data, err)
		}
	})
}
