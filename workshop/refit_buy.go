package workshop

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/rebuild"
)

// BuyKey names a line of what is to be bought, so that a form can name it.
func BuyKey(b rebuild.ToBuy) string {
	kind := "fasteners"
	if b.Part {
		kind = "part"
	}
	plain := func(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), "")) }
	return kind + "|" + plain(b.Thread) + "|" + plain(b.What)
}

// BuyOrdered is when all of a line was ordered; empty: not all of it.
func BuyOrdered(b rebuild.ToBuy) string {
	day := ""
	for _, s := range b.Items {
		notes := []string{s.Note}
		if !b.Part {
			notes = nil
			for _, i := range setsOf(b, s) {
				notes = append(notes, s.Fasteners[i].Note)
			}
		}
		for _, note := range notes {
			on := OrderedOn(note)
			if on == "" {
				return ""
			}
			day = max(day, on)
		}
	}
	return day
}

// setsOf are the places of the fasteners of an item that the line is about.
func setsOf(b rebuild.ToBuy, s *rebuild.StripItem) []int {
	var at []int
	for i, f := range s.Fasteners {
		if f.OneTime && f.ArrivedOn == "" && BuyKey(rebuild.ToBuy{What: f.ToBuy, Thread: f.Thread}) == BuyKey(b) {
			at = append(at, i)
		}
	}
	return at
}

// Bought says of a whole line of what is to be bought that it was ordered or has
// arrived, as one change.
func Bought(r *rebuild.Rebuild, key, what, day string) (rebuild.Change, error) {
	for _, b := range r.ToBuy() {
		if BuyKey(b) != key || len(b.Items) == 0 {
			continue
		}
		var all rebuild.Change
		for _, s := range b.Items {
			c, err := r.EditStripItem(boughtFor(b, *s, what, day))
			if err != nil {
				return rebuild.Change{}, err
			}
			all.Edits = append(all.Edits, c.Edits...)
		}
		all.What = fmt.Sprintf("ticked “%s: %s”", what, BuyWords(b))
		return all, nil
	}
	return rebuild.Change{}, &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "line", Text: "that line is not on the list of what to buy any more: somebody was faster, or it was changed"}}}
}

func boughtFor(b rebuild.ToBuy, s rebuild.StripItem, what, day string) rebuild.StripItem {
	sets := setsOf(b, &s)
	s.Fasteners = slices.Clone(s.Fasteners)
	switch {
	case b.Part && what == TickArrived:
		s.SettledOn = day
	case b.Part:
		s.Note = withOrdered(s.Note, false, day)
	}
	if b.Part {
		return s
	}
	for _, i := range sets {
		if f := &s.Fasteners[i]; what == TickArrived {
			f.ArrivedOn = day
		} else {
			f.Note = withOrdered(f.Note, false, day)
		}
	}
	return s
}

// BuyWords says what a line asks for: "4 × M12x1.5, flange nut".
func BuyWords(b rebuild.ToBuy) string {
	var words []string
	for _, w := range []string{b.Thread, b.What} {
		if w != "" {
			words = append(words, w)
		}
	}
	if len(words) == 0 {
		words = []string{"fasteners, thread not said"}
	}
	if b.Part && b.Count == 1 {
		return strings.Join(words, ", ")
	}
	return fmt.Sprintf("%d × %s", b.Count, strings.Join(words, ", "))
}
