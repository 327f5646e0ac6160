package demo

import (
	"bytes"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// The simulated recordings are small, and the instrument tells the one before the
// new bearing from the one after by itself.
func TestWheelByEar(t *testing.T) {
	s, err := readStory("skua")
	if err != nil {
		t.Fatal(err)
	}
	want := map[rebuild.Phase]rebuild.Verdict{rebuild.PhaseBefore: rebuild.VerdictFail, rebuild.PhaseAfter: rebuild.VerdictPass}
	if len(s.Noises) != len(want) {
		t.Fatalf("%d recordings", len(s.Noises))
	}
	for _, n := range s.Noises {
		sound := n.Sound.wav()
		if len(sound) > 200_000 {
			t.Errorf("%s has %d bytes", n.File, len(sound))
		}
		said, err := workshop.ExamineNoise(t.Context(), bytes.NewReader(sound), nil, workshop.NoiseSettings{
			Speed: workshop.SpeedRPM, RPM: n.RPM, Elements: n.Elements, ElementMm: n.Element, PitchMm: n.Pitch, AngleDeg: n.Angle,
		})
		if err != nil {
			t.Fatal(err)
		}
		if said.Verdict != want[rebuild.Phase(n.Phase)] {
			t.Errorf("%s: %s, %s", n.Title, said.Verdict, said.Why)
		}
	}
}
