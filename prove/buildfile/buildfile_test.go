package buildfile_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/prove/buildfile"
)

func TestCanonicalRefuses(t *testing.T) {
	for _, text := range []string{"", "{", `{"a":1} 2`, `{"a":1,"a":2}`, "1e400", `"` + "\xff" + `"`, `"\ud800"`, `"\udc00\ud800"`, `"\ud800\u0041"`, `{"\udfff":1}`, strings.Repeat("[", 5000) + strings.Repeat("]", 5000)} {
		if out, err := buildfile.Canonical([]byte(text)); err == nil {
			t.Errorf("%.20q became %.40s", text, out)
		}
	}
}

// TestPairsAreLetters: a whole pair is one letter, and what only looks like half a
// pair is none.
func TestPairsAreLetters(t *testing.T) {
	for text, want := range map[string]string{`"\ud83d\ude00\ud83d\ude00"`: `"😀😀"`, `"\\ud800"`: `"\\ud800"`, `"\u0041"`: `"A"`} {
		if got, err := buildfile.Canonical([]byte(text)); err != nil || string(got) != want {
			t.Errorf("%s became %s, %v", text, got, err)
		}
	}
}

// TestTwinsAreRefused: also those that only capitals tell apart, at any depth, and
// as encoding/json folds letters.
func TestTwinsAreRefused(t *testing.T) {
	for _, text := range []string{`{"Car":"two","car":"one"}`, `[{"a":{"files":1,"Files":2}}]`, `{"size":1,"ſize":2}`, `{"kind":1,"\u212aind":2}`} {
		if err := buildfile.CheckMembers([]byte(text)); err == nil || !strings.Contains(err.Error(), "comes twice") {
			t.Errorf("%s: %v", text, err)
		}
	}
	if err := buildfile.CheckMembers([]byte(`{"a":{"b":1},"c":[{"b":2},{"B":3}]}`)); err != nil {
		t.Error(err)
	}
}

// TestCanonicalIsOneForm: whatever the order and the white space, and made once
// more, the form is the same.
func TestCanonicalIsOneForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.MapOf(rapid.String(), rapid.OneOf(
			rapid.Map(rapid.Float64Range(-1e9, 1e9), func(v float64) any { return v }),
			rapid.Map(rapid.String(), func(v string) any { return v }),
			rapid.Map(rapid.SliceOf(rapid.Bool()), func(v []bool) any { return v }),
		)).Draw(t, "value")
		plain, err := json.Marshal(value)
		if err != nil {
			t.Fatal(err)
		}
		spaced, err := json.MarshalIndent(value, " ", "\t")
		if err != nil {
			t.Fatal(err)
		}
		a, errA := buildfile.Canonical(plain)
		b, errB := buildfile.Canonical(spaced)
		c, errC := buildfile.Canonical(a)
		if errA != nil || errB != nil || errC != nil || string(a) != string(b) || string(a) != string(c) {
			t.Fatalf("%s\n%s\n%s\n%v %v %v", a, b, c, errA, errB, errC)
		}
		var back, was any
		if json.Unmarshal(a, &back) != nil || json.Unmarshal(plain, &was) != nil || !reflect.DeepEqual(back, was) {
			t.Fatalf("%s says something else than %s", a, plain)
		}
	})
}

func chain(t testing.TB, n int) []buildfile.Entry {
	t.Helper()
	var entries []buildfile.Entry
	for i := range n {
		entries = append(entries, buildfile.Entry{Kind: "measurement", Item: int64(i + 1), On: "2026-05-01", What: fmt.Sprintf("reading %d", i+1), Content: json.RawMessage(fmt.Sprintf(`{"value":%d}`, 100+i))})
	}
	linked, err := buildfile.Link(entries)
	if err != nil {
		t.Fatal(err)
	}
	return linked
}

// TestChainShowsEveryChange: a digit, an order, a gap, a doubled entry; and one
// that was linked anew shows against the data.
func TestChainShowsEveryChange(t *testing.T) {
	if wrong := buildfile.CheckChain(chain(t, 5)); wrong != nil {
		t.Fatalf("a whole chain: %v", wrong)
	}
	for name, change := range map[string]func([]buildfile.Entry) []buildfile.Entry{
		"one digit": func(e []buildfile.Entry) []buildfile.Entry { e[2].Content = json.RawMessage(`{"value":103}`); return e },
		"a name":    func(e []buildfile.Entry) []buildfile.Entry { e[0].What = "reading 9"; return e },
		"swapped":   func(e []buildfile.Entry) []buildfile.Entry { e[1], e[2] = e[2], e[1]; return e },
		"a gap":     func(e []buildfile.Entry) []buildfile.Entry { return append(e[:1], e[2:]...) },
		"the first": func(e []buildfile.Entry) []buildfile.Entry { return e[1:] },
		"doubled":   func(e []buildfile.Entry) []buildfile.Entry { return append(e[:2:2], e[1:]...) },
		"a file":    func(e []buildfile.Entry) []buildfile.Entry { e[3].Files = []string{"ab"}; return e },
	} {
		if wrong := buildfile.CheckChain(change(chain(t, 5))); len(wrong) == 0 {
			t.Errorf("%s: nothing was seen", name)
		}
	}
	if differs := buildfile.CompareChains(chain(t, 3), chain(t, 5)); len(differs) != 2 {
		t.Errorf("the last two taken off: %v", differs)
	}
	if differs := buildfile.CompareChains(chain(t, 5), chain(t, 3)); len(differs) != 2 {
		t.Errorf("two put on: %v", differs)
	}
}

func TestManifestRefuses(t *testing.T) {
	hash := strings.Repeat("a", 64)
	good := buildfile.Manifest{Format: buildfile.Format, Version: 1, PublicKey: hash, Files: []buildfile.File{{Name: "a.txt", Size: 1, SHA256: hash}}}
	text, err := good.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := buildfile.DecodeManifest(text); err != nil {
		t.Fatal(err)
	}
	for says, change := range map[string]func(string) string{
		"cannot be read":         func(s string) string { return s[:len(s)/2] },
		"of the format":          func(s string) string { return strings.Replace(s, buildfile.Format, "other", 1) },
		"versions up to 1":       func(s string) string { return strings.Replace(s, `"version": 1`, `"version": 2`, 1) },
		"unknown field":          func(s string) string { return strings.Replace(s, `"car"`, `"cart"`, 1) },
		"as \"car\"":             func(s string) string { return strings.Replace(s, `"car"`, `"Car": "two", "car"`, 1) },
		"move what is printed":   func(s string) string { return strings.Replace(s, `"car": "`, `"car": "Skua\u001b[2J`, 1) },
		"half a letter":          func(s string) string { return strings.Replace(s, `"car": "`, `"car": "\ud800`, 1) },
		"whose name holds signs": func(s string) string { return strings.Replace(s, `a.txt`, `a\n.txt`, 1) },
		"says of a.txt holds":    func(s string) string { return strings.Replace(s, `"media_type": "`, `"media_type": "\u202e`, 1) },
		"comes twice":            func(s string) string { return strings.Replace(s, `"money": false`, `"money": false, "money": true`, 1) },
		"leads out":              func(s string) string { return strings.Replace(s, "a.txt", "../a.txt", 1) },
		"more than":              func(s string) string { return strings.Replace(s, `"size": 1`, `"size": 99999999999999`, 1) },
		"the hash of":            func(s string) string { return strings.Replace(s, `"sha256": "a`, `"sha256": "A`, 1) },
		"the public key is none": func(s string) string { return strings.Replace(s, `"public_key": "aa`, `"public_key": "`, 1) },
	} {
		if _, err := buildfile.DecodeManifest([]byte(change(string(text)))); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", says, err)
		}
	}
}

func TestBadNames(t *testing.T) {
	for _, name := range []string{"", "/etc/passwd", "../x", "a/../b", "a//b", `a\b`, "C:x", "a/.", "a\x1b[2J", "a\nb", "a\u202eb", "a\x9bb", "a\u0085b", strings.Repeat("a", 300)} {
		if buildfile.BadName(name) == "" {
			t.Errorf("%q is taken", name)
		}
	}
	if why := buildfile.BadName("photos/ab.jpg"); why != "" {
		t.Error(why)
	}
}

func TestCompareResults(t *testing.T) {
	low := 1.0
	kept := buildfile.Result{Verdict: "pass", Why: "rests", Engine: "e 1", Figures: []buildfile.Figure{{Name: "Mean", Unit: "s", Value: 100, Low: &low}}}
	again := kept
	again.Figures = []buildfile.Figure{{Name: "Mean", Unit: "s", Value: 100 * (1 + 1e-9), Low: &low}}
	if d := buildfile.Compare(kept, again); d != nil {
		t.Errorf("rounding: %v", d)
	}
	nought, tiny, wide := 0.0, 1e-17, 40.0
	for _, c := range []struct {
		was, is   buildfile.Figure
		different bool
	}{
		{buildfile.Figure{}, buildfile.Figure{Value: tiny}, false},
		{buildfile.Figure{Value: tiny, Low: &nought}, buildfile.Figure{Low: &tiny}, false},
		{buildfile.Figure{Value: 1e-5, High: &wide, Low: &nought}, buildfile.Figure{Value: 2e-5, High: &wide, Low: &nought}, false}, // of a doubt of 40
		{buildfile.Figure{}, buildfile.Figure{Value: 1e-6}, true},
		{buildfile.Figure{Value: 1e-5}, buildfile.Figure{Value: 2e-5}, true},
		{buildfile.Figure{Value: 100, High: &wide, Low: &nought}, buildfile.Figure{Value: 100.001, High: &wide, Low: &nought}, true},
		{buildfile.Figure{}, buildfile.Figure{Low: &nought}, true},
	} {
		d := buildfile.Compare(buildfile.Result{Figures: []buildfile.Figure{c.was}}, buildfile.Result{Figures: []buildfile.Figure{c.is}})
		if (len(d) > 0) != c.different {
			t.Errorf("%v and %v: %v", c.was, c.is, d)
		}
	}
	for says, change := range map[string]func(*buildfile.Result){
		"is now fail":    func(r *buildfile.Result) { r.Verdict = "fail" },
		"the reason was": func(r *buildfile.Result) { r.Why = "runs" },
		"by e 2":         func(r *buildfile.Result) { r.Engine = "e 2" },
		"Mean was 100 s, and is": func(r *buildfile.Result) {
			r.Figures = []buildfile.Figure{{Name: "Mean", Unit: "s", Value: 100.1, Low: &low}}
		},
		"the lower bound of Mean": func(r *buildfile.Result) { r.Figures = []buildfile.Figure{{Name: "Mean", Unit: "s", Value: 100}} },
		"not found any more":      func(r *buildfile.Result) { r.Figures = nil },
		"was kept where Median in": func(r *buildfile.Result) {
			r.Figures = []buildfile.Figure{{Name: "Median", Unit: "s", Value: 100, Low: &low}}
		},
	} {
		r := kept
		change(&r)
		if d := buildfile.Compare(kept, r); len(d) != 1 || !strings.Contains(d[0], says) {
			t.Errorf("%s: %v", says, d)
		}
	}
}

// TestUnknownTextsAreEmptied: what has no rule does not get out.
func TestUnknownTextsAreEmptied(t *testing.T) {
	l := buildfile.Leaving{Identity: true, Sums: true, Words: nil}
	out, err := l.Apply([]byte(`{"new":"secret","kept":"word","sum":{"number":"12.00","currency":"GBP"},"cost":{"low":1,"likely":2,"high":3},"list":[1],"vin":"NVSKUA00DEM000142"}`),
		map[string]buildfile.Rule{"kept": buildfile.Keep, "cost": buildfile.Sum, "list": buildfile.List, "vin": buildfile.VIN})
	if err != nil {
		t.Fatal(err)
	}
	got, err := buildfile.Canonical(out)
	if err != nil {
		t.Fatal(err)
	}
	want := `{"cost":{"high":0,"likely":0,"low":0},"kept":"word","list":[],"new":"","sum":{"currency":"","number":"0.00"},"vin":"NVSKUA00•••••••••"}`
	if string(got) != want {
		t.Errorf("%s", got)
	}
	if list := l.List(); len(list) != 5 {
		t.Errorf("left out: %+v", list)
	}
}

// TestOneLine: what comes from outside is shown, never obeyed.
func TestOneLine(t *testing.T) {
	for text, want := range map[string]string{
		"Zoë's Škoda 😀": "Zoë's Škoda 😀", "a\nb": `a\nb`, "\x1b[31mred": `\x1b[31mred`, "a\u202eb": `a\u202eb`, "a\xffb": "a¿b", "\u009b2J": `\u009b2J`, "a\u2028b": `a\u2028b`,
	} {
		if got := buildfile.OneLine(text); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
}

func TestFingerprintsAreReadAloud(t *testing.T) {
	if !buildfile.SameFingerprint("ab cd-EF", "ABCD EF") || buildfile.SameFingerprint("ab", "abcd") {
		t.Error("fingerprints are not compared as people write them")
	}
}

func FuzzCanonical(f *testing.F) {
	f.Add(`{"a":[1,2.50,"x"],"b":null}`)
	f.Add(`[[[[`)
	f.Fuzz(func(t *testing.T, text string) {
		once, err := buildfile.Canonical([]byte(text))
		if err != nil {
			return
		}
		if twice, err := buildfile.Canonical(once); err != nil || string(once) != string(twice) {
			t.Errorf("%q, %q, %v", once, twice, err)
		}
	})
}

func FuzzDecodeManifest(f *testing.F) {
	f.Add(`{"format":"wreckwright build file","version":1,"files":[]}`)
	f.Fuzz(func(_ *testing.T, text string) { _, _ = buildfile.DecodeManifest([]byte(text)) })
}
