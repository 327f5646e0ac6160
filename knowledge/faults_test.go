package knowledge

import (
	"slices"
	"testing"

	"wreckwright/diagnose/faultmodel"
	"wreckwright/rebuild"
)

// parsedFaults are the fault models as the reader of fault models gives them.
func parsedFaults(t *testing.T) map[string]faultmodel.Model {
	t.Helper()
	all := map[string]faultmodel.Model{}
	for _, m := range FaultModels() {
		parsed, err := faultmodel.Parse("knowledge/faults/"+m.Key+".yaml", m.YAML)
		if err != nil {
			t.Fatal(err)
		}
		all[m.Key] = parsed
	}
	return all
}

// TestSymptomsHaveTheirModels names the symptoms that the program must know;
// the list is the project's, so it stands here.
func TestSymptomsHaveTheirModels(t *testing.T) {
	for _, key := range []string{
		"hydraulic-recharge", "hum-with-speed", "cranks-no-start", "no-crank", "rough-idle", "runs-hot", "battery-flat",
		"brake-pull", "steering-off-centre", "vibration-at-speed", "coolant-loss", "restraint-lamp", "clutch-slips-drags",
		"exhaust-flap",
	} {
		if _, ok := FaultModelFor(key); !ok {
			t.Errorf("no fault model %s", key)
		}
	}
	if _, ok := FaultModelFor("haunted"); ok {
		t.Error("found a fault model that is not there")
	}
}

func TestFaultModelsAreCopies(t *testing.T) {
	FaultModels()[0].YAML[0] = '!'
	first := FaultModels()[0]
	again, _ := FaultModelFor(first.Key)
	if first.YAML[0] == '!' || again.YAML[0] == '!' {
		t.Error("a caller can change what the next one gets")
	}
}

// TestHeadsAreThoseOfTheFiles: the title and zone that are read without parsing
// are those that the reader gives, no two titles are alike and each zone is one
// of a rebuild.
func TestHeadsAreThoseOfTheFiles(t *testing.T) {
	parsed := parsedFaults(t)
	titles := map[string]string{}
	for _, m := range FaultModels() {
		if p := parsed[m.Key]; m.Title == "" || m.Title != p.Title || m.Zone != p.Zone {
			t.Errorf("%s: head %q in %q, the file says %q in %q", m.Key, m.Title, m.Zone, p.Title, p.Zone)
		}
		if before, ok := titles[m.Title]; ok {
			t.Errorf("%s: has the title of %s", m.Key, before)
		}
		titles[m.Title] = m.Key
		if !slices.ContainsFunc(rebuild.ZonePlaces[:], func(p rebuild.ZonePlace) bool { return p.Key == m.Zone }) {
			t.Errorf("%s: there is no zone %q", m.Key, m.Zone)
		}
	}
}
