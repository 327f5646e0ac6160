package workshop

import (
	"log/slog"
	"strings"
	"testing"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
	"wreckwright/store"
)

const someAngles = `lines: {left: parallel, right: parallel}
wheels:
  FL: {rim_mm: 483.0, front_mm: 152.0, rear_mm: 150.4, camber_deg: -1.30}
  FR: {rim_mm: 483.0, front_mm: 151.0, rear_mm: 150.6, camber_deg: -1.10}
  RL: {rim_mm: 483.0, front_mm: 160.0, rear_mm: 158.9, camber_deg: -1.80}
  RR: {rim_mm: 483.0, front_mm: 160.5, rear_mm: 159.2, camber_deg: -1.70}
reading_sd: {line_mm: 0.3, camber_deg: 0.05}
`

// drawnRig is a book with a body survey and wheel angles as evidence.
func drawnRig(t *testing.T) (*Workshop, int64) {
	t.Helper()
	book, err := store.Open(t.Context(), t.TempDir(), store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	shop := New(book, slog.New(slog.DiscardHandler), func() string { return "2026-05-04" })
	t.Cleanup(func() { _ = shop.Close(); _ = book.Close() })
	r, err := book.Start(t.Context(), store.By{Who: "Kim"}, rebuild.Car{Name: "Skua", Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP"})
	if err != nil {
		t.Fatal(err)
	}
	surveyed, err := carSurvey(t).Examine()
	if err != nil {
		t.Fatal(err)
	}
	angled, err := AnglesOf(someAngles)
	if err != nil {
		t.Fatal(err)
	}
	for _, kept := range []struct {
		e          rebuild.Evidence
		name, text string
	}{{surveyed.Evidence(), SurveyName, surveyed.Survey.JSON()}, {angled.Evidence(), AnglesName, someAngles}} {
		file, err := book.PutFile(t.Context(), strings.NewReader(kept.text), kept.name, "text/plain", 0)
		if err != nil {
			t.Fatal(err)
		}
		kept.e.On, kept.e.Raw = "2026-05-01", []rebuild.Attachment{file}
		if _, _, err := book.Do(t.Context(), store.By{Who: "Kim"}, r.ID, func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEvidence(kept.e) }); err != nil {
			t.Fatal(err)
		}
	}
	return shop, r.ID
}

// TestMeasurementsAreDrawn: the build file draws a body survey and wheel angles
// with the very figures that the engines give.
func TestMeasurementsAreDrawn(t *testing.T) {
	shop, id := drawnRig(t)
	b, err := shop.BuildFile(t.Context(), id, BuildFileOptions{Edition: buildfile.Full})
	if err != nil {
		t.Fatal(err)
	}
	var body *buildfile.BodyPlot
	var wheels *buildfile.WheelPlot
	for _, s := range b.Document.Sections {
		for _, block := range s.Blocks {
			if block.Body != nil {
				body = block.Body
			}
			if block.Wheels != nil {
				wheels = block.Wheels
			}
		}
	}
	if body == nil || wheels == nil {
		t.Fatal("nothing is drawn")
	}
	want, err := carSurvey(t).Examine()
	if err != nil {
		t.Fatal(err)
	}
	moved := 0
	for _, p := range body.Points {
		if p.Moved != nil {
			moved++
		}
	}
	if len(body.Points) != len(want.Result.Points) || moved != len(want.Result.Moved) || moved == 0 {
		t.Errorf("%d points, %d moved; the engine has %d, %d", len(body.Points), moved, len(want.Result.Points), len(want.Result.Moved))
	}
	said, err := AnglesOf(someAngles)
	if err != nil {
		t.Fatal(err)
	}
	for key, w := range said.Result.Wheels {
		if got := wheels.Wheels[key]; got.Toe == nil || *got.Toe != *w.Toe || *got.Camber != *w.Camber || *got.ToeSD != *w.ToeSD {
			t.Errorf("%s: %+v; the engine has %+v", key, got, w)
		}
	}
	if len(wheels.Wheels) != 4 || wheels.Thrust == nil {
		t.Errorf("drawn %+v", wheels)
	}
}
