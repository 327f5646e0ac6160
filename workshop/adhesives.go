package workshop

import (
	"wreckwright/bench/bond"
	"wreckwright/knowledge"
)

// BondTables are knowledge's adhesives and knock-downs as the engine takes them.
func BondTables() bond.Tables {
	var t bond.Tables
	for _, k := range knowledge.BondKnockDowns() {
		knock := bond.Knock{Key: k.Key, Name: k.Name, Share: k.Share, UpToC: k.UpToC, Source: k.Refs.String()}
		switch k.Kind {
		case "preparation":
			t.Preparations = append(t.Preparations, knock)
		case "temperature":
			t.Temperatures = append(t.Temperatures, knock)
		case "service":
			t.Services = append(t.Services, knock)
		}
	}
	for _, a := range knowledge.AdhesiveKinds() {
		t.Adhesives = append(t.Adhesives, bond.Family{Key: a.Key, Name: a.Name, Hazards: a.Hazards, Cautions: a.Cautions, Source: a.Refs.String()})
	}
	return t
}
