package chart

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// texts lists the words of a drawing, those within links too.
func texts(shapes []shape) []string {
	var out []string
	for _, s := range shapes {
		switch s := s.(type) {
		case textShape:
			out = append(out, s.text)
		case linkShape:
			out = append(out, texts(s.children)...)
		}
	}
	return out
}

// byClass lists the boxes of the shapes that carry a class, those within links too.
func byClass(shapes []shape, class string) []box {
	found := regexp.MustCompile(`class="[^"]*\b` + class + `[" ]`)
	var out []box
	for _, s := range shapes {
		if l, ok := s.(linkShape); ok {
			out = append(out, byClass(l.children, class)...)
		} else if found.MatchString(describe(s)) {
			out = append(out, s.bounds())
		}
	}
	return out
}

func drawnTimeline(t *rapid.T) Timeline {
	start := rapid.SampledFrom([]string{"1961-03-04", "2004-02-29", "2026-08-30"}).Draw(t, "start")
	within := rapid.SampledFrom([]int{0, 3, 40, 900, 25000}).Draw(t, "within")
	when := func() time.Time {
		if rapid.IntRange(0, 15).Draw(t, "undated") == 0 {
			return time.Time{}
		}
		return day(start).AddDate(0, 0, rapid.IntRange(0, within).Draw(t, "day"))
	}
	line := Timeline{
		Head: Head{ID: "any"}, Unit: rapid.SampledFrom([]string{"km", "mi", ""}).Draw(t, "unit"), Linked: rapid.Bool().Draw(t, "linked"),
	}
	for range rapid.IntRange(0, 60).Draw(t, "events") {
		line.Events = append(line.Events, TimelineEvent{when(), "inspection", rapid.SampledFrom([]string{"", "a <b>"}).Draw(t, "label"), rapid.SampledFrom([]EventWeight{EventPlain, EventNote, EventQuestion, EventStop, "odd"}).Draw(t, "weight")})
	}
	for range rapid.IntRange(0, 20).Draw(t, "readings") {
		far := rapid.OneOf(rapid.Float64Range(0, 400_000), rapid.SampledFrom([]float64{-5, 0, 1e12, 1e300, math.NaN(), math.Inf(1)})).Draw(t, "far")
		line.Readings = append(line.Readings, OdometerReading{when(), far, rapid.SampledFrom([]ReadingDoubt{ReadingSound, ReadingFalls, ReadingOffPace, "odd"}).Draw(t, "doubt")})
	}
	for range rapid.IntRange(0, 4).Draw(t, "gaps") {
		line.Gaps = append(line.Gaps, TimelineGap{when(), when(), rapid.String().Draw(t, "gap")})
	}
	if rapid.Bool().Draw(t, "now") {
		line.Today = when()
	}
	return line
}

// Whatever the story, nothing leaves the figure, no text lies over another, every dated event has one mark with its
// number, and no mark touches another.
func TestTimelineHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := drawnTimeline(t)
		holds(t, NewTimeline(line))
		size := Size{Name: "any", WidthPx: rapid.Float64Range(280, 1200).Draw(t, "wide")}
		shapes := line.draw(size).shapes
		dated := 0
		for i, e := range line.InOrder() {
			if e.Date.IsZero() {
				continue
			}
			dated++
			if number := fmt.Sprint(i + 1); !slices.Contains(texts(shapes), number) {
				t.Fatalf("event %s has no mark", number)
			}
		}
		numbers := byClass(shapes, "fig-story-number")
		if len(numbers) != dated {
			t.Fatalf("%d numbers for %d dated events", len(numbers), dated)
		}
		holdApart(t, shapes, numbers)
		targets := byClass(shapes, "fig-story-target")
		for i, a := range targets {
			for _, b := range targets[:i] {
				if a.overlaps(b) {
					t.Fatalf("target %v over target %v", a, b)
				}
			}
		}
	})
}

// holdApart finds marks that touch: the mark of a number is the smallest shape of a weight around it.
func holdApart(t *rapid.T, shapes []shape, numbers []box) {
	var marks []box
	for _, m := range byClass(shapes, "fig-story") {
		for _, n := range numbers {
			if m.x0 <= n.x0 && n.x1 <= m.x1 && m.y0 <= n.y0 && n.y1 <= m.y1 {
				marks = append(marks, m)
			}
		}
	}
	if len(marks) != len(numbers) {
		t.Fatalf("%d marks hold a number, of %d numbers", len(marks), len(numbers))
	}
	for i, a := range marks {
		for _, b := range marks[:i] {
			if a.overlaps(b) {
				t.Fatalf("mark %v over mark %v", a, b)
			}
		}
	}
}

// Sixty events stay a figure and not a wall: all in one week, or all on the same day, on a phone.
func TestTimelineOfSixtyStaysLow(t *testing.T) {
	for _, apart := range []int{0, 1, 30} {
		var line Timeline
		for i := range 60 {
			line.Events = append(line.Events, TimelineEvent{Date: day("2024-01-01").AddDate(0, 0, apart*i), Kind: "event"})
		}
		g := line.draw(Phone)
		if err := checkDrawing(g); err != nil {
			t.Error(err)
		}
		if g.height > 640 {
			t.Errorf("%d days apart: %.0f high, more than a phone's screen", apart, g.height)
		}
	}
}

// A finger's target keeps 24 px in a column of 302 px, and where the layout for laptops takes over at 664 px.
func TestTimelineTargets(t *testing.T) {
	for size, shown := range map[Size]float64{Phone: 302, Desk: 664} {
		targets := byClass(sampleTimeline().draw(size).shapes, "fig-story-target")
		if len(targets) != 11 {
			t.Fatalf("%d targets for 11 dated events", len(targets))
		}
		for _, b := range targets {
			if px := min(b.x1-b.x0, b.y1-b.y0) * shown / size.WidthPx; px < 24 {
				t.Errorf("at %s a target of %.1f px", size.Name, px)
			}
		}
	}
}

// Weights and doubts are told apart without colour: by the element and the number of corners.
func TestTimelineShapesDiffer(t *testing.T) {
	outline := func(s shape) string {
		switch s := s.(type) {
		case polyShape:
			return fmt.Sprint("corners ", len(s.points))
		case rectShape:
			return fmt.Sprint("round ", s.round > 0)
		case circleShape:
			return fmt.Sprint("circle ", s.r)
		}
		return ""
	}
	seen := map[string]EventWeight{}
	for _, w := range eventWeights {
		o := outline(eventShape(w, point{20, 20}, 10))
		if other, twice := seen[o]; twice || o == "" {
			t.Errorf("%q and %q look alike: %s", w, other, o)
		}
		seen[o] = w
	}
	doubts := map[string]bool{}
	for _, d := range []ReadingDoubt{ReadingSound, ReadingFalls, ReadingOffPace} {
		doubts[outline(readingShape(d, point{20, 20}))] = true
	}
	if len(doubts) != 3 {
		t.Errorf("readings look alike: %v", doubts)
	}
}

func TestTimelineOrderAndList(t *testing.T) {
	line := Timeline{Head: Head{ID: "s"}, Linked: true, Events: []TimelineEvent{
		{Kind: "no day"},
		{Date: day("2020-05-01"), Kind: "second", Weight: EventStop},
		{Date: day("2020-05-01").Add(-time.Hour), Kind: "first"},
		{Date: day("2020-05-01").Add(time.Hour), Kind: "third <i>"},
	}}
	list := string(line.List())
	at := 0
	for i, words := range []string{"first", "second", "third &lt;i&gt;", "no day"} {
		for _, want := range []string{`id="` + line.EventID(i+1) + `"`, words} {
			next := strings.Index(list[at:], want)
			if next < 0 {
				t.Fatalf("%q is not where it should be in %s", want, list)
			}
			at += next
		}
	}
	if err := checkMarkup(list); err != nil {
		t.Error(err)
	}
	svg := string(NewTimeline(line).SVG(Desk))
	links := regexp.MustCompile(`href="#([^"]+)"`).FindAllStringSubmatch(svg, -1)
	if len(links) != 3 {
		t.Fatalf("%d links for three dated events", len(links))
	}
	for _, l := range links {
		if !strings.Contains(list, `id="`+l[1]+`"`) {
			t.Errorf("a link leads to %s, which the list has not", l[1])
		}
	}
	if !strings.Contains(svg, `role="group"`) {
		t.Error("an image would hide the links from screen readers")
	}
}

// The twin has everything, also what cannot be drawn; the description counts by hand.
func TestTimelineWords(t *testing.T) {
	table := string(NewTimeline(sampleTimeline()).Table())
	for _, want := range []string{"12 import: said by the seller", "not known", "41,200 mi", "falls", "off its pace", "4 years without a record", "11 Apr 2019 to 14 Aug 2023", "stops the purchase"} {
		if !strings.Contains(table, want) {
			t.Errorf("the table lacks %q", want)
		}
	}
	want := `Events: 12. Stops the purchase: 1. To ask: 3. To note: 2. Odometer from 21,400 mi on 20 Apr 2015 to 74,100 mi on 30 Jun 2026. Readings marked "falls": 1. Readings marked "off its pace": 1. Gaps in the record: 1.`
	if got := sampleTimeline().describe(); got != want {
		t.Errorf("described as %s", got)
	}
}

func TestTimelineEscapes(t *testing.T) {
	evil := `<script>alert("1")</script> & ]]>` + "\x00\x1b"
	line := Timeline{
		Head: Head{ID: evil, Title: evil, Desc: evil}, Unit: evil, Group: "<b>", Linked: true, Today: day("2026-01-05"),
		Events:   []TimelineEvent{{day("2026-01-01"), evil, evil, EventWeight(evil)}},
		Readings: []OdometerReading{{day("2026-01-02"), 5e5, ReadingDoubt(evil)}},
		Gaps:     []TimelineGap{{day("2026-01-02"), day("2026-01-04"), evil}},
	}
	for _, markup := range []string{string(NewTimeline(line).HTML()), string(line.List())} {
		if err := checkMarkup(markup); err != nil {
			t.Error(err)
		}
		for _, bad := range []string{"<script", "<b>", "\x00", "\x1b"} {
			if strings.Contains(markup, bad) {
				t.Errorf("%q in %s", bad, markup)
			}
		}
	}
}
