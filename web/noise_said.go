package web

import (
	"fmt"
	"html/template"
	"math"
	"slices"

	"wreckwright/bench/noise"
	"wreckwright/chart"
	"wreckwright/workshop"
)

// noiseSaid is what is heard in a recording, with its pictures.
type noiseSaid struct {
	workshop.Noised
	Lines    template.HTML // the envelope's spectrum
	Picture  template.HTML // the sound over time
	Orders   template.HTML // over orders and speed; empty: at one speed
	Rings    template.HTML
	Suspects []suspect
	Cases    []humCase
}

// suspect is a part and how strongly it is heard.
type suspect struct {
	Name  string
	Score float64
	Words string
}

// Reason is the verdict's reason in one sentence, More what is said beyond it.
func (p noiseSaid) Reason() string {
	first, _ := workshop.PartNoiseReason(p.Why)
	return first
}

// More is what is said beyond the reason.
func (p noiseSaid) More() string {
	_, more := workshop.PartNoiseReason(p.Why)
	return more
}

// Peaks are the lines that stand out most.
func (p noiseSaid) Peaks() []noise.Peak { return p.Result.Peaks[:min(len(p.Result.Peaks), 16)] }

// Told is the shaft's speed as it was told, Heard as it was heard.
func (p noiseSaid) Told() string { return fmt.Sprintf("%.2f turns a second", p.Result.ShaftHz) }

// Heard is the speed that is heard; empty: none is.
func (p noiseSaid) Heard() string {
	if p.Result.HeardHz == nil {
		return ""
	}
	return fmt.Sprintf("%.2f turns a second", *p.Result.HeardHz)
}

// Clipped is the share of the recording that is cut off at the top; empty: none.
func (p noiseSaid) Clipped() string {
	if p.Result.Clipped < 0.0005 {
		return ""
	}
	return fmt.Sprintf("%.1f %%", 100*p.Result.Clipped)
}

func newNoiseSaid(n workshop.Noised) *noiseSaid {
	s := &noiseSaid{Noised: n, Suspects: suspects(n.Result.Scores)}
	lines := ringLinesOf(n)
	lines.Head = chart.Head{ID: "noise-lines", Title: "Spectrum of the envelope"}
	s.Lines = chart.NewLineSpectrum(lines).HTML()
	s.Picture = levelMap("noise-time", "The sound over time", n.Picture, 1000, "kHz").HTML()
	if n.Orders != nil {
		m := levelMap("noise-orders", "The sound over orders and speed", *n.Orders, 1, "turns a second")
		s.Orders = m.HTML()
	}
	if n.Rings != nil {
		s.Rings = ringsOf(n).HTML()
	}
	return s
}

// suspects are the parts by how strongly they are heard.
func suspects(s noise.Scores) []suspect {
	list := []suspect{
		{"Bearing, outer race", s.OuterRace, ""},
		{"Bearing, inner race", s.InnerRace, ""},
		{"Bearing, a ball or roller", s.RollingElement, ""},
		{"Tyre", s.Tyre, ""},
		{"Driveline", s.Driveline, ""},
	}
	for i := range list {
		switch v := list[i].Score; {
		case v >= 0.6:
			list[i].Words = "strong"
		case v >= 0.3:
			list[i].Words = "some"
		case v >= 0.1:
			list[i].Words = "faint"
		default:
			list[i].Words = "hardly any"
		}
	}
	slices.SortStableFunc(list, func(a, b suspect) int {
		switch {
		case a.Score > b.Score:
			return -1
		case a.Score < b.Score:
			return 1
		}
		return 0
	})
	return list
}

// laneNames are the parts of a bearing as a person calls them.
var laneNames = map[string]string{
	"outer race": "Outer race", "inner race": "Inner race", "rolling element": "Ball or roller", "cage": "Cage", "unknown": "Strongest family",
}

// ringLinesOf is the envelope's spectrum with the lines that are expected.
func ringLinesOf(n workshop.Noised) chart.LineSpectrum {
	p := chart.LineSpectrum{Main: chart.SpectrumCurve{Step: n.Spectrum.StepOrder, OverDB: n.Spectrum.OverDB}, Top: n.Spectrum.TopOrder}
	for _, m := range n.Spectrum.Marks {
		name, known := laneNames[m.Name]
		if !known {
			name = capital(m.Name)
		}
		at := slices.IndexFunc(p.Lanes, func(l chart.LineLane) bool { return l.Name == name })
		if at < 0 {
			at = len(p.Lanes)
			p.Lanes = append(p.Lanes, chart.LineLane{Name: name})
		}
		over := -10.0
		if m.Ratio > 0 {
			over = 20 * math.Log10(m.Ratio)
		}
		p.Lanes[at].Lines = append(p.Lanes[at].Lines, chart.ExpectedLine{At: m.Order, Harmonic: m.Harmonic, OverDB: over, Found: m.Found})
	}
	return p
}

func levelMap(id, title string, m noise.Matrix, by float64, down string) chart.Figure {
	across := m.AcrossUnit
	if across == "" {
		across = "a turn"
	}
	return chart.NewLevelMap(chart.LevelMap{
		Head: chart.Head{ID: id, Title: title}, Across: m.Across, Down: m.Down, DB: m.DB, LowDB: m.LowDB, AcrossIs: across, DownIs: down, DownBy: by,
	})
}

// upTo leaves out what lies beyond.
func upTo(m noise.Matrix, top float64) noise.Matrix {
	columns := 0
	for columns < len(m.Across) && m.Across[columns] <= top {
		columns++
	}
	if columns < 2 {
		return m
	}
	rows := make([][]float64, len(m.DB))
	for i, row := range m.DB {
		rows[i] = row[:columns]
	}
	m.Across, m.DB = m.Across[:columns], rows
	return m
}

// ringsOf is the envelope over orders and speed, with the bearing's lines marked.
func ringsOf(n workshop.Noised) chart.Figure {
	m := upTo(*n.Rings, n.Spectrum.TopOrder)
	picture := chart.LevelMap{
		Head: chart.Head{ID: "noise-rings", Title: "The envelope over orders and speed"}, Across: m.Across, Down: m.Down, DB: m.DB, LowDB: m.LowDB,
		AcrossIs: "a turn", DownIs: "turns a second",
	}
	for _, mark := range n.Spectrum.Marks {
		if mark.Harmonic == 1 {
			name, known := laneNames[mark.Name]
			if !known {
				name = mark.Name
			}
			picture.Marks = append(picture.Marks, chart.LevelMark{At: mark.Order, Name: name})
		}
	}
	slices.SortFunc(picture.Marks, func(a, b chart.LevelMark) int {
		if a.At < b.At {
			return -1
		}
		return 1
	})
	return chart.NewLevelMap(picture)
}
