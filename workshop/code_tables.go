package workshop

import (
	"wreckwright/bench/codes"
	"wreckwright/knowledge"
)

// CodeTables are knowledge's groups of fault codes and rules of inspections as
// the instrument takes them.
func CodeTables() codes.Tables {
	var t codes.Tables
	for _, g := range knowledge.CodeGroups() {
		t.Groups = append(t.Groups, codes.Group{From: g.From, To: g.To, Text: g.Text, Cylinder: g.Cylinder})
	}
	for _, r := range knowledge.ReadinessRules() {
		t.Rules = append(t.Rules, codes.Rule{
			Jurisdiction: r.Jurisdiction, Region: r.Region, Ignition: r.Ignition, From: r.From, Until: r.Until,
			Most: r.Most, Only: r.Only, Note: r.Note, Source: r.Refs.String(),
		})
	}
	return t
}
