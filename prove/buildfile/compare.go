package buildfile

import (
	"fmt"
	"math"
	"strconv"
)

// Result is what an instrument made of its readings.
type Result struct {
	Verdict string   `json:"verdict"`
	Why     string   `json:"why"`
	Engine  string   `json:"engine"` // name and version
	Figures []Figure `json:"figures"`
}

// Figure is one figure of a result; Low and High are nil where no doubt of it is
// known.
type Figure struct {
	Name  string   `json:"name"`
	Unit  string   `json:"unit"`
	Value float64  `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
}

const (
	// sameWithin is by how much, relative to itself or to its doubt, a figure may differ
	// when it is worked out again on another machine: fused multiplications round
	// otherwise.
	sameWithin = 1e-6
	// nothing is what a difference of two equal numbers may leave of them where it
	// should be nought: far below what any instrument here reads in any unit.
	nothing = 1e-9
)

// Compare says, a sentence each, how a result that was kept differs from the one
// worked out again.
func Compare(kept, again Result) []string {
	var differs []string
	say := func(format string, args ...any) { differs = append(differs, fmt.Sprintf(format, args...)) }
	if kept.Engine != again.Engine {
		say("it was worked out by %s, and now by %s", kept.Engine, again.Engine)
	}
	if kept.Verdict != again.Verdict {
		say("the verdict was %s, and is now %s", kept.Verdict, again.Verdict)
	}
	if kept.Why != again.Why {
		say("the reason was “%s”, and is now “%s”", kept.Why, again.Why)
	}
	for i := range max(len(kept.Figures), len(again.Figures)) {
		switch {
		case i >= len(again.Figures):
			say("the figure %s is not found any more", kept.Figures[i].Name)
		case i >= len(kept.Figures):
			say("the figure %s was not there", again.Figures[i].Name)
		default:
			differs = append(differs, compareFigures(kept.Figures[i], again.Figures[i])...)
		}
	}
	return differs
}

func compareFigures(kept, again Figure) []string {
	if kept.Name != again.Name || kept.Unit != again.Unit {
		return []string{fmt.Sprintf("the figure %s in %q was kept where %s in %q is now", kept.Name, kept.Unit, again.Name, again.Unit)}
	}
	var differs []string
	scale := again.scale()
	for _, part := range []struct {
		of      string
		was, is *float64
	}{
		{"", &kept.Value, &again.Value},
		{"the lower bound of ", kept.Low, again.Low},
		{"the upper bound of ", kept.High, again.High},
	} {
		if !same(part.was, part.is, scale) {
			differs = append(differs, fmt.Sprintf("%s%s was %s, and is now %s", part.of, kept.Name, shown(part.was, kept.Unit), shown(part.is, kept.Unit)))
		}
	}
	return differs
}

// scale is how large the figure and its doubt are together. That of the figure worked
// out now is asked: what was kept may say anything.
func (f Figure) scale() float64 {
	scale := math.Abs(f.Value)
	if f.Low != nil && f.High != nil {
		scale = max(scale, math.Abs(*f.High-*f.Low))
	}
	return scale
}

func same(was, is *float64, scale float64) bool {
	if was == nil || is == nil {
		return was == is
	}
	return math.Abs(*was-*is) <= max(sameWithin*max(math.Abs(*is), scale), nothing)
}

func shown(v *float64, unit string) string {
	if v == nil {
		return "not known"
	}
	text := strconv.FormatFloat(*v, 'g', 10, 64)
	if unit != "" {
		text += " " + unit
	}
	return text
}
