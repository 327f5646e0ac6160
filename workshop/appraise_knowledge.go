package workshop

import (
	"wreckwright/appraise/history"
	"wreckwright/appraise/identity"
	"wreckwright/knowledge"
)

// VINTables are knowledge's tables of regions and countries as the engine takes
// them.
func VINTables() identity.Tables {
	spans := func(list []knowledge.VINSpan) (out []identity.Span) {
		for _, s := range list {
			out = append(out, identity.Span{
				From: s.From, To: s.To, Region: s.Region, Country: s.Country,
				CheckDigit: s.CheckDigit, Position7: s.Position7, Source: s.Refs.String(),
			})
		}
		return out
	}
	return identity.Tables{Regions: spans(knowledge.VINRegions()), Countries: spans(knowledge.VINCountries())}
}

// HistoryRules are knowledge's jurisdictions, categories and rules as the engine
// takes them.
func HistoryRules() history.Rules {
	var rules history.Rules
	for _, j := range knowledge.Jurisdictions() {
		rules.Places = append(rules.Places, historyPlace(j))
	}
	for _, c := range knowledge.Categories() {
		rules.Categories = append(rules.Categories, history.Category{
			Jurisdiction: c.Jurisdiction, Code: c.Code, Name: c.Name, Meaning: c.Meaning, Aliases: c.Aliases, Unnamed: c.Unnamed,
			Road: c.Road, First: c.First, Tell: c.Tell, From: c.From, Until: c.Until,
			Rank: c.Rank, Structural: c.Structural, Lifts: c.Lifts, Basis: historyBasis(c.Refs, c.AsAt),
		})
	}
	for _, r := range knowledge.HistoryRules() {
		rules.Rules = append(rules.Rules, history.Rule{
			Key: r.Rule, Severity: r.Severity, Text: r.Text, Ask: r.Ask, Limits: r.Limits, Basis: historyBasis(r.Refs, r.AsAt),
		})
	}
	return rules
}

func historyPlace(j knowledge.Jurisdiction) history.Place {
	p := history.Place{
		Key: j.Key, Name: j.Name, Authority: j.Authority, Unmarked: j.Unmarked,
		Test:    history.Test{Name: j.Test.Name, FirstYears: j.Test.FirstYears, EveryYears: j.Test.EveryYears, YearlyFrom: j.Test.YearlyFrom},
		PerYear: j.PerYear, PerYearUnit: j.PerYearUnit, ForeignAs: j.ForeignAs,
		MileageFrom: j.MileageFrom, MileageYears: j.MileageYears, Basis: historyBasis(j.Refs, j.AsAt),
	}
	for _, d := range j.Duties {
		p.Duties = append(p.Duties, history.Duty{Tell: d.Tell != "", When: d.Do + d.Tell, Text: d.Text, Basis: historyBasis(d.Refs, d.AsAt)})
	}
	return p
}

// historyBasis says what a text rests on: its citations, and how well the weakest of
// them was read.
func historyBasis(refs knowledge.Refs, asAt string) history.Basis {
	b := history.Basis{Source: refs.String(), AsAt: asAt}
	switch refs.Reading() {
	case "ours":
		b.Read = history.BasisOwn
	case "from memory":
		b.Read = history.BasisMemory
	case "second hand", "abstract only":
		b.Read = history.BasisSecond
	default:
		b.Read = history.BasisRead
	}
	return b
}
