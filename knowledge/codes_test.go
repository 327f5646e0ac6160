package knowledge

import (
	"strings"
	"testing"
)

func TestMistakesInCodeGroups(t *testing.T) {
	for text, word := range map[string]string{
		"- {from: P1300, to: P13FF, text: a, ref: SAE_J2012 x}": "no standard code",
		"- {from: P0300, to: P2300, text: a, ref: SAE_J2012 x}": "not a run",
		"- {from: P0310, to: P0300, text: a, ref: SAE_J2012 x}": "not a run",
		"- {from: P0300, to: P0310, ref: SAE_J2012 x}":          "a text is missing",
	} {
		if _, err := parse("code_groups.yaml", []byte(text), checkCodeGroups); err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("%s: %v; want %q", text, err, word)
		}
	}
	for text, word := range map[string]string{
		"- {jurisdiction: XX, as_at: n, ref: CFR_40_85 x}":                        "no jurisdiction",
		"- {jurisdiction: US, from: 2001, until: 2000, as_at: n, ref: CFR_40_85}": "before it begins",
		"- {jurisdiction: US, ignition: steam, as_at: n, ref: CFR_40_85 x}":       "ignition",
		"- {jurisdiction: US, ref: CFR_40_85 x}":                                  "no date",
	} {
		if _, err := parse("readiness.yaml", []byte(text), checkReadiness); err == nil || !strings.Contains(err.Error(), word) {
			t.Errorf("%s: %v; want %q", text, err, word)
		}
	}
	if len(CodeGroups()) < 40 || len(ReadinessRules()) < 8 {
		t.Errorf("%d groups, %d rules", len(CodeGroups()), len(ReadinessRules()))
	}
}
