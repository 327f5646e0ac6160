package joint

import (
	"errors"
	"strings"
	"testing"
)

// TestUsualWheelTorquesAreNotCalledWrong: usual figures of makers for wheels, from
// memory.
func TestUsualWheelTorquesAreNotCalledWrong(t *testing.T) {
	for thread, torques := range map[string][]float64{
		"M12x1.25-10.9": {90, 110}, "M12x1.5-8.8": {80, 100}, "M12x1.5-10.9": {80, 110, 120}, "M14x1.25-10.9": {120, 140}, "M14x1.5-10.9": {110, 120, 130, 160},
	} {
		for _, torque := range torques {
			for _, surface := range []string{"oiled", "dry"} {
				r := examine(t, Case{Thread: thread, TorqueNm: &torque, Surface: surface, Head: "cone", Studs: 5})
				if r.Verdict == Fail || r.State == DoesNotFit || r.State == UnderTightened {
					t.Errorf("%s at %g N·m, %s: %s, %s: %s", thread, torque, surface, r.Verdict, r.State, r.Why)
				}
				if r.Aim != nil {
					t.Errorf("%s: %g N·m are offered for a conical seat", thread, r.Aim.TorqueNm)
				}
				for _, c := range r.Conditions {
					if c.State == UnderTightened && (c.Key == "oiled" || c.Key == "dry") {
						t.Errorf("%s at %g N·m, %s, is listed as %s", thread, torque, c.Key, c.State)
					}
				}
			}
		}
	}
}

func TestConicalSeatBetweenLooseAndFair(t *testing.T) {
	for _, tt := range []struct {
		torque  float64
		state   State
		verdict Verdict
		why     string
	}{
		{20, DoesNotFit, Fail, "stays loose"},
		{48, UnderTightened, Fail, "at least 10 % of the proof force is wanted"},
		{130, MakerGoverns, CannotTell, "the maker's figure governs: 24.7 kN"},
		{300, Fair, CannotTell, "at the rough end only"},
		{600, OverYield, Fail, "over yield"},
	} {
		r := examine(t, Case{Thread: "M14x1.5-10.9", TorqueNm: &tt.torque, Surface: "dry", Head: "cone"})
		if r.State != tt.state || r.Verdict != tt.verdict || !strings.Contains(r.Why, tt.why) {
			t.Errorf("%g N·m: %s, %s: %s; expected %s, %s, %q", tt.torque, r.Verdict, r.State, r.Why, tt.verdict, tt.state, tt.why)
		}
	}
	flat := examine(t, Case{Thread: "M14x1.5-10.9", TorqueNm: new(40.0), Surface: "dry"})
	if flat.Verdict != Fail {
		t.Errorf("on a flat face 40 N·m are %s, %s", flat.Verdict, flat.State)
	}
}

func TestNoTorqueIsReckonedForAConicalSeat(t *testing.T) {
	_, err := Examine(Case{Thread: "M14x1.5-10.9", Head: "cone"}, testTables())
	var wrong *InputError
	want := "no torque is reckoned for a conical seat: it would be far above what makers ask for wheels; expected the maker's torque"
	if !errors.As(err, &wrong) || wrong.Input != InTorque || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

// TestHubNutsAreNotCalledWrong: a usual torque of a hub nut, from memory (180 to
// 320 N·m on M20 to M27 fine; the tables here hold their neighbours), stretches its thick thread little; a coarse thread
// of that size and a thin one of that share are loose all the same.
func TestHubNutsAreNotCalledWrong(t *testing.T) {
	for _, c := range []struct {
		thread string
		nm     float64
		want   State
	}{
		{"M18x1.5-10.9", 100, MakerGoverns},
		{"M26x1.5-10.9", 300, MakerGoverns},
		{"M26x1.5-10.9", 60, DoesNotFit},
		{"M18-10.9", 100, DoesNotFit},
		{"M12x1.5-10.9", 25, DoesNotFit},
	} {
		r := examine(t, Case{Thread: c.thread, TorqueNm: &c.nm})
		if r.State != c.want {
			t.Errorf("%s at %g N·m: %s, %s; expected %s", c.thread, c.nm, r.State, r.Why, c.want)
		}
	}
}
