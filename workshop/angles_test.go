package workshop

import (
	"encoding/json"
	"errors"
	"io"
	"strings"
	"testing"

	"wreckwright/bench/angles"
	"wreckwright/rebuild"
)

// keptCar is an invented car as its file is kept.
const keptCar = `lines: {left: parallel, right: parallel}
wheels:
  FL: {rim_mm: 483, front_mm: 152, rear_mm: 149, camber_deg: -2.9, sweep: {out_deg: 20, camber_out_deg: -0.21, in_deg: 20, camber_in_deg: -4.31, pitch_out_deg: 3.76, pitch_in_deg: -4.55}}
  FR: {rim_mm: 483, front_mm: 151, rear_mm: 150.6, camber_deg: -1.3}
  RL: {rim_mm: 483, front_mm: 171.4, rear_mm: 170}
  RR: {rim_mm: 483, front_mm: 170.9, rear_mm: 170.1}
corner_weights_kg: {FL: 362, FR: 338, RL: 291, RR: 309}
want:
  front: {total_toe_deg: [-0.05, 0.15], camber_deg: [-1.75, -0.75], caster_deg: [5.5, 6.5]}
  source: invented
`

// What is kept is worked out again from its file alone, alike in every figure.
func TestAnglesAreWorkedOutAgain(t *testing.T) {
	said, err := ExamineAngles(keptCar, AnglesSettings{Show: ShowMinutes})
	if err != nil {
		t.Fatal(err)
	}
	e := onMayDay(said.Evidence())
	e.Raw = []rebuild.Attachment{{Hash: strings.Repeat("0a", 32), MediaType: "text/plain", Name: AnglesName}}
	if err := e.Validate(); err != nil {
		t.Fatal(err)
	}
	open := func(text string) func(string) (io.ReadCloser, error) {
		return func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil }
	}
	again, err := Again(t.Context(), &e, open(keptCar))
	if err != nil {
		t.Fatal(err)
	}
	if again, kept := asJSON(t, again), asJSON(t, KeptResult(&e)); again != kept {
		t.Errorf("%s; kept %s", again, kept)
	}
	other, err := Again(t.Context(), &e, open(strings.Replace(keptCar, "front_mm: 152", "front_mm: 153", 1)))
	if err != nil || other.Figures[0].Value == again.Figures[0].Value {
		t.Errorf("one digit changed in the readings changes nothing: %v", err)
	}
	e.Settings = "{}"
	if _, err := Again(t.Context(), &e, open(keptCar)); !errors.Is(err, ErrNotAgain) {
		t.Errorf("without its settings: %v", err)
	}
}

// asJSON writes a value without the addresses in it.
func asJSON(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The words of the page say what the engine says: as many outside, as many near.
func TestWhyOfAngles(t *testing.T) {
	said, err := AnglesOf(keptCar)
	if err != nil {
		t.Fatal(err)
	}
	if said.Verdict != rebuild.VerdictFail || said.Figures[0].Name != "Total toe, front" || len(said.Leading()) != 4 {
		t.Errorf("%s, %+v", said.Verdict, said.Leading())
	}
	for _, words := range []string{"outside the limits: front left camber −2.90° ± ", "Wanted and not measured: front right caster"} {
		if !strings.Contains(said.Why, words) {
			t.Errorf("%q lacks %q", said.Why, words)
		}
	}
	for _, c := range said.Result.Checks {
		if c.Verdict != angles.Pass && !strings.Contains(said.Why, CheckedWords(c)) {
			t.Errorf("%q does not tell %+v", said.Why, c)
		}
	}
}

func TestAngleKeysInWords(t *testing.T) {
	for key, want := range map[string]string{
		"wheels.FL.front_mm":          "Front left: line to the front edge",
		"wheels.RR.turned.camber_deg": "Rear right, half a turn on: camber",
		"wheels.FR.sweep.in_deg":      "Front right, sweep: turned in by",
		"want.front.caster_deg":       "Front: caster",
		"corner_weights_kg.RL":        "Corner weights: rear left",
		"tie_rod.pitch_mm":            "Tie rod: pitch of the thread",
		"":                            "The readings:",
	} {
		if got := AngleKeyWords(key); got != want {
			t.Errorf("%s: %q; want %q", key, got, want)
		}
	}
}

// FuzzAngles: whatever stands in the file, there is evidence that can be kept, or
// a mistake at a key.
func FuzzAngles(f *testing.F) {
	var all strings.Builder // everything wanted at once
	all.WriteString(keptCar[:strings.Index(keptCar, "want:")] + "want:\n  source: " + strings.Repeat("s", 200) + "\n  thrust_deg: [5, 6]\n  cross_percent: [60, 61]\n")
	for _, axle := range []string{"front", "rear"} {
		all.WriteString("  " + axle + ":\n")
		for _, what := range angles.Quantities() {
			all.WriteString("    " + what + ": [-123456.7, -123456.6]\n")
		}
	}
	for _, seed := range []string{keptCar, all.String(), "", "wheels: {}", "wheels: {FL: {camber_deg: 0x10}}", "wheels: {RR: {camber_deg: -30}}\n"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		said, err := AnglesOf(text)
		var wrong *rebuild.Invalid
		switch {
		case errors.As(err, &wrong):
			if wrong.Problems[0].Text == "" {
				t.Error("refused without words")
			}
		case err != nil:
			t.Errorf("%v", err)
		default:
			if err := onMayDay(said.Evidence()).Validate(); err != nil {
				t.Error(err)
			}
		}
	})
}
