package workshop

import (
	"strings"

	"wreckwright/prove/buildfile"
)

// editionRules say what becomes of each text and sum of rebuild.json in an
// edition that leaves something out, by path; lists are left aside. A test holds
// that no text of the data is missing here.
func editionRules() map[string]buildfile.Rule {
	rules := map[string]buildfile.Rule{}
	set := func(rule buildfile.Rule, under, names string) {
		for name := range strings.FieldsSeq(names) {
			if under != "" {
				name = under + "." + name
			}
			rules[name] = rule
		}
	}
	set(buildfile.Keep, "", "changed_at")
	set(buildfile.Keep, "car", "maker model colour jurisdiction category distance_unit bought_on currency wanted_by")
	set(buildfile.Text, "car", "name note")
	set(buildfile.VIN, "car", "vin")
	set(buildfile.Blank, "car", "plate")

	set(buildfile.Keep, "appraisal", "first_used events.on events.kind events.unit events.category events.result events.jurisdiction events.from")
	set(buildfile.Text, "appraisal", "events.note")
	set(buildfile.Sum, "appraisal", "value marker_discount")
	set(buildfile.List, "appraisal", "fees other")
	set(buildfile.Sum, "appraisal.bought", "max_bid safe_bid chance expected_profit cost")
	set(buildfile.Keep, "appraisal.bought", "on")

	set(buildfile.Sum, "zones", "hidden_cost")
	set(buildfile.Text, "zones", "note")
	set(buildfile.Keep, "stages", "state done_on")
	set(buildfile.Text, "stages", "note")

	set(buildfile.Keep, "findings", "zone how_found severity on")
	set(buildfile.Text, "findings", "what dismissed")

	set(buildfile.Keep, "jobs", "zone safety state done_on")
	set(buildfile.Text, "jobs", "title waiting_for proof note")
	set(buildfile.Sum, "jobs", "estimate reference_from")
	set(buildfile.Keep, "jobs.routes", "kind method")
	set(buildfile.Text, "jobs.routes", "name")
	set(buildfile.Sum, "jobs.routes", "cost basis")
	set(buildfile.Text, "jobs.routes.fallback", "name")
	set(buildfile.Sum, "jobs.routes.fallback", "cost")

	set(buildfile.Keep, "entries", "on kind")
	set(buildfile.Text, "entries", "what")
	set(buildfile.Blank, "entries", "supplier")
	set(buildfile.List, "entries", "receipts") // they show what was paid

	set(buildfile.Keep, "evidence", "on at instrument phase verdict engine figures.unit")
	set(buildfile.Text, "evidence", "title note settings why figures.name") // what an engine says names nobody but where it was told to

	set(buildfile.Keep, "cases", "on model_from not_now state cause steps.at steps.kind steps.what steps.outcome")
	set(buildfile.Text, "cases", "title note steps.note")
	set(buildfile.Sum, "cases", "model") // what its tests and repairs cost

	set(buildfile.Keep, "strip", "at zone condition settled_on back_at fasteners.thread fasteners.tool fasteners.bag fasteners.arrived_on")
	set(buildfile.Text, "strip", "what back_anyway note fasteners.to_buy fasteners.note connectors.name marks.text")
	set(buildfile.Person, "strip", "back_by")

	set(buildfile.Keep, "joints", "zone safety thread source lubricant locking undone.at tightenings.at tightenings.calibrated_on tightenings.second_at")
	set(buildfile.Text, "joints", "title source_where note undone.why tightenings.alone tightenings.note")
	set(buildfile.Person, "joints", "tightenings.who tightenings.second_by")

	set(buildfile.Keep, "tools", "class calibrated_on")
	set(buildfile.Text, "tools", "title note")
	set(buildfile.Blank, "tools", "certificate")

	set(buildfile.Keep, "gate_passes", "gate at against.rule against.kind withdrawn_at")
	set(buildfile.Text, "gate_passes", "against.text reason withdrawn_why")
	set(buildfile.Person, "gate_passes", "by")

	set(buildfile.Keep, "shakedown", "stage at result")
	set(buildfile.Text, "shakedown", "felt heard smelt note")
	set(buildfile.Person, "shakedown", "by")

	set(buildfile.Keep, "rehearsal", "key result at")
	set(buildfile.Text, "rehearsal", "note")
	set(buildfile.Person, "rehearsal", "by")
	set(buildfile.Keep, "confirmations", "of key at")
	set(buildfile.Text, "confirmations", "text")
	set(buildfile.Person, "confirmations", "by")
	set(buildfile.Keep, "official_tests", "on jurisdiction result items.key items.rehearsed items.found")
	set(buildfile.Text, "official_tests", "note items.text")
	set(buildfile.Blank, "official_tests", "where")

	planRules(set)

	for _, files := range []string{"findings.photos", "jobs.proofs", "evidence.raw", "strip.photos", "joints.tightenings.photos", "shakedown.photos", "official_tests.photos"} {
		set(buildfile.Keep, files, "hash media_type")
		set(buildfile.Text, files, "caption")
		set(buildfile.FileName, files, "name")
	}
	// By its name a list of taps is told from a log: only names are cut out of it.
	set(buildfile.Text, "evidence", "raw.name")
	return rules
}

// planRules are those of the plan, and of measuring sheets that are half filled.
func planRules(set func(rule buildfile.Rule, under, names string)) {
	set(buildfile.Keep, "sheets", "of phase")
	set(buildfile.Text, "sheets", "title told note")
	set(buildfile.Person, "people", "name")
	set(buildfile.Keep, "people", "away.from away.to extra.on")
	set(buildfile.Blank, "people", "away.why note") // nobody else's business
	set(buildfile.Keep, "things", "from to")
	set(buildfile.Text, "things", "name note")
	set(buildfile.Keep, "milestones", "gate wished_on")
	set(buildfile.Text, "milestones", "name note")
	set(buildfile.Keep, "job_plans", "not_before outside_days slots started_at done_at")
	set(buildfile.Text, "job_plans", "set_up note")
	set(buildfile.Keep, "deliveries", "ordered_on lead_days expected_on arrived_on")
	set(buildfile.Blank, "deliveries", "supplier")
	set(buildfile.Text, "deliveries", "what note")
	set(buildfile.Keep, "timetables", "closed.from closed.to costs.per kept.on kept.p10 kept.p50 kept.p80 kept.p90 kept.reached.key kept.reached.p50 kept.reached.p80 kept.reached.wished")
	set(buildfile.Blank, "timetables", "closed.why")
	set(buildfile.Text, "timetables", "costs.name kept.reached.name note")
}
