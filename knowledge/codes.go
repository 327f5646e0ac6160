package knowledge

import (
	"fmt"
	"regexp"
	"slices"
	"sync"
)

// CodeGroup is a run of standard fault codes and what they are about.
type CodeGroup struct {
	From     string `yaml:"from"`
	To       string `yaml:"to"`
	Text     string `yaml:"text"`
	Cylinder bool   `yaml:"cylinder"` // the codes count cylinders from the first on
	Refs     Refs   `yaml:"ref"`
}

// ReadinessRule is how many self-tests an inspection lets stand incomplete.
type ReadinessRule struct {
	Jurisdiction string   `yaml:"jurisdiction"`
	Region       string   `yaml:"region"`
	Ignition     string   `yaml:"ignition"` // spark, compression; empty: both
	From         int      `yaml:"from"`     // model years, both included; 0: open
	Until        int      `yaml:"until"`
	Most         *int     `yaml:"most"` // nil: not laid down, as far as is known here
	Only         []string `yaml:"only"` // names of package codes; empty: any
	Note         string   `yaml:"note"`
	AsAt         string   `yaml:"as_at"`
	Refs         Refs     `yaml:"ref"`
}

// CodeGroups lists the groups of standard fault codes.
func CodeGroups() []CodeGroup {
	list := slices.Clone(codeGroups())
	for i := range list {
		list[i].Refs = slices.Clone(list[i].Refs)
	}
	return list
}

// ReadinessRules lists the rules.
func ReadinessRules() []ReadinessRule {
	list := slices.Clone(readinessRules())
	for i := range list {
		list[i].Only, list[i].Refs = slices.Clone(list[i].Only), slices.Clone(list[i].Refs)
		if list[i].Most != nil {
			list[i].Most = new(*list[i].Most)
		}
	}
	return list
}

var (
	codeGroups     = sync.OnceValue(func() []CodeGroup { return load("code_groups.yaml", checkCodeGroups) })
	readinessRules = sync.OnceValue(func() []ReadinessRule { return load("readiness.yaml", checkReadiness) })
)

// standardCode is a code whose meaning the standard gives.
var standardCode = regexp.MustCompile(`^(P[02][0-9A-F]{3}|P3[4-9A-F][0-9A-F]{2}|[BCU]0[0-9A-F]{3})$`)

// checkCodeGroups holds the groups to standard codes, the first before the last.
func checkCodeGroups(list []CodeGroup) error {
	for _, g := range list {
		for _, code := range []string{g.From, g.To} {
			if !standardCode.MatchString(code) {
				return fmt.Errorf("%s to %s: %q is no standard code", g.From, g.To, code)
			}
		}
		if g.From[:2] != g.To[:2] || g.From > g.To {
			return fmt.Errorf("%s to %s: not a run of one kind of code", g.From, g.To)
		}
	}
	return checkEntries(list, func(g CodeGroup) entry { return entry{g.From + " to " + g.To, []string{g.Text}, g.Refs} })
}

// checkReadiness holds the rules to jurisdictions and years that exist.
func checkReadiness(list []ReadinessRule) error {
	for _, r := range list {
		known := slices.ContainsFunc(jurisdictions(), func(j Jurisdiction) bool { return j.Key == r.Jurisdiction })
		switch {
		case !known:
			return fmt.Errorf("there is no jurisdiction %q", r.Jurisdiction)
		case r.Until != 0 && r.Until < r.From:
			return fmt.Errorf("%s %s: ends in %d before it begins in %d", r.Jurisdiction, r.Region, r.Until, r.From)
		case r.Ignition != "" && r.Ignition != "spark" && r.Ignition != "compression":
			return fmt.Errorf("%s %s: ignition %q", r.Jurisdiction, r.Region, r.Ignition)
		case r.Most != nil && *r.Most < 0 || r.AsAt == "":
			return fmt.Errorf("%s %s: a negative number or no date", r.Jurisdiction, r.Region)
		}
	}
	return checkEntries(list, func(r ReadinessRule) entry {
		return entry{fmt.Sprint(r.Jurisdiction, r.Region, r.Ignition, r.From), nil, r.Refs}
	})
}
