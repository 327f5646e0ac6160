package store_test

import (
	"math"

	"pgregory.net/rapid"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// anyRebuildChange draws something that a person could do to the rebuild; most of it
// is valid, some is refused.
func anyRebuildChange(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) (rebuild.Change, error) {
	if rapid.IntRange(0, 2).Draw(t, "area") == 0 {
		return anyStripChange(t, r, files)
	}
	if rapid.IntRange(0, 3).Draw(t, "to be proven") == 0 {
		return anyProofChange(t, r, files)
	}
	if rapid.IntRange(0, 3).Draw(t, "to be planned") == 0 {
		return anyPlanChange(t, r)
	}
	switch rapid.SampledFrom([]string{
		"add finding", "add finding", "add finding", "edit finding", "delete finding", "add job", "add job", "edit job", "delete job", "set route",
		"delete route", "choose", "outcome", "add entries", "add entries", "edit entry", "delete entry", "car", "zone", "stage",
		"appraisal", "appraisal", "buy", "add evidence", "add evidence", "edit evidence", "delete evidence",
		"add case", "add case", "edit case", "delete case",
	}).Draw(t, "what") {
	case "add finding":
		return r.AddFinding(anyFinding(t, files))
	case "edit finding":
		return edit(t, r.Findings, func(old rebuild.Finding) (rebuild.Change, error) {
			f := anyFinding(t, files)
			f.ID, f.Rev = old.ID, old.Rev
			return r.EditFinding(f)
		})
	case "delete finding":
		return edit(t, r.Findings, func(f rebuild.Finding) (rebuild.Change, error) { return r.DeleteFinding(f.ID, f.Rev) })
	case "add job":
		return r.AddJob(anyJob(t, r, files))
	case "edit job":
		return edit(t, r.Jobs, func(old rebuild.Job) (rebuild.Change, error) {
			j := anyJob(t, r, files)
			j.ID, j.Rev, j.Chosen = old.ID, old.Rev, 0
			return r.EditJob(j)
		})
	case "delete job":
		return edit(t, r.Jobs, func(j rebuild.Job) (rebuild.Change, error) { return r.DeleteJob(j.ID, j.Rev) })
	case "set route":
		return edit(t, r.Jobs, func(j rebuild.Job) (rebuild.Change, error) {
			route := anyRoute(t)
			if len(j.Routes) > 0 && rapid.Bool().Draw(t, "replaces") {
				route.ID = j.Routes[0].ID
			}
			return r.SetRoute(j.ID, j.Rev, route)
		})
	case "delete route":
		return withRoute(t, r, r.DeleteRoute)
	case "choose":
		return withRoute(t, r, r.ChooseRoute)
	case "outcome":
		return edit(t, r.Jobs, func(j rebuild.Job) (rebuild.Change, error) {
			return r.SetOutcome(j.ID, j.Rev, rebuild.Outcome{
				State: rapid.SampledFrom(rebuild.JobStates).Draw(t, "state"), DoneOn: anyDay(t), HoursSpent: anyNumber(t, 1000), Proof: anyText(t, 0, 50), Proofs: anyFiles(t, files),
				Failed: rapid.Bool().Draw(t, "failed"), CostNothing: rapid.Bool().Draw(t, "cost nothing"), WaitingFor: anyText(t, 0, 20),
			})
		})
	case "add entries":
		return r.AddEntries(rapid.SliceOfN(rapid.Custom(func(t *rapid.T) rebuild.Entry { return anyEntry(t, r, files) }), 1, 3).Draw(t, "entries")...)
	case "edit entry":
		return edit(t, r.Entries, func(old rebuild.Entry) (rebuild.Change, error) {
			e := anyEntry(t, r, files)
			e.ID, e.Rev = old.ID, old.Rev
			return r.EditEntry(e)
		})
	case "delete entry":
		return edit(t, r.Entries, func(e rebuild.Entry) (rebuild.Change, error) { return r.DeleteEntry(e.ID, e.Rev) })
	case "car":
		car := anyCar(t)
		car.Rev = r.Car.Rev
		return r.EditCar(car)
	case "appraisal":
		a := anyAppraisal(t, r.Car.Currency)
		a.Rev = r.Appraisal.Rev
		return r.EditAppraisal(a, "2026-02-28")
	case "add evidence":
		return r.AddEvidence(anyEvidence(t, r, files))
	case "edit evidence":
		return edit(t, r.Evidence, func(old rebuild.Evidence) (rebuild.Change, error) {
			e := anyEvidence(t, r, files)
			e.ID, e.Rev = old.ID, old.Rev
			return r.EditEvidence(e)
		})
	case "delete evidence":
		return edit(t, r.Evidence, func(e rebuild.Evidence) (rebuild.Change, error) { return r.DeleteEvidence(e.ID, e.Rev) })
	case "add case":
		return r.AddCase(anyCase(t, r))
	case "edit case":
		return edit(t, r.Cases, func(old rebuild.Case) (rebuild.Change, error) {
			k := anyCase(t, r)
			k.ID, k.Rev = old.ID, old.Rev
			return r.EditCase(k)
		})
	case "delete case":
		return edit(t, r.Cases, func(k rebuild.Case) (rebuild.Change, error) { return r.DeleteCase(k.ID, k.Rev) })
	case "buy":
		return r.Buy(anyPurchase(t, r.Car.Currency), "2026-02-28")
	case "zone":
		return edit(t, r.Zones[:4], func(old rebuild.Zone) (rebuild.Change, error) {
			return r.EditZone(rebuild.Zone{
				Number: old.Number, Rev: old.Rev, OpenShare: anyNumber(t, 1), HiddenExpected: anyNumber(t, 5),
				HiddenCost: anyRange(t), Note: anyText(t, 0, 50),
			})
		})
	}
	return edit(t, r.Stages[:4], func(s rebuild.Stage) (rebuild.Change, error) {
		s.State, s.DoneOn, s.Note = rapid.SampledFrom([]rebuild.StageState{rebuild.StageAhead, rebuild.StageDone}).Draw(t, "state"), anyDay(t), anyText(t, 0, 20)
		return r.EditStage(s)
	})
}

func edit[T rebuild.Item](t *rapid.T, items []T, f func(T) (rebuild.Change, error)) (rebuild.Change, error) {
	if len(items) == 0 {
		return rebuild.Change{}, &rebuild.Missing{}
	}
	return f(items[rapid.IntRange(0, len(items)-1).Draw(t, "item")])
}

func withRoute(t *rapid.T, r *rebuild.Rebuild, f func(job int64, rev int, route int64) (rebuild.Change, error)) (rebuild.Change, error) {
	return edit(t, r.Jobs, func(j rebuild.Job) (rebuild.Change, error) {
		if len(j.Routes) == 0 {
			return f(j.ID, j.Rev, 0)
		}
		return f(j.ID, j.Rev, j.Routes[rapid.IntRange(0, len(j.Routes)-1).Draw(t, "route")].ID)
	})
}

func anyCar(t *rapid.T) rebuild.Car {
	currency := rapid.SampledFrom([]string{"GBP", "GBP", "EUR", "JPY", "KWD"}).Draw(t, "currency")
	return rebuild.Car{
		Name: anyText(t, 1, 20), Maker: "Norvane", Model: "Skua", Year: rapid.SampledFrom([]int{0, 2019}).Draw(t, "year"), VIN: "TEST", Plate: anyText(t, 0, 10),
		Colour: anyText(t, 0, 10), Jurisdiction: rapid.SampledFrom(rebuild.Jurisdictions).Draw(t, "jurisdiction"), Category: "S", DistanceUnit: "km",
		Distance: rapid.Int64Range(0, 300_000).Draw(t, "distance"), BoughtOn: anyDay(t), Currency: currency, Ceiling: anySum(t, currency, 0), HourValue: anySum(t, currency, 0),
		HoursPerWeek: anyNumber(t, 168), Correlation: anyNumber(t, 0.9), WantedBy: anyDay(t), Note: anyText(t, 0, 100), Shelved: rapid.Bool().Draw(t, "shelved"), Candidate: rapid.Bool().Draw(t, "candidate"),
	}
}

func anyFinding(t *rapid.T, files []rebuild.Attachment) rebuild.Finding {
	return rebuild.Finding{
		Zone: anyZone(t), What: anyText(t, 1, 40), HowFound: rapid.SampledFrom(rebuild.WaysOfFinding).Draw(t, "how"), Severity: rapid.SampledFrom(rebuild.Severities).Draw(t, "severity"),
		Safety: rapid.Bool().Draw(t, "safety"), On: "2026-02-03", Photos: anyFiles(t, files), Dismissed: anyText(t, 0, 10),
	}
}

func anyJob(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) rebuild.Job {
	j := rebuild.Job{
		Title: anyText(t, 1, 40), Zone: anyZone(t), Stage: rapid.Int64Range(0, 9).Draw(t, "stage"), Safety: rapid.SampledFrom(rebuild.SafetyClasses).Draw(t, "class"),
		Needed: anyNumber(t, 1), Routes: rapid.SliceOfN(rapid.Custom(anyRoute), 0, 3).Draw(t, "routes"), Reference: anySum(t, r.Car.Currency, 0), ReferenceFrom: anyText(t, 0, 20),
		State: rapid.SampledFrom([]rebuild.JobState{rebuild.JobOpen, rebuild.JobWaiting, rebuild.JobDoing}).Draw(t, "state"), Proofs: anyFiles(t, files), Note: anyText(t, 0, 40),
	}
	for _, f := range r.Findings {
		if rapid.Bool().Draw(t, "settles") {
			j.Findings = append(j.Findings, f.ID)
		}
	}
	j.Chosen = rapid.Int64Range(0, int64(len(j.Routes))).Draw(t, "chosen")
	return j
}

func anyRoute(t *rapid.T) rebuild.Route {
	route := rebuild.Route{
		Kind: rapid.SampledFrom(rebuild.RouteKinds).Draw(t, "kind"), Method: rapid.SampledFrom(rebuild.Methods).Draw(t, "method"), Name: anyText(t, 1, 20),
		Cost: anyRange(t), Hours: anyRange(t), Works: 1, Basis: anyText(t, 0, 20),
	}
	if rapid.Bool().Draw(t, "may fail") {
		route.Works = anyNumber(t, 1)
		route.Fallback = &rebuild.Fallback{Name: anyText(t, 0, 20), Cost: anyRange(t), Hours: anyRange(t)}
	}
	return route
}

func anyEntry(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) rebuild.Entry {
	e := rebuild.Entry{
		On: "2026-02-04", Amount: amount.New(rapid.Int64Range(-1_000_000_000_000, 1_000_000_000_000).Filter(func(n int64) bool { return n != 0 }).Draw(t, "amount"), r.Car.Currency), Kind: rapid.SampledFrom(rebuild.EntryKinds).Draw(t, "kind"),
		Supplier: anyText(t, 0, 20), What: anyText(t, 1, 20), General: rapid.Bool().Draw(t, "general"), Receipts: anyFiles(t, files),
	}
	if rapid.Bool().Draw(t, "taxed") {
		e.Tax = amount.New(e.Amount.Minor/6, r.Car.Currency)
	}
	if len(r.Jobs) > 0 && rapid.Bool().Draw(t, "of a job") {
		e.JobID = r.Jobs[rapid.IntRange(0, len(r.Jobs)-1).Draw(t, "job")].ID
	}
	return e
}

func anyFiles(t *rapid.T, files []rebuild.Attachment) []rebuild.Attachment {
	var some []rebuild.Attachment
	for _, f := range files {
		if rapid.IntRange(0, 3).Draw(t, "hangs") == 0 {
			f.Caption = anyText(t, 0, 10)
			some = append(some, f)
		}
	}
	if some == nil && rapid.Bool().Draw(t, "empty rather than nil") {
		some = []rebuild.Attachment{}
	}
	return some
}

func anySum(t *rapid.T, currency string, least int64) amount.Amount {
	if rapid.Bool().Draw(t, "not given") {
		return amount.Amount{}
	}
	return amount.New(rapid.Int64Range(least, 1_000_000_000_000).Draw(t, "minor"), currency)
}

func anyRange(t *rapid.T) uncertain.Range {
	low := anyNumber(t, 1000)
	likely := low + anyNumber(t, 1000)
	return uncertain.Range{Low: low, Likely: likely, High: likely + anyNumber(t, 1000)}
}

// anyNumber draws from 0 to most; a negative zero too.
func anyNumber(t *rapid.T, most float64) float64 {
	n := rapid.Float64Range(0, most).Draw(t, "number")
	if n == 0 && rapid.Bool().Draw(t, "signed") {
		return math.Copysign(0, -1)
	}
	return n
}

func anyZone(t *rapid.T) string {
	return rebuild.ZonePlaces[rapid.IntRange(0, len(rebuild.ZonePlaces)-1).Draw(t, "zone")].Key
}

func anyDay(t *rapid.T) string {
	return rapid.SampledFrom([]string{"", "2026-02-28", "2024-02-29", "1999-12-31"}).Draw(t, "day")
}

// anyText draws what a person may type, and what a spreadsheet takes for a formula.
func anyText(t *rapid.T, least, most int) string {
	letters := []rune(`abc =+-@'",;` + "\t\r\n\u00e4\u20ac\U0001f697\u2028<>&\\/{}")
	return rapid.StringOfN(rapid.SampledFrom(letters), least, most, -1).Draw(t, "text")
}
