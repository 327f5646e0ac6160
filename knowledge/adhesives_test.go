package knowledge

import (
	"strings"
	"testing"
)

func TestAdhesiveTables(t *testing.T) {
	kinds := map[string]int{}
	for _, k := range BondKnockDowns() {
		kinds[k.Kind]++
	}
	if len(AdhesiveKinds()) < 3 || kinds["preparation"] < 3 || kinds["temperature"] < 3 || kinds["service"] < 2 {
		t.Errorf("%d kinds of adhesives, knock-downs %v", len(AdhesiveKinds()), kinds)
	}
	for _, tt := range []struct {
		err  error
		want string
	}{
		{checkAdhesives([]AdhesiveKind{{Key: "glue", Hazards: []string{"boredom"}}}), `glue: "boredom" is no hazard`},
		{checkAdhesives([]AdhesiveKind{{Key: "glue"}}), "glue: nothing to heed"},
		{checkKnockDowns([]BondKnockDown{{Kind: "mood", Key: "x"}}), `x: kind "mood"`},
		{checkKnockDowns([]BondKnockDown{{Kind: "service", Key: "x", Share: 1.5}}), "x: share 1.5"},
		{checkKnockDowns([]BondKnockDown{{Kind: "temperature", Key: "a", Share: 1, UpToC: 60}, {Kind: "temperature", Key: "b", Share: 1, UpToC: 30}}), "b: expected temperatures in order"},
	} {
		if tt.err == nil || !strings.HasPrefix(tt.err.Error(), tt.want) {
			t.Errorf("got %v, want %s", tt.err, tt.want)
		}
	}
}
