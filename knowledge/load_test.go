package knowledge

import (
	"os"
	"slices"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

func TestParseIsStrict(t *testing.T) {
	const good = "- {key: A_KEY, kind: book, title: A title, read: read}\n"
	tests := []struct{ name, text, want string }{
		{"good", good, ""},
		{"unknown key", "- {key: A_KEY, kind: book, title: A title, read: read, color: red}\n", `unknown field "color"`},
		{"key given twice", "- {key: A_KEY, kind: book, kind: book, title: A title, read: read}\n", "already defined"},
		{"not a list", "key: A_KEY\n", "knowledge/x.yaml"},
		{"broken", "- {key: [\n", "knowledge/x.yaml"},
		{"empty list", "[]\n", "holds no entries"},
		{"empty file", "", "knowledge/x.yaml"},
		{"small letters", strings.Replace(good, "A_KEY", "a_key", 1), "expected capitals"},
		{"unknown kind", strings.Replace(good, "book", "rumour", 1), `kind "rumour"`},
		{"no title", strings.Replace(good, "A title", `""`, 1), "no title"},
		{"unknown reading", strings.Replace(good, "read: read", "read: twice", 1), `read "twice"`},
		{"same key again", good + good, "each key once"},
		{"not sorted", strings.Replace(good, "A_KEY", "B_KEY", 1) + good, "sorted by key"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := parse("x.yaml", []byte(tt.text), checkSources)
			wantError(t, err, tt.want)
		})
	}
}

func TestListsAreChecked(t *testing.T) {
	const caution = "- {hazard: fire, name: Fire, text: Hot., defer_to: The maker., ref: COMMON_PRACTICE fire}\n"
	const category = "- {jurisdiction: UK, code: S, name: N, meaning: M, repair: yes, road: yes, first: F, tell: T, from: 2017-10-01, as_at: 2026-11, ref: COMMON_PRACTICE x}\n"
	tests := []struct {
		name string
		err  error
		want string
	}{
		{"caution", errOf(parse("", []byte(caution), checkCautions)), ""},
		{"caution twice", errOf(parse("", []byte(caution+caution), checkCautions)), "fire: stands there twice"},
		{"caution without key", errOf(parse("", []byte(strings.Replace(caution, "fire,", `"",`, 1)), checkCautions)), "has no key"},
		{"caution defers to nobody", errOf(parse("", []byte(strings.Replace(caution, "The maker.", `""`, 1)), checkCautions)), "a text is missing"},
		{"caution without source", errOf(parse("", []byte(strings.Replace(caution, ", ref: COMMON_PRACTICE fire", "", 1)), checkCautions)), "cites no source"},
		{"caution of unknown source", errOf(parse("", []byte(strings.Replace(caution, "COMMON_PRACTICE", "NOWHERE", 1)), checkCautions)), "NOWHERE is not in knowledge/sources.yaml"},
		{"caution of malformed source", errOf(parse("", []byte(strings.Replace(caution, "COMMON_PRACTICE", "nowhere", 1)), checkCautions)), "is no key"},
		{"stages", errOf(parse("", []byte("- {key: a, question: Q, right: [r], ref: COMMON_PRACTICE x}\n"), checkStages)), "has nine"},
		{"stage with nothing right", errOf(parse("", []byte(strings.Repeat("- {key: a, question: Q, ref: COMMON_PRACTICE x}\n", 9)), checkStages)), "nothing that must be right"},
		{"category", errOf(parse("", []byte(category), checkCategories)), ""},
		{"category that answers neither way", errOf(parse("", []byte(strings.Replace(category, "road: yes", "road: maybe", 1)), checkCategories)), "expected one of"},
		{"category with no day", errOf(parse("", []byte(strings.Replace(category, "2017-10-01", "autumn", 1)), checkCategories)), "expected a day"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { wantError(t, tt.err, tt.want) })
	}
}

func errOf[T any](_ []T, err error) error { return err }

func wantError(t *testing.T, err error, want string) {
	t.Helper()
	if want == "" {
		if err != nil {
			t.Errorf("unexpected error: %v", err)
		}
		return
	}
	if err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("error %v, want one with %q", err, want)
	}
}

// TestEveryHazardHasItsCaution names the work that can hurt somebody; the list
// is the project's rule, so it stands here and not in the data.
func TestEveryHazardHasItsCaution(t *testing.T) {
	for _, hazard := range []string{
		"lifting", "restraints", "stored-gas", "fuel", "high-voltage", "brakes", "steering", "structure",
		"welding", "isocyanates", "hot-cooling", "battery-acid",
	} {
		if _, ok := CautionFor(hazard); !ok {
			t.Errorf("no caution for %s", hazard)
		}
	}
	if _, ok := CautionFor("bears"); ok {
		t.Error("found a caution for bears")
	}
}

// TestCautionsDefer makes sure that each caution names a word above its own:
// the maker's, and that of local rules or of people licensed for the work.
func TestCautionsDefer(t *testing.T) {
	for _, c := range Cautions() {
		text := strings.ToLower(c.DeferTo)
		if !strings.Contains(text, "maker") {
			t.Errorf("%s does not defer to the maker: %s", c.Hazard, c.DeferTo)
		}
		outside := []string{"local", "licensed", "qualified"}
		if !slices.ContainsFunc(outside, func(w string) bool { return strings.Contains(text, w) }) {
			t.Errorf("%s defers neither to local rules nor to licensed people: %s", c.Hazard, c.DeferTo)
		}
	}
}

func TestStagesAreThoseOfARebuild(t *testing.T) {
	list := Stages()
	if len(list) != len(rebuild.StagePlaces) {
		t.Fatalf("%d stages, a rebuild has %d", len(list), len(rebuild.StagePlaces))
	}
	for i, s := range list {
		if want := rebuild.StagePlaces[i].Key; s.Number != i+1 || s.Key != want {
			t.Errorf("stage %d is number %d, %s; want %s", i+1, s.Number, s.Key, want)
		}
	}
}

// TestCautionsNameRealPlaces looks for zones and safety classes that no rebuild
// has, and for classes at which nothing would be shown.
func TestCautionsNameRealPlaces(t *testing.T) {
	shown := map[string]bool{}
	for _, c := range Cautions() {
		for _, zone := range c.Zones {
			if !slices.ContainsFunc(rebuild.ZonePlaces[:], func(p rebuild.ZonePlace) bool { return p.Key == zone }) {
				t.Errorf("%s: there is no zone %q", c.Hazard, zone)
			}
		}
		for _, class := range c.Classes {
			shown[class] = true
			if !slices.Contains(rebuild.SafetyClasses, rebuild.SafetyClass(class)) {
				t.Errorf("%s: there is no safety class %q", c.Hazard, class)
			}
		}
	}
	for _, class := range rebuild.SafetyClasses {
		if class != rebuild.SafetyNone && !shown[string(class)] {
			t.Errorf("no caution is shown at a job of class %s", class)
		}
	}
}

func TestCautionsAt(t *testing.T) {
	tests := []struct{ zone, class, want string }{
		{"", "", ""},
		{"cabin", "none", "restraints"},
		{"", "brake", "brakes"},
		{"front-left-corner", "steering", "steering lifting stored-gas brakes springs"},
		{"bonnet", "restraint", "restraints stored-gas"},
	}
	for _, tt := range tests {
		var got []string
		for _, c := range CautionsAt(tt.zone, tt.class) {
			got = append(got, c.Hazard)
		}
		if strings.Join(got, " ") != tt.want {
			t.Errorf("at %q, class %q: %v, want %s", tt.zone, tt.class, got, tt.want)
		}
	}
}

func TestCategoryFor(t *testing.T) {
	tests := []struct {
		code, road, until string
	}{
		{"A", "no", ""}, {"B", "no", ""}, {"S", "yes", ""}, {"N", "yes", ""}, {"C", "yes", "2017-09-30"}, {"D", "yes", "2017-09-30"},
	}
	for _, tt := range tests {
		c, ok := CategoryFor("UK", tt.code)
		if !ok || c.Road != tt.road || c.Until != tt.until {
			t.Errorf("UK %s: found %v, road %q, until %q; want %q, %q", tt.code, ok, c.Road, c.Until, tt.road, tt.until)
		}
	}
	if _, ok := CategoryFor("UK", "Z"); ok {
		t.Error("found UK Z")
	}
}

// TestListsAreCopies changes what one caller got and looks at what the next gets.
func TestListsAreCopies(t *testing.T) {
	Sources()[0].Title = "scribbled"
	Cautions()[0].Refs[0].Key = "scribbled"
	Stages()[0].Right[0] = "scribbled"
	Cautions()[0].Zones[0] = "scribbled"
	Categories()[0].Refs[0].Key = "scribbled"
	switch {
	case Sources()[0].Title == "scribbled", Cautions()[0].Refs[0].Key == "scribbled", Stages()[0].Right[0] == "scribbled",
		Cautions()[0].Zones[0] == "scribbled", Categories()[0].Refs[0].Key == "scribbled":
		t.Error("a caller can change what the next one gets")
	}
}

// TestOwnDesignsAreArgued makes sure that what is of our own design names a
// decision note, where there is one, that exists.
func TestOwnDesignsAreArgued(t *testing.T) {
	for _, s := range Sources() {
		if note, ok := strings.CutPrefix(s.Edition, "docs/"); ok {
			if _, err := os.Stat("../docs/" + note); err != nil {
				t.Errorf("%s: %v", s.Key, err)
			}
		} else if s.Kind == "own design" {
			t.Errorf("%s is of our own design: its edition must name the note in docs/decisions/ that argues it", s.Key)
		}
	}
}
