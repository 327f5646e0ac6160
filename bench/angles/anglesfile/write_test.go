package anglesfile

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/casefile"
)

// What is written is read back, and worked out.
func TestWrittenIsReadBack(t *testing.T) {
	text := Write([]Line{
		{"lines.left", "parallel"},
		{"lines.right", "parallel"},
		{"wheels.FL.rim_mm", Number(483)},
		{"wheels.FL.front_mm", Number(152)},
		{"wheels.RR.camber_deg", Number(-1.6)},
		{"wheels.FL.rear_mm", Number(150.4)},
		{"wheels.FL.turned.front_mm", Number(151)},
		{"wheels.FL.turned.rear_mm", Number(151.4)},
		{"want.front.toe_deg", "[-0.1, 0.1]"},
		{"want.source", Text("the manual: \"page\n 4\" #2")},
		{"reading_sd.line_mm", Number(0.0000001)},
	})
	f, err := Parse("angles.yaml", []byte(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	w := f.Case.Wheels[0]
	if w.Edges.RearMm != 150.4 || w.TurnedEdges[0] != 151 || *f.Case.Wheels[3].CamberDeg != -1.6 || f.Case.Source != `the manual: "page 4" #2` || f.Case.Doubt.LineMm != 1e-7 {
		t.Errorf("%+v", f.Case)
	}
	if _, err := f.Examine(); err != nil {
		t.Error(err)
	}
}

// Any number and any line of text comes back as it was.
func TestAnyValueComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-29, 29).Draw(t, "camber")
		source := strings.Join(strings.Fields(rapid.StringMatching(`[ -~äß°±]{1,60}`).Draw(t, "source")), " ")
		if source == "" {
			source = "x"
		}
		text := Write([]Line{{"wheels.FL.camber_deg", Number(v)}, {"want.source", Text(source)}})
		f, err := Parse("angles.yaml", []byte(text))
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if *f.Case.Wheels[0].CamberDeg != v || f.Case.Source != source {
			t.Fatalf("%v and %q came back as %v and %q", v, source, *f.Case.Wheels[0].CamberDeg, f.Case.Source)
		}
	})
}

// A mistake of the instrument stands at its place in the file.
func TestMistakesHaveTheirLine(t *testing.T) {
	for text, key := range map[string]string{
		"wheels: {}\nsprings: {front_n_mm: 50, rear_n_mm: 60, pitch_mm: 1.5}\nride_height_mm: {FL: 1, FR: 1, RL: 1, RR: 1}\n":   "springs",
		"wheels: {}\ncorner_weights_kg: {FL: 1, FR: 1, RL: 1, RR: 1}\nsprings: {front_n_mm: 50, rear_n_mm: 60, pitch_mm: 99}\n": "springs.pitch_mm",
		"wheels: {}\nturns: {left: {inner_deg: 20, outer_deg: 0}}\n":                                                            "turns.left.outer_deg",
		"wheels: {FL: {camber_deg: 1}}\nstrut_top: {above_lower_joint_mm: 5}\n":                                                 "strut_top.above_lower_joint_mm",
		"wheels: {FL: {camber_deg: 1}}\nturns: {left: {inner_deg: 20, outer_deg: 18}, wheelbase_mm: 2600}\n":                    "turns.track_mm",
	} {
		f, err := Parse("angles.yaml", []byte(text))
		if err == nil {
			_, err = f.Examine()
		}
		var wrong *casefile.Error
		if !errors.As(err, &wrong) || wrong.Key != key || wrong.Line < 1 {
			t.Errorf("%q: %v; want a mistake at %s", text, err, key)
		}
	}
}
