package knowledge

import (
	"strings"
	"testing"

	"wreckwright/rebuild"
)

func TestListsBeforeBuyingAreChecked(t *testing.T) {
	const (
		place = "- {key: UK, name: N, authority: A, unmarked: \"yes\", as_at: 2026-11, ref: COMMON_PRACTICE x, duties: [{do: always, text: T, as_at: 2026-11, ref: COMMON_PRACTICE x}]}\n"
		rule  = "- {rule: fall, severity: stop, text: T, limits: {a: 1}, as_at: 2026-11-25, ref: COMMON_PRACTICE x}\n"
		span  = "- {from: SA, to: SM, country: C, ref: COMMON_PRACTICE x}\n"
	)
	places := func(text string) error { return errOf(parse("", []byte(text), checkJurisdictions)) }
	rules := func(text string) error { return errOf(parse("", []byte(text), checkHistoryRules)) }
	spans := func(text string) error { return errOf(parse("", []byte(text), checkSpans(2))) }
	with := func(text, old, now string) string { return strings.Replace(text, old, now, 1) }
	for _, tt := range []struct {
		name string
		err  error
		want string
	}{
		{"place", places(place), ""},
		{"place twice", places(place + place), "stands there twice"},
		{"place that answers unknown", places(with(place, `"yes"`, "unknown")), "expected one of"},
		{"place without a date", places(with(place, "as_at: 2026-11", "as_at: soon")), "expected a month or a day"},
		{"place without authority", places(with(place, "authority: A", `authority: ""`)), "a text is missing"},
		{"duty of no occasion", places(with(place, "do: always", "do: sometimes")), "expected do or tell"},
		{"duty both ways", places(with(place, "do: always", "do: always, tell: always")), "expected do or tell"},
		{"duty without a date", places(with(place, "T, as_at: 2026-11", "T, as_at: never")), "expected a month or a day"},
		{"duty without a source", places(with(place, ", ref: COMMON_PRACTICE x}]", "}]")), "cites no source"},
		{"rule", rules(rule), ""},
		{"rule of another severity", rules(with(rule, "stop", "dire")), "expected stop, question or note"},
		{"rule without a date", rules(with(rule, "2026-11-25", "2026")), "expected a month or a day"},
		{"rule without a text", rules(with(rule, "text: T", `text: ""`)), "a text is missing"},
		{"span", spans(span), ""},
		{"spans overlap", spans(span + "- {from: SM, to: SZ, country: D, ref: COMMON_PRACTICE x}\n"), "SM belongs to SA to SM already"},
		{"span of one character", spans(with(span, "SA", "S")), "expected two beginnings"},
		{"span over two letters", spans(with(span, "SM", "TM")), "differ in the last one only"},
		{"span to 0, which is last", spans(with(span, "SM", "S0")), ""},
		{"span backwards", spans(with(span, "SA", "SN")), "expected characters in the order"},
		{"span from a letter that is not used", spans(with(span, "SA", "SI")), "expected characters in the order"},
		{"span of nobody", spans(with(span, "country: C", `country: ""`)), "a text is missing"},
	} {
		t.Run(tt.name, func(t *testing.T) { wantError(t, tt.err, tt.want) })
	}
}

// TestPlacesAreThoseOfACar: a car's data offers the jurisdictions that are known
// here, and every category belongs to one.
func TestPlacesAreThoseOfACar(t *testing.T) {
	known := map[string]bool{}
	for i, j := range Jurisdictions() {
		known[j.Key] = true
		if i >= len(rebuild.Jurisdictions) || rebuild.Jurisdictions[i] != j.Key {
			t.Errorf("jurisdiction %d is %s, a car's are %v", i+1, j.Key, rebuild.Jurisdictions)
		}
	}
	if len(known) != len(rebuild.Jurisdictions) {
		t.Errorf("%d jurisdictions are known, a car has %d", len(known), len(rebuild.Jurisdictions))
	}
	for _, c := range Categories() {
		if !known[c.Jurisdiction] {
			t.Errorf("%s %s: the jurisdiction is not known", c.Jurisdiction, c.Code)
		}
		for _, lifted := range c.Lifts {
			if _, ok := CategoryFor(c.Jurisdiction, lifted); !ok {
				t.Errorf("%s %s lifts %s, which is not there", c.Jurisdiction, c.Code, lifted)
			}
		}
	}
	if c, ok := CategoryFor("CA-ON", "SALVAGE"); !ok || c.Road != "after inspection" {
		t.Error("capitals count in a category's code")
	}
}

// TestReadingIsTheWeakest: a text is only as sure as the least read of its
// sources.
func TestReadingIsTheWeakest(t *testing.T) {
	for text, want := range map[string]string{
		"GOVUK_WRITEOFF a":                            "read",
		"GOVUK_WRITEOFF a; ABI_SALVAGE b":             "second hand",
		"GOVUK_WRITEOFF a; RTA_1988 b; ABI_SALVAGE c": "from memory",
		"COMMON_PRACTICE a":                           "ours",
		"COMMON_PRACTICE a; GOVUK_WRITEOFF b":         "read",
	} {
		refs, err := ParseRefs(text)
		if err != nil {
			t.Fatal(err)
		}
		if got := Refs(refs).Reading(); got != want || Refs(refs).String() != text {
			t.Errorf("%s: %s, want %s", refs, got, want)
		}
	}
}
