package workshop

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"wreckwright/bench/joint"
	"wreckwright/rebuild"
)

// ToolLine is a tool with what speaks against tightening with it today.
type ToolLine struct {
	*rebuild.Tool
	Against string // its calibration; empty: nothing
	Outside string // of a torque wanted; empty: in its range
	Joints  int    // tightened with it
}

// Fit reports whether nothing speaks against it.
func (l ToolLine) Fit() bool { return l.Against == "" && l.Outside == "" }

// ToolsOf lists the tools for a torque (0: any), those first against which nothing
// speaks, then by name.
func ToolsOf(r *rebuild.Rebuild, today string, torqueNm float64) []ToolLine {
	lines := make([]ToolLine, 0, len(r.Tools))
	for i := range r.Tools {
		t := &r.Tools[i]
		l := ToolLine{Tool: t, Against: t.AgainstCalibration(today), Joints: len(r.JointsTightenedWith(t.ID))}
		switch {
		case torqueNm == 0 || t.Reaches(torqueNm):
		case t.HighNm == 0:
			l.Outside = "its range is not known"
		default:
			l.Outside = fmt.Sprintf("%.4g N·m is outside its range, %.4g to %.4g N·m", torqueNm, t.LowNm, t.HighNm)
		}
		lines = append(lines, l)
	}
	slices.SortStableFunc(lines, func(a, b ToolLine) int {
		if a.Fit() != b.Fit() {
			if a.Fit() {
				return -1
			}
			return 1
		}
		return strings.Compare(a.Title, b.Title)
	})
	return lines
}

// ToolElsewhere is a tool of another rebuild in the book.
type ToolElsewhere struct {
	rebuild.Tool
	Rebuild int64
	Car     string
}

// ToolsElsewhere are the tools of the book's other rebuilds that this one does not
// have by name yet: the same wrench tightens every car. Of one name the one counts
// that was calibrated last.
func (w *Workshop) ToolsElsewhere(ctx context.Context, r *rebuild.Rebuild) ([]ToolElsewhere, error) {
	cars, err := w.book.List(ctx)
	if err != nil {
		return nil, err
	}
	var list []ToolElsewhere
	for _, car := range cars {
		if car.ID == r.ID {
			continue
		}
		other, err := w.book.Load(ctx, car.ID)
		if err != nil {
			return nil, err
		}
		for _, t := range other.Tools {
			list = offerTool(list, r, ToolElsewhere{t, other.ID, other.Car.Name})
		}
	}
	return list, nil
}

func offerTool(list []ToolElsewhere, r *rebuild.Rebuild, t ToolElsewhere) []ToolElsewhere {
	same := func(title string) bool {
		return strings.EqualFold(strings.TrimSpace(title), strings.TrimSpace(t.Title))
	}
	if slices.ContainsFunc(r.Tools, func(own rebuild.Tool) bool { return same(own.Title) }) {
		return list
	}
	at := slices.IndexFunc(list, func(other ToolElsewhere) bool { return same(other.Title) })
	switch {
	case at < 0:
		return append(list, t)
	case list[at].CalibratedOn < t.CalibratedOn:
		list[at] = t
	}
	return list
}

// Comparison is a wrench pulled against a reference.
type Comparison struct {
	On        string // ISO date
	Reference string // what it was held against
	Counts    bool   // the reference is calibrated itself, so that this counts as a calibration
	Pulls     []joint.WrenchReading
}

// Compare works out how far the tool lies off and gives the tool as it is then:
// the record in its note, and its calibration renewed where the comparison counts
// and it is within its class, taken away where it is not. The error is a
// [*joint.InputError].
func (c Comparison) Compare(t rebuild.Tool) (rebuild.Tool, joint.Calibration, error) {
	largest := t.HighNm
	if largest == 0 {
		for _, p := range c.Pulls {
			largest = max(largest, p.SetNm)
		}
	}
	limit := 0.0
	if t.Class != "" {
		limit = t.ClassShare()
	}
	found, err := joint.CheckWrench(largest, limit, c.Pulls)
	if err != nil {
		return t, found, err
	}
	said := fmt.Sprintf("%s: compared with %s, %s, furthest off %+.1f %%, %.3g %% allowed: %s.", c.On, c.Reference, pulls(len(c.Pulls)), 100*found.Worst, 100*found.Limit, within(found))
	t.Note = strings.TrimSpace(t.Note + "\n" + said)
	switch {
	case !found.Within:
		t.CalibratedOn, t.Certificate = "", ""
	case c.Counts:
		t.CalibratedOn, t.Certificate = c.On, "own comparison with "+c.Reference
	}
	return t, found, nil
}

func pulls(n int) string {
	if n == 1 {
		return "one pull"
	}
	return fmt.Sprintf("%d pulls", n)
}

func within(c joint.Calibration) string {
	if c.Within {
		return "within"
	}
	return "not within, so not to be used for a joint until it is adjusted"
}
