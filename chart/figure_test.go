package chart

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var sizes = []Size{Phone, Desk, {Name: "half", WidthPx: 560}}

// elements parses markup strictly and lists its start elements.
func elements(markup string) ([]xml.StartElement, error) {
	var out []xml.StartElement
	dec := xml.NewDecoder(strings.NewReader(markup))
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, err
		}
		if e, ok := tok.(xml.StartElement); ok {
			out = append(out, e.Copy())
		}
	}
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

var colour = regexp.MustCompile(`(?i)#[0-9a-f]{3,8}$|rgb|hsl|^(black|white|red|green|blue|grey|gray|none)$`)

// checkMarkup holds what every figure owes the page.
func checkMarkup(markup string) error {
	els, err := elements(markup)
	if err != nil {
		return err
	}
	ids := map[string]bool{}
	for _, e := range els {
		for _, a := range e.Attr {
			name := a.Name.Local
			switch {
			case name == "style", strings.HasPrefix(name, "on"):
				return errors.New("inline " + name + " in " + e.Name.Local)
			case name != "href" && name != "d" && name != "aria-label" && colour.MatchString(a.Value):
				return errors.New("colour inline: " + name + "=" + a.Value)
			case name == "id" && ids[a.Value]:
				return errors.New("id twice: " + a.Value)
			case name == "id":
				ids[a.Value] = true
			case name == "width" && e.Name.Local == "svg":
				return errors.New("the svg has a width of its own")
			}
			if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf") {
				return errors.New("not a number: " + name + "=" + a.Value)
			}
		}
	}
	for _, e := range els {
		for _, ref := range strings.Fields(attr(e, "aria-labelledby")) {
			if !ids[ref] {
				return errors.New("labelled by " + ref + ", which is not there")
			}
		}
	}
	return nil
}

func TestMarkup(t *testing.T) {
	for name, f := range samples() {
		if err := checkMarkup(string(f.HTML())); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		for _, s := range sizes {
			svg := string(f.SVG(s))
			if !strings.Contains(svg, "aria-labelledby=") || !strings.Contains(svg, "<title id=") || !strings.Contains(svg, "<desc id=") {
				t.Errorf("%s at %s lacks title or description", name, s.Name)
			}
			want := `role="img"`
			if strings.Contains(svg, "<a ") {
				want = `role="group"` // an image would hide its links from screen readers
			}
			if !strings.Contains(svg, want) {
				t.Errorf("%s lacks %s", name, want)
			}
		}
	}
}

func TestCheckMarkupFinds(t *testing.T) {
	for _, bad := range []string{
		`<svg><g style="x"/></svg>`, `<svg><g fill="#123456"/></svg>`, `<svg><g stroke="red"/></svg>`, `<svg><g></svg>`,
		`<svg><g id="a"/><g id="a"/></svg>`, `<svg aria-labelledby="b"/>`, `<svg><line x1="NaN"/></svg>`, `<svg onload="x"/>`,
	} {
		if checkMarkup(bad) == nil {
			t.Errorf("nothing found in %s", bad)
		}
	}
}

func TestTextIsEscaped(t *testing.T) {
	evil := `<script>alert("1")</script> & 'x' ]]>` + "\x00\x1b"
	head := Head{ID: evil, Title: evil, Desc: evil}
	m := Money{Symbol: "<b>"}
	for name, f := range map[string]Figure{
		"distribution": NewDistribution(Distribution{Head: head, Money: m, Bins: bell(), P10: 1, P50: 2, P80: 3, P90: 4}),
		"fan":          NewFan(Fan{Head: head, Money: m, Today: day("2026-01-02"), Spent: []SpentPoint{{day("2026-01-01"), 5}}}),
		"drivers":      NewDrivers(Drivers{Head: head, Items: []Driver{{evil, 0.5}}}),
		"ranges":       NewRanges(Ranges{Head: head, Money: m, Items: []Range{{Name: evil, High: 3}}}),
		"progress":     NewProgress(Progress{Head: head, Stages: []Stage{{evil, StageState(evil)}, {evil, StageNow}}}),
		"bar":          NewCeilingBar(CeilingBar{Head: head, Money: m, Spent: 4, P50: 5, P80: 6, Ceiling: 7}),
		"plan":         NewPlanView([]ZoneMark{{Key: evil, Name: evil, Href: `javascript:alert(1)`, State: ZoneState(evil), Open: 1}}, PlanOptions{head}),
	} {
		markup := string(f.HTML())
		if err := checkMarkup(markup); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		for _, bad := range []string{"<script", "<b>", "javascript:", "\x00", "\x1b"} {
			if strings.Contains(markup, bad) {
				t.Errorf("%s holds %q", name, bad)
			}
		}
	}
}

func TestSafeHref(t *testing.T) {
	for in, want := range map[string]string{
		"/findings?zone=roof": "/findings?zone=roof", "?zone=roof": "?zone=roof", "#roof": "#roof", "./x": "./x",
		"javascript:alert(1)": "#", "//elsewhere.example": "#", "/\\elsewhere.example": "#", "https://elsewhere.example": "#", "": "#", "/\tx": "#",
	} {
		if got := safeHref(in); got != want {
			t.Errorf("safeHref(%q) = %q, want %q", in, got, want)
		}
	}
}

// checkDrawing holds that all shapes lie inside the figure and no two texts overlap.
func checkDrawing(d *drawing) error {
	var texts []textShape
	var walk func([]shape) error
	walk = func(shapes []shape) error {
		for _, s := range shapes {
			b := s.bounds()
			if !finite(b.x0, b.y0, b.x1, b.y1) || b.x0 < -0.01 || b.y0 < -0.01 || b.x1 > d.width+0.01 || b.y1 > d.height+0.01 {
				return errors.New("a shape leaves the figure: " + describe(s))
			}
			if t, ok := s.(textShape); ok {
				texts = append(texts, t)
			}
			if l, ok := s.(linkShape); ok {
				if err := walk(l.children); err != nil {
					return err
				}
			}
		}
		return nil
	}
	if err := walk(d.shapes); err != nil {
		return err
	}
	for i, a := range texts {
		for _, b := range texts[:i] {
			if a.bounds().overlaps(b.bounds()) {
				return errors.New("text over text: " + a.text + " / " + b.text)
			}
		}
	}
	return nil
}

func describe(s shape) string {
	w := &svgWriter{}
	s.writeSVG(w)
	return w.b.String()
}

func TestSamplesLieInsideAndApart(t *testing.T) {
	for name, f := range samples() {
		for _, s := range sizes {
			if err := checkDrawing(f.draw(s)); err != nil {
				t.Errorf("%s at %s: %v", name, s.Name, err)
			}
		}
	}
}

func TestCheckDrawingFinds(t *testing.T) {
	over := &drawing{width: 100, height: 50}
	over.add(label("", 50, 20, atMiddle, "one"), label("", 55, 24, atMiddle, "two"))
	out := &drawing{width: 100, height: 50}
	out.add(label("", 95, 20, atStart, "outside"))
	if checkDrawing(over) == nil || checkDrawing(out) == nil {
		t.Error("an overlap or a text outside was not found")
	}
}

func holds(t *rapid.T, f Figure) {
	size := Size{Name: "any", WidthPx: rapid.Float64Range(280, 1200).Draw(t, "width")}
	if err := checkDrawing(f.draw(size)); err != nil {
		t.Fatal(err)
	}
	if err := checkMarkup(string(f.HTML())); err != nil {
		t.Fatal(err)
	}
}

func sum(t *rapid.T, name string) float64 { return rapid.Float64Range(0, 5e6).Draw(t, name) }

func TestDistributionHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low, width := sum(t, "low"), rapid.Float64Range(1e-3, 1e6).Draw(t, "width")
		bins := make([]Bin, rapid.IntRange(0, 60).Draw(t, "bins"))
		for i := range bins {
			bins[i] = Bin{low + float64(i)*width, low + float64(i+1)*width, rapid.Float64Range(0, 1).Draw(t, "share")}
		}
		holds(t, NewDistribution(Distribution{
			Money: pounds, Bins: bins, P10: sum(t, "p10"), P50: sum(t, "p50"),
			P80: sum(t, "p80"), P90: sum(t, "p90"), Ceiling: sum(t, "ceiling"), Spent: sum(t, "spent"),
		}))
	})
}

func TestFanHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := day("2025-01-01")
		at := start
		next := func() { at = at.AddDate(0, 0, rapid.IntRange(0, 60).Draw(t, "gap")) }
		f := Fan{Money: pounds, P10: sum(t, "p10"), P50: sum(t, "p50"), P90: sum(t, "p90"), Ceiling: sum(t, "ceiling")}
		for range rapid.IntRange(0, 8).Draw(t, "bills") {
			next()
			f.Spent = append(f.Spent, SpentPoint{at, rapid.Float64Range(-1e4, 5e6).Draw(t, "spent")})
		}
		f.Today = at
		at = start
		for range rapid.IntRange(0, 5).Draw(t, "outlooks") {
			next()
			f.Earlier = append(f.Earlier, Outlook{at, sum(t, "a"), sum(t, "b"), sum(t, "c")})
		}
		if rapid.Bool().Draw(t, "finish") {
			f.FinishP10 = f.Today.AddDate(0, 0, rapid.IntRange(0, 300).Draw(t, "f10"))
			f.FinishP50 = f.FinishP10.AddDate(0, 0, rapid.IntRange(0, 300).Draw(t, "f50"))
			f.FinishP90 = f.FinishP50.AddDate(0, 0, rapid.IntRange(0, 300).Draw(t, "f90"))
		}
		holds(t, NewFan(f))
	})
}

func TestDriversRangesProgressHold(t *testing.T) {
	states := []StageState{StageAhead, StageNow, StageDone, StageWaiting, "odd"}
	rapid.Check(t, func(t *rapid.T) {
		var d Drivers
		r := Ranges{Money: pounds}
		var p Progress
		for range rapid.IntRange(0, 9).Draw(t, "n") {
			name := rapid.String().Draw(t, "name")
			d.Items = append(d.Items, Driver{name, rapid.Float64Range(-0.1, 1).Draw(t, "share")})
			low := sum(t, "low")
			likely := low + sum(t, "up")
			r.Items = append(r.Items, Range{Name: name, Low: low, Likely: likely, High: likely + sum(t, "more"), Expected: sum(t, "e"), Reference: sum(t, "r"), Chosen: rapid.Bool().Draw(t, "chosen")})
			p.Stages = append(p.Stages, Stage{name, rapid.SampledFrom(states).Draw(t, "state")})
		}
		holds(t, NewDrivers(d))
		holds(t, NewRanges(r))
		holds(t, NewProgress(p))
		low, high := SharedScale(r.Items)
		for _, i := range r.Items {
			holds(t, NewRangeBar(Head{ID: "r"}, pounds, i, low, high))
		}
	})
}

func TestCeilingBarHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		holds(t, NewCeilingBar(CeilingBar{Money: pounds, Spent: sum(t, "spent"), P50: sum(t, "p50"), P80: sum(t, "p80"), Ceiling: sum(t, "ceiling")}))
	})
}

// Bad numbers give words, not a broken figure.
func TestNotANumber(t *testing.T) {
	nan := math.NaN()
	for name, f := range map[string]Figure{
		"distribution": NewDistribution(Distribution{Bins: []Bin{{0, 1, 1}}, P10: nan}),
		"bins":         NewDistribution(Distribution{Bins: []Bin{{0, nan, 1}}}),
		"fan":          NewFan(Fan{Today: day("2026-01-01"), Spent: []SpentPoint{{day("2026-01-01"), math.Inf(1)}}}),
		"drivers":      NewDrivers(Drivers{Items: []Driver{{"a", nan}}}),
		"ranges":       NewRanges(Ranges{Items: []Range{{Name: "a", Low: nan}}}),
		"bar":          NewCeilingBar(CeilingBar{Spent: nan}),
	} {
		if err := checkMarkup(string(f.HTML())); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The parts of the bar are sums a reader can check by hand: 21,340 spent of 34,200 under 38,000.
func TestCeilingBarTable(t *testing.T) {
	table := string(sampleCeilingBar().Table())
	for _, want := range []string{"£21,340", "£12,860", "£3,800", "£37,300"} {
		if !strings.Contains(table, want) {
			t.Errorf("the table lacks %s", want)
		}
	}
	if over := string(sampleOverBar().Table()); !strings.Contains(over, `over</th><td class="fig-num">£3,200`) {
		t.Error("the table does not say that the total is £3,200 over")
	}
}
