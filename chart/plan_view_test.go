package chart

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// flatten turns path data into a polygon: each curve becomes 16 chords.
func flatten(data string) []point {
	var out []point
	fields := strings.Fields(data)
	var at point
	for i := 0; i < len(fields); {
		command := fields[i][:1]
		switch command {
		case "Z":
			return out
		case "M", "L":
			at = pathPoints(fields[i] + " " + fields[i+1])[0]
			out = append(out, at)
			i += 2
		case "C":
			p := pathPoints(strings.Join(fields[i:i+6], " "))
			for n := 1; n <= 16; n++ {
				u := float64(n) / 16
				v := 1 - u
				out = append(out, point{
					v*v*v*at.x + 3*v*v*u*p[0].x + 3*v*u*u*p[1].x + u*u*u*p[2].x,
					v*v*v*at.y + 3*v*v*u*p[0].y + 3*v*u*u*p[1].y + u*u*u*p[2].y,
				})
			}
			at = p[2]
			i += 6
		default:
			panic("path data the test cannot read: " + data)
		}
	}
	return out
}

func inside(poly []point, p point) bool {
	in := false
	for i, a := range poly {
		b := poly[(i+len(poly)-1)%len(poly)]
		if (a.y > p.y) != (b.y > p.y) && p.x < (b.x-a.x)*(p.y-a.y)/(b.y-a.y)+a.x {
			in = !in
		}
	}
	return in
}

func shapeOf(t *testing.T, key string) planShape {
	t.Helper()
	placed, _ := layoutZones([]ZoneMark{{Key: key}})
	return placed[0]
}

// squareFits reports whether a square of the side, at p, lies in poly and in none of the others.
func squareFits(poly []point, others [][]point, p point, side float64) bool {
	for i := 0.0; i <= side; i += side / 8 {
		for j := 0.0; j <= side; j += side / 8 {
			q := point{p.x + i, p.y + j}
			if !inside(poly, q) {
				return false
			}
			for _, o := range others {
				if inside(o, q) {
					return false
				}
			}
		}
	}
	return true
}

// WCAG 2.2, success criterion 2.5.8: a target holds a square of 24 by 24 CSS px. This is held for a figure 288 px wide,
// what a phone of 320 px leaves between margins of 16 px.
func TestTargetsAreBigEnough(t *testing.T) {
	over := map[string][]string{"bonnet": {"engine-bay"}, "roof": {"cabin"}}
	for _, key := range PlanKeys() {
		poly := flatten(shapeOf(t, key).data)
		var others [][]point
		for _, o := range over[key] {
			others = append(others, flatten(shapeOf(t, o).data))
		}
		b := boxOf(poly)
		fits := false
		for x := b.x0; x <= b.x1 && !fits; x += 0.5 {
			for y := b.y0; y <= b.y1 && !fits; y += 0.5 {
				fits = squareFits(poly, others, point{x, y}, 24*planWidth/288)
			}
		}
		if !fits {
			t.Errorf("no square of 24 px fits, at 288 px, into %s", key)
		}
	}
}

// Zones side by side do not cover one another: a finger meets one zone.
func TestZonesDoNotOverlap(t *testing.T) {
	keys := PlanKeys()
	polys := map[string][]point{}
	for _, k := range keys {
		polys[k] = flatten(shapeOf(t, k).data)
	}
	for x := 1.0; x < planWidth; x += 2 {
		for y := 1.0; y < carBottom; y += 2 {
			var hits []string
			for _, k := range keys {
				if inside(polys[k], point{x, y}) {
					hits = append(hits, k)
				}
			}
			nested := len(hits) == 2 && (slices.Contains(hits, "engine-bay") && slices.Contains(hits, "bonnet") ||
				slices.Contains(hits, "cabin") && slices.Contains(hits, "roof"))
			if len(hits) > 1 && !nested {
				t.Fatalf("%v all lie at %v, %v", hits, x, y)
			}
		}
	}
}

func TestLeftIsLeft(t *testing.T) {
	for key := range leftShapes {
		right := strings.Replace(key, "left", "right", 1)
		l, r := boxOf(flatten(shapeOf(t, key).data)), boxOf(flatten(shapeOf(t, right).data))
		if l.x1 >= carMiddle || r.x0 <= carMiddle {
			t.Errorf("%s and %s lie on the wrong sides", key, right)
		}
		if d := l.x0 - (2*carMiddle - r.x1); d > 0.01 || d < -0.01 || l.y0 != r.y0 || l.y1 != r.y1 {
			t.Errorf("%s is not the mirror image of %s", right, key)
		}
		if strings.HasPrefix(key, "front") != (l.y1 < 200) && !strings.HasPrefix(key, "left") {
			t.Errorf("%s does not lie where front is at the top", key)
		}
	}
}

func TestEveryZoneIsOneLinkWithItsCounts(t *testing.T) {
	svg := string(PlanView(sampleZones(), PlanOptions{Head{ID: "p", Title: "Zones"}}))
	if n := strings.Count(svg, "<a "); n != 24 {
		t.Errorf("%d links, want 24", n)
	}
	for _, want := range []string{
		`href="/findings?zone=front-left-corner"><title>Front-left corner: 6 open, 3 safety</title>`,
		`<title>Front-left wing: 4 open</title>`, `<title>Boot: nothing found</title>`,
		`<title>Left door: settled</title>`, `<title>Right sill: not looked at</title>`,
	} {
		if !strings.Contains(svg, want) {
			t.Errorf("the figure lacks %s", want)
		}
	}
}

func TestPlanKeyNamesEveryState(t *testing.T) {
	key := string(PlanKey())
	if err := checkMarkup(key); err != nil {
		t.Error(err)
	}
	for _, state := range []ZoneState{ZoneUnseen, ZoneClear, ZoneOpen, ZoneSafety, ZoneSettled} {
		if !strings.Contains(key, "fig-zone-"+string(state)) {
			t.Errorf("the key does not explain %s", state)
		}
	}
}

func TestPlanHoldsForAnyZones(t *testing.T) {
	keys := append(PlanKeys(), "tow-bar", "", "copyright", "front-right-horn")
	rapid.Check(t, func(t *rapid.T) {
		var zones []ZoneMark
		for range rapid.IntRange(0, 40).Draw(t, "n") {
			zones = append(zones, ZoneMark{
				Key: rapid.SampledFrom(keys).Draw(t, "key"), Name: rapid.StringN(0, 30, -1).Draw(t, "name"),
				Open: rapid.IntRange(-1, 2000).Draw(t, "open"), Safety: rapid.IntRange(0, 20).Draw(t, "safety"),
			})
		}
		f := NewPlanView(zones, PlanOptions{Head{ID: "p"}})
		holds(t, f)
		if n := strings.Count(string(f.SVG(Phone)), "<a "); n != len(zones) {
			t.Fatalf("%d links for %d zones", n, len(zones))
		}
	})
}
