package workshop

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wreckwright/rebuild"
)

// Tick is a small thing said of what came off.
type Tick struct {
	What string // see the constants
	At   int    // place of the fasteners or connector, where it is about one
}

// What a tick may say. Not takes one back.
const (
	TickEmptied = "emptied" // all fasteners of the set are back on the car
	TickMade    = "made"    // the connector is made
	TickArrived = "arrived" // new fasteners are there
	TickOrdered = "ordered"
	TickSettled = "settled" // what goes back is there
	TickOff     = "off"     // it never went back
	TickAgain   = "again"   // it came off once more
)

// Ticked makes the change at that moment (RFC 3339). not takes the tick away.
func Ticked(r *rebuild.Rebuild, id int64, rev int, t Tick, not bool, at string) (rebuild.Change, error) {
	if t.What == TickAgain {
		return r.OffAgain(id, rev, at)
	}
	day := dayOf(at)
	old := r.StripItem(id)
	if old == nil {
		return rebuild.Change{}, &rebuild.Missing{Kind: rebuild.KindStripItem, ID: id}
	}
	s := *old
	s.Rev = rev
	s.Fasteners, s.Connectors = slices.Clone(s.Fasteners), slices.Clone(s.Connectors)
	what, err := s.What, error(nil)
	switch t.What {
	case TickSettled:
		s.SettledOn, what = unless(not, day), settledWords(s.Condition)
	case TickOrdered:
		if t.At < 0 {
			s.Note, what = withOrdered(s.Note, not, day), "ordered"
			break
		}
		what, err = tickFasteners(&s, t, not, day)
	case TickOff:
		s.BackAt, s.BackBy, s.BackAnyway = "", "", ""
	case TickMade:
		what, err = tickConnector(&s, t, not)
	default:
		what, err = tickFasteners(&s, t, not, day)
	}
	if err != nil {
		return rebuild.Change{}, err
	}
	c, err := r.EditStripItem(s)
	if err == nil && t.What != TickOff {
		c.What = said(c.What, what, not, s.What)
	}
	return c, err
}

// said puts the journal's words for a tick in the place of the general ones; what
// follows from the change stays.
func said(general, what string, not bool, item string) string {
	_, follows, there := strings.Cut(general, ", which came off")
	if !there {
		return general
	}
	if not {
		return fmt.Sprintf("took back “%s” of %q", what, item) + follows
	}
	return fmt.Sprintf("ticked “%s” of %q", what, item) + follows
}

func settledWords(c rebuild.Condition) string {
	if c == rebuild.ConditionDamaged {
		return "mended"
	}
	return "new one here"
}

func unless(not bool, day string) string {
	if not {
		return ""
	}
	return day
}

func tickFasteners(s *rebuild.StripItem, t Tick, not bool, day string) (string, error) {
	if t.At < 0 || t.At >= len(s.Fasteners) {
		return "", &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "tick", Text: fmt.Sprintf("%q has no fasteners %d", s.What, t.At+1)}}}
	}
	f := &s.Fasteners[t.At]
	switch t.What {
	case TickEmptied:
		f.Emptied = !not
		return "all in: " + InWords(*f), nil
	case TickArrived:
		f.ArrivedOn = unless(not, day)
		return "arrived: " + InWords(*f), nil
	case TickOrdered:
		f.Note = withOrdered(f.Note, not, day)
		return "ordered: " + InWords(*f), nil
	}
	return "", &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "tick", Text: fmt.Sprintf("%q cannot be ticked", t.What)}}}
}

func tickConnector(s *rebuild.StripItem, t Tick, not bool) (string, error) {
	if t.At < 0 || t.At >= len(s.Connectors) {
		return "", &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "tick", Text: fmt.Sprintf("%q has no connector %d", s.What, t.At+1)}}}
	}
	s.Connectors[t.At].Made = !not
	return "made: " + s.Connectors[t.At].Name, nil
}

// orderedMark begins the line of a note that says when something was ordered.
const orderedMark = "Ordered on "

// OrderedOn is the ISO date in the line of a note that says so; empty: none.
func OrderedOn(note string) string {
	for line := range strings.SplitSeq(note, "\n") {
		if on, ok := strings.CutPrefix(strings.TrimSpace(line), orderedMark); ok && isDay(strings.TrimSuffix(on, ".")) {
			return strings.TrimSuffix(on, ".")
		}
	}
	return ""
}

// dayOf is the date in a moment.
func dayOf(moment string) string { return moment[:min(len(moment), len(time.DateOnly))] }

func isDay(s string) bool {
	_, err := time.Parse(time.DateOnly, s)
	return err == nil
}

func withOrdered(note string, not bool, day string) string {
	lines := slices.DeleteFunc(strings.Split(note, "\n"), func(line string) bool { return OrderedOn(line) != "" || line == "" })
	if !not {
		lines = append(lines, orderedMark+day+".")
	}
	return strings.Join(lines, "\n")
}
