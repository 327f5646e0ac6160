package chart

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func stripes(columns, rows, loud int) LevelMap {
	m := LevelMap{Head: Head{ID: "m", Title: "Levels"}, LowDB: -30, AcrossIs: "s", DownIs: "kHz", DownBy: 1000}
	for c := range columns {
		m.Across = append(m.Across, float64(c)/10)
	}
	for r := range rows {
		m.Down = append(m.Down, 100*float64(r+1))
		row := make([]float64, columns)
		for c := range row {
			row[c] = -40
			if r == loud {
				row[c] = 0
			}
		}
		m.DB = append(m.DB, row)
	}
	return m
}

// A level tone is one cell as wide as the picture, in the darkest level only.
func TestLevelToneIsOneCell(t *testing.T) {
	m := stripes(50, 20, 7)
	m.DB[3][4] = math.NaN()
	data := m.cells(Scale{0, 5, 40, 320}, Scale{50, 2050, 190, 20})
	for step, d := range data {
		if n := strings.Count(d, "M"); step < levelSteps-1 && n != 0 || step == levelSteps-1 && n != 1 {
			t.Errorf("level %d: %d cells: %s", step+1, n, d)
		}
	}
	if want := "M40 "; !strings.HasPrefix(data[levelSteps-1], want) || !strings.Contains(data[levelSteps-1], "H320V") {
		t.Errorf("the cell is %s, want from 40 to 320", data[levelSteps-1])
	}
	if row := m.twin().Rows[0]; row[1] != "0.8" || row[2] != "0" {
		t.Errorf("the table says %v, want 0.8 kHz", row)
	}
}

func TestLevelMapBearsAnything(t *testing.T) {
	if !strings.Contains(string(NewLevelMap(LevelMap{}).HTML()), "nothing to draw") {
		t.Error("an empty map is drawn")
	}
	rapid.Check(t, func(t *rapid.T) {
		m := stripes(rapid.IntRange(2, 300).Draw(t, "columns"), rapid.IntRange(2, 90).Draw(t, "rows"), 1)
		for i := range m.DB[0] {
			m.DB[0][i] = rapid.SampledFrom([]float64{0, -12, -29, -200, math.NaN(), math.Inf(-1)}).Draw(t, "dB")
		}
		m.Marks = []LevelMark{{At: 0.1, Name: "Cage"}, {At: 0.11, Name: "Outer race"}, {At: 99, Name: "beyond"}}
		if text := string(NewLevelMap(m).HTML()); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Fatalf("no number in %s", text)
		}
	})
}

func sampleLines() LineSpectrum {
	s := LineSpectrum{Head: Head{ID: "l", Title: "Lines"}, Main: SpectrumCurve{Step: 0.05, OverDB: make([]float64, 400)}}
	s.Main.OverDB[115], s.Main.OverDB[231] = 31, 24 // at 5.8 and 11.6
	s.Lanes = []LineLane{
		{"Outer race", []ExpectedLine{{5.8, 1, 31, true}, {11.6, 2, 24, true}, {17.4, 3, 4, false}}},
		{"Cage", []ExpectedLine{{0.4, 1, 0, false}, {0.8, 2, 0, false}}},
	}
	return s
}

// What is found differs by more than its colour: filled, led into the plot, and told
// in the table and in words.
func TestFoundLinesAreMarked(t *testing.T) {
	f := NewLineSpectrum(sampleLines())
	text := string(f.SVG(Desk))
	if n := strings.Count(text, "fig-found-line"); n != 3 { // two lines and the key
		t.Errorf("%d found rings", n)
	}
	if n := strings.Count(text, "fig-line-mark"); n != 2 {
		t.Errorf("%d lines led down", n)
	}
	if !strings.Contains(text, "Outer race: 2 of 3 lines found") || !strings.Contains(string(f.Table()), "Outer race, 1") {
		t.Error("the words do not tell the lines")
	}
}

// A peak is drawn at its full height however narrow the figure is.
func TestNoPeakIsLost(t *testing.T) {
	for _, width := range []float64{280, 328, 720, 2000} {
		x, y := Scale{0, 20, 34, width - 10}, Scale{0, 40, 200, 20}
		line := sampleLines().Main.outline(x, y)
		highest := y.From
		for _, p := range line {
			highest = math.Min(highest, p.y)
		}
		if want := y.At(31); math.Abs(highest-want) > 1e-9 {
			t.Errorf("at %g px the peak reaches %g, want %g", width, highest, want)
		}
	}
	if !strings.Contains(string(NewLineSpectrum(LineSpectrum{}).HTML()), "no spectrum") {
		t.Error("an empty spectrum is drawn")
	}
}
