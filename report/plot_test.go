package report_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"wreckwright/prove/buildfile"
	"wreckwright/report"
)

func value(v float64) *float64 { return &v }

// plotted is a document with the two drawings, of invented figures.
func plotted() *buildfile.Document {
	body := buildfile.BodyPlot{Points: []buildfile.BodyPoint{
		{ID: "L-tip", X: 3400, Y: 480, Z: value(420), Moved: &[3]float64{-9, -6, 2}},
		{ID: "R-tip", X: 3400, Y: -480, Z: value(420)},
		{ID: "L-strut", X: 2700, Y: 560, Z: value(780)},
		{ID: "R-strut", X: 2700, Y: -560, Z: value(780)},
		{ID: "L-sill", X: 400, Y: 640, Z: value(210)},
		{ID: "R-sill", X: 400, Y: -640, Z: value(210)},
		{ID: "floor", X: 1500, Y: 0},
	}}
	wheels := buildfile.WheelPlot{Thrust: value(0.08), Wheels: map[string]buildfile.WheelStand{
		"FL": {Toe: value(0.12), ToeSD: value(0.02), Camber: value(-1.3), CamberSD: value(0.05)},
		"FR": {Toe: value(-0.32), ToeSD: value(0.02), Camber: value(-0.4), CamberSD: value(0.05)},
		"RL": {Toe: value(0.1), Camber: value(-1.8)},
	}}
	return &buildfile.Document{
		Title: "Plots", Edition: buildfile.Full,
		Sections: []buildfile.Section{{Title: "Measurements", Blocks: []buildfile.Block{
			{Body: &body},
			{Wheels: &wheels},
			{Body: &buildfile.BodyPlot{}},
			{Body: &buildfile.BodyPlot{Points: []buildfile.BodyPoint{{ID: "alone", X: 1, Y: 2}}}},
			{Wheels: &buildfile.WheelPlot{}},
		}}},
	}
}

// TestPlotsOnPaper: points, arrows and wheels are drawn with what they say in
// words, and nothing of it falls off the page.
func TestPlotsOnPaper(t *testing.T) {
	var pdf bytes.Buffer
	none := func(context.Context, string) (report.Picture, error) { return report.Picture{}, os.ErrNotExist }
	if err := report.Paper(t.Context(), &pdf, plotted(), madeAt, none); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, buildfile.PDFName), pdf.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(tool(t, dir, "pdftotext", "-layout", buildfile.PDFName, "-")), " ")
	for _, want := range []string{
		"L-tip", "R-sill", "drawn 20 times as long", "From the right side", "toe +0.12° ± 0.04", "camber -1.30° ± 0.10", "toe +0.10°",
		"toe not measured", "thrust line +0.08°", "toe drawn 20 times as large", "camber drawn 5 times as large", "Nothing shows that a point has moved",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
}
