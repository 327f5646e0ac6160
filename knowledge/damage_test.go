package knowledge

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// Every zone has something to pick, few enough for a phone, and no words twice.
func TestEveryZoneHasDamageToPick(t *testing.T) {
	for _, place := range rebuild.ZonePlaces {
		list := DamagesAt(place.Key)
		if len(list) < 4 || len(list) > 14 {
			t.Errorf("%s: %d kinds of damage; want 4 to 14", place.Key, len(list))
		}
		words := map[string]bool{}
		for _, d := range list {
			if words[strings.ToLower(d.Seen)] {
				t.Errorf("%s: %q stands there twice", place.Key, d.Seen)
			}
			words[strings.ToLower(d.Seen)] = true
		}
	}
	if n := len(Damages()); n < 60 {
		t.Errorf("only %d kinds of damage", n)
	}
	if len(DamagesAt("moon")) > 0 {
		t.Error("damage on the moon")
	}
}

func TestDamageSpeaksTheWordsOfARebuild(t *testing.T) {
	for _, d := range Damages() {
		for _, zone := range d.Zones {
			if rebuild.ZoneName(zone) == zone {
				t.Errorf("%s: there is no zone %q", d.Key, zone)
			}
		}
		if len(d.Seen) > 40 {
			t.Errorf("%s: %q is too long for a button", d.Key, d.Seen)
		}
		if !slices.Contains(rebuild.Severities, rebuild.Severity(d.Severity)) {
			t.Errorf("%s: there is no severity %q", d.Key, d.Severity)
		}
		if d.Severity == string(rebuild.Danger) && !d.Safety {
			t.Errorf("%s: dangerous, but not safety-critical", d.Key)
		}
		if d.Found != "" && !slices.Contains(rebuild.WaysOfFinding, rebuild.HowFound(d.Found)) {
			t.Errorf("%s: nothing is found %q", d.Key, d.Found)
		}
	}
}

// Every job is one that a rebuild takes: no route in it is barred for its safety
// class, and some route is one by which it can be planned.
func TestDamageJobsCanBeTaken(t *testing.T) {
	suggested := map[string][]string{}
	for _, d := range Damages() {
		for _, key := range d.Jobs {
			suggested[key] = append(suggested[key], d.Zones...)
		}
	}
	for _, j := range DamageJobs() {
		zones := suggested[j.Key]
		if len(zones) == 0 {
			t.Errorf("%s: no damage suggests it", j.Key)
		}
		for _, zone := range zones {
			if strings.Contains(j.Title, "{side}") && !strings.Contains(zone, "left") && !strings.Contains(zone, "right") {
				t.Errorf("%s: its title names a side, but %s has none", j.Key, zone)
			}
		}
		job := rebuild.Job{Title: j.Title, Safety: rebuild.SafetyClass(j.Class), Needed: 1, State: rebuild.JobOpen}
		for _, r := range j.Routes {
			route := asRoute(r)
			for _, bar := range rebuild.Bars(job.Safety, route) {
				t.Errorf("%s, %s: %s", j.Key, r.Name, bar.Reason)
			}
			job.Routes = append(job.Routes, route)
		}
		if err := job.Validate(EstimateCurrency); err != nil {
			t.Errorf("%s: %v", j.Key, err)
		}
		if _, ok := job.Planned(); !ok {
			t.Errorf("%s: no route by which it can be planned", j.Key)
		}
		if !slices.ContainsFunc(rebuild.StagePlaces[:], func(p rebuild.StagePlace) bool { return p.Key == j.Stage }) {
			t.Errorf("%s: there is no stage %q", j.Key, j.Stage)
		}
	}
}

func asRoute(r DamageRoute) rebuild.Route {
	route := rebuild.Route{Kind: rebuild.RouteKind(r.Kind), Method: rebuild.Method(r.Method), Name: r.Name, Works: 1}
	route.Cost.Low, route.Cost.Likely, route.Cost.High = r.Cost[0], r.Cost[1], r.Cost[2]
	route.Hours.Low, route.Hours.Likely, route.Hours.High = r.Hours[0], r.Hours[1], r.Hours[2]
	if r.Works != nil {
		route.Works = *r.Works
		route.Fallback = &rebuild.Fallback{Name: r.Fallback.Name}
	}
	return route
}

// A guess is written with two digits, so that it looks like one.
func TestEstimatesHaveTwoDigits(t *testing.T) {
	two := func(where string, f Figures) {
		for _, v := range f {
			if rounded, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 2, 64), 64); math.Abs(rounded-v) > 1e-9 {
				t.Errorf("%s: %g has more than two digits", where, v)
			}
		}
	}
	for _, j := range DamageJobs() {
		for _, r := range j.Routes {
			two(j.Key, r.Cost)
			if r.Fallback != nil {
				two(j.Key, r.Fallback.Cost)
			}
		}
	}
	for _, g := range hiddenGroups() {
		two(g.Key, g.Light.Cost)
		two(g.Key, g.Medium.Cost)
		two(g.Key, g.Hard.Cost)
	}
	for _, r := range RoughRates() {
		two(r.Currency, Figures{r.Factor})
	}
}

func TestEveryZoneHasAReserve(t *testing.T) {
	for _, place := range rebuild.ZonePlaces {
		for _, hit := range []string{HitLight, HitMedium, HitHard} {
			if _, ok := HiddenAt(place.Key, hit); !ok {
				t.Errorf("%s, hit %s: no reserve", place.Key, hit)
			}
		}
		if _, ok := HiddenAt(place.Key, HitNone); ok {
			t.Errorf("%s: a reserve although it was not hit", place.Key)
		}
	}
	if _, ok := HiddenAt("moon", HitHard); ok {
		t.Error("a reserve on the moon")
	}
	if r, ok := RoughRateFor(EstimateCurrency); !ok || r.Factor != 1 {
		t.Errorf("the estimates' own currency counts %g", r.Factor)
	}
	if _, ok := RoughRateFor("XXX"); ok {
		t.Error("a rate for no currency")
	}
}

func TestDamageListsAreChecked(t *testing.T) {
	const (
		damage = "- {key: a, zones: [roof], seen: Dent, severity: minor, hit: light, jobs: [dent], ref: COMMON_PRACTICE x}\n"
		job    = "- {key: a, title: Mend, class: none, stage: finish, routes: [{kind: new, method: plain, name: N, cost: [1, 2, 3], hours: [1, 1, 1]}], ref: COMMON_PRACTICE x}\n"
		hidden = "- {key: a, zones: [roof], light: {expected: 1, cost: [1, 2, 3]}, medium: {expected: 2, cost: [2, 3, 4]}, hard: {expected: 3, cost: [3, 4, 5]}, ref: COMMON_PRACTICE x}\n"
		depth  = "- {key: a, name: A, open: 0.5, ref: COMMON_PRACTICE x}\n"
		rate   = "- {currency: EUR, factor: 1.2, as_at: 2025-01-01, ref: COMMON_PRACTICE x}\n"
	)
	with := func(text, old, new string) []byte { return []byte(strings.Replace(text, old, new, 1)) }
	tests := []struct {
		name string
		err  error
		want string
	}{
		{"damage", errOf(parse("", []byte(damage), checkDamages)), ""},
		{"no zone", errOf(parse("", with(damage, "[roof]", "[]"), checkDamages)), "names no zone"},
		{"unknown hit", errOf(parse("", with(damage, "light", "gale"), checkDamages)), `hit "gale"`},
		{"no job", errOf(parse("", with(damage, "[dent]", "[]"), checkDamages)), "suggests no job"},
		{"unknown job", errOf(parse("", with(damage, "[dent]", "[sing]"), checkDamages)), `no job "sing"`},
		{"no words", errOf(parse("", with(damage, "Dent", `""`), checkDamages)), "a text is missing"},
		{"job", errOf(parse("", []byte(job), checkDamageJobs)), ""},
		{"no routes", errOf(parse("", []byte("- {key: a, title: Mend, class: none, stage: finish, routes: [], ref: COMMON_PRACTICE x}\n"), checkDamageJobs)), "0 routes"},
		{"once but placed", errOf(parse("", with(job, "Mend", `"Mend: {zone}", once: true`), checkDamageJobs)), "cannot name a place"},
		{"low above likely", errOf(parse("", with(job, "[1, 2, 3]", "[3, 2, 3]"), checkDamageJobs)), "low <= likely"},
		{"works without fallback", errOf(parse("", with(job, "name: N", "name: N, works: 0.5"), checkDamageJobs)), "both or none"},
		{"works for certain", errOf(parse("", with(job, "name: N", "name: N, works: 1"), checkDamageJobs)), "leave it out"},
		{"fallback without name", errOf(parse("", with(job, "name: N", `name: N, works: 0.5, fallback: {name: "", cost: [1, 1, 1], hours: [1, 1, 1]}`), checkDamageJobs)), "fallback has no name"},
		{"route without name", errOf(parse("", with(job, "name: N", `name: ""`), checkDamageJobs)), "name is missing"},
		{"hidden", errOf(parse("", []byte(hidden), checkHidden)), ""},
		{"zone in two groups", errOf(parse("", with(hidden+hidden, "key: a", "key: b"), checkHidden)), "another group"},
		{"lighter is worse", errOf(parse("", with(hidden, "expected: 2", "expected: 0.5"), checkHidden)), "a harder blow"},
		{"depth", errOf(parse("", []byte(depth), checkDepths)), ""},
		{"depths out of order", errOf(parse("", with(depth+depth, "key: a", "key: b"), checkDepths)), "more than the 0.5"},
		{"rate", errOf(parse("", []byte(rate), checkRoughRates)), ""},
		{"rate of nothing", errOf(parse("", with(rate, "1.2", "0"), checkRoughRates)), "more than 0"},
		{"rate of no day", errOf(parse("", with(rate, "2025-01-01", "then"), checkRoughRates)), "expected a date"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { wantError(t, tt.err, tt.want) })
	}
}

func TestDamageListsAreCopies(t *testing.T) {
	Damages()[0].Zones[0] = "scribbled"
	Damages()[0].Jobs[0] = "scribbled"
	Depths()[0].Refs[0].Key = "scribbled"
	RoughRates()[0].Refs[0].Key = "scribbled"
	for _, j := range DamageJobs() {
		j.Routes[0].Name = "scribbled"
		if j.Routes[0].Works != nil {
			*j.Routes[0].Works = -1
			j.Routes[0].Fallback.Name = "scribbled"
		}
	}
	for _, j := range DamageJobs() {
		if r := j.Routes[0]; r.Name == "scribbled" || r.Works != nil && (*r.Works < 0 || r.Fallback.Name == "scribbled") {
			t.Fatalf("%s: a caller can change what the next one gets", j.Key)
		}
	}
	if Damages()[0].Zones[0] == "scribbled" || Damages()[0].Jobs[0] == "scribbled" ||
		Depths()[0].Refs[0].Key == "scribbled" || RoughRates()[0].Refs[0].Key == "scribbled" {
		t.Error("a caller can change what the next one gets")
	}
}
