package chart

import (
	"fmt"
	"html/template"
	"strconv"
)

// ZoneState says what is known of a zone.
type ZoneState string

// The states of a zone.
const (
	ZoneUnseen  ZoneState = "unseen"  // not surveyed yet
	ZoneClear   ZoneState = "clear"   // surveyed, nothing found
	ZoneOpen    ZoneState = "open"    // findings to settle
	ZoneSafety  ZoneState = "safety"  // findings to settle that touch safety
	ZoneSettled ZoneState = "settled" // all findings settled
)

// ZoneMark is one zone to tap.
type ZoneMark struct {
	Key    string // "front-left-wing"; an unknown key gets a box beside the car
	Name   string // "Front-left wing"
	Short  string // "Wing": for the drawing, where left and right are plain; empty means Name
	Href   string // within the own site
	Open   int    // open findings
	Safety int    // of these, the ones that touch safety
	State  ZoneState
	Now    bool // the zone that the page is about
}

// PlanOptions name the figure.
type PlanOptions struct{ Head }

// PlanView draws the car from above, front at the top, every zone a link. The figure is a group, not an image, so that
// the links stay reachable. Every target holds a square of 24 px in a figure 288 px wide; at 320 px all but the sills hold one of 30 px.
func PlanView(zones []ZoneMark, opts PlanOptions) template.HTML {
	return NewPlanView(zones, opts).SVG(Phone)
}

// NewPlanView is PlanView with its table twin.
func NewPlanView(zones []ZoneMark, opts PlanOptions) Figure {
	if opts.Desc == "" {
		opts.Desc = describeZones(zones)
	}
	t := Table{Columns: []string{"Zone", "State", "Open findings", "Of these safety"}}
	for _, z := range zones {
		t.Rows = append(t.Rows, []string{z.Name, string(z.state()), strconv.Itoa(z.Open), strconv.Itoa(z.Safety)})
	}
	draw := func(Size) *drawing { return drawPlan(zones) }
	return Figure{head: opts.Head, role: "group", draw: draw, table: t, fixed: "fig-plan"}
}

func describeZones(zones []ZoneMark) string {
	open, safety := 0, 0
	for _, z := range zones {
		open, safety = open+z.Open, safety+z.Safety
	}
	return fmt.Sprintf("The car from above, front at the top. %d findings open, %d of them touch safety. Choose a zone.", open, safety)
}

func (z ZoneMark) state() ZoneState {
	switch z.State {
	case ZoneClear, ZoneOpen, ZoneSafety, ZoneSettled:
		return z.State
	}
	return ZoneUnseen
}

// spoken is the name of the link: what a screen reader says and the pointer shows.
func (z ZoneMark) spoken() string {
	s := z.Name
	switch {
	case z.Safety > 0:
		s += fmt.Sprintf(": %d open, %d safety", z.Open, z.Safety)
	case z.Open > 0:
		s += fmt.Sprintf(": %d open", z.Open)
	default:
		s += map[ZoneState]string{ZoneUnseen: ": not looked at", ZoneClear: ": nothing found", ZoneSettled: ": settled"}[z.state()]
	}
	return s
}

func drawPlan(zones []ZoneMark) *drawing {
	g := &drawing{width: planWidth, height: carBottom}
	placed, boxes := layoutZones(zones)
	g.height = max(g.height, planBoxTop+float64(boxes)*(planBoxH+planBoxGap))
	given := map[string]bool{}
	for _, z := range zones {
		given[z.Key] = true
	}
	for _, data := range missingShapes(given) {
		g.add(pathShape{"fig-zone-absent", data})
	}
	// Panels first: what lies beneath them is drawn over them, so that it can be tapped.
	for _, beneath := range []bool{false, true} {
		for i, z := range zones {
			if placed[i].under == beneath {
				g.add(zoneLink(z, placed[i]))
			}
		}
	}
	for _, d := range planDetails {
		g.add(pathShape{"fig-detail", d})
	}
	return g
}

// layoutZones gives every zone a shape: its place in the plan, else the next free box.
func layoutZones(zones []ZoneMark) (placed []planShape, boxes int) {
	boxes = len(boxZones)
	seen := map[string]bool{}
	for _, z := range zones {
		s, ok := planShapeOf(z.Key)
		switch at := boxIndex(z.Key); {
		case seen[z.Key]:
			s, boxes = planBox(boxes), boxes+1
		case ok:
		case at >= 0:
			s = planBox(at)
		default:
			s, boxes = planBox(boxes), boxes+1
		}
		seen[z.Key] = true
		placed = append(placed, s)
	}
	return placed, boxes
}

func boxIndex(key string) int {
	for i, k := range boxZones {
		if k == key {
			return i
		}
	}
	return -1
}

// PlanKeys lists the zones that have a place of their own in the plan view, front to rear, then the boxes.
func PlanKeys() []string {
	return append([]string{
		"front-bumper", "bonnet", "engine-bay", "front-left-wing", "front-right-wing", "front-left-corner",
		"front-right-corner", "windscreen", "left-door", "right-door", "cabin", "roof", "left-sill", "right-sill",
		"rear-left-quarter", "rear-right-quarter", "rear-left-corner", "rear-right-corner", "boot", "rear-bumper",
	}, boxZones...)
}

// missingShapes keeps the car whole when a page gives only some zones.
func missingShapes(given map[string]bool) []string {
	var out []string
	for _, key := range PlanKeys() {
		if s, ok := planShapeOf(key); ok && !given[key] {
			out = append(out, s.data)
		}
	}
	return out
}

func zoneLink(z ZoneMark, s planShape) linkShape {
	class := "fig-zone fig-zone-" + string(z.state())
	if s.under {
		class += " fig-zone-under"
	}
	if z.Now {
		class += " fig-zone-now"
	}
	l := linkShape{class: class, href: z.Href, name: z.spoken()}
	l.children = append(l.children, pathShape{"fig-zone-shape", s.data})
	l.children = append(l.children, zoneWords(z, s)...)
	l.children = append(l.children, zoneBadge(z, s.badge)...)
	return l
}

// zoneWords writes the short name where it fits whole; the full one is always in the link's name.
func zoneWords(z ZoneMark, s planShape) []shape {
	words := z.Short
	if words == "" {
		words = z.Name
	}
	along, across := s.name.x1-s.name.x0, s.name.y1-s.name.y0
	if s.upward {
		along, across = across, along
	}
	most := max(int(across/13), 1)
	lines, short := wrap(words, smallSize, along, most)
	if short {
		return nil
	}
	cx, cy := (s.name.x0+s.name.x1)/2, (s.name.y0+s.name.y1)/2
	var out []shape
	for i, l := range lines {
		shift := 13*(float64(i)-float64(len(lines)-1)/2) + 4
		t := textShape{class: "fig-text fig-small fig-zone-name", anchor: atMiddle, size: smallSize, text: l, upward: s.upward}
		t.at = point{cx, cy + shift}
		if s.upward {
			t.at = point{cx + shift, cy}
		}
		out = append(out, t)
	}
	return out
}

// zoneBadge counts the open findings: round, or with corners when some touch safety; a settled zone gets a tick. The
// form tells it, not colour alone.
func zoneBadge(z ZoneMark, at point) []shape {
	if z.Open <= 0 && z.Safety <= 0 {
		if z.state() == ZoneSettled {
			return []shape{tickmark("fig-tickmark fig-tickmark-settled", at)}
		}
		return nil
	}
	count := strconv.Itoa(max(z.Open, z.Safety))
	if len(count) > 2 {
		count = "99"
	}
	number := textShape{class: "fig-text fig-small fig-badge-number", at: point{at.x, at.y + 4.2}, anchor: atMiddle, size: smallSize, text: count}
	if z.Safety > 0 {
		r := 12.5
		diamond := []point{{at.x, at.y - r}, {at.x + r, at.y}, {at.x, at.y + r}, {at.x - r, at.y}}
		return []shape{polyShape{class: "fig-badge fig-badge-safety", points: diamond, closed: true}, number}
	}
	return []shape{circleShape{"fig-badge fig-badge-open", at, 9.5}, number}
}
