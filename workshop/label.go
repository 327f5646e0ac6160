package workshop

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/rebuild"
)

// BagLabel is what stands on one bag.
type BagLabel struct {
	Code  string
	Item  *rebuild.StripItem
	Sets  []rebuild.FastenerSet // what is in it
	Renew bool                  // some of it must not be used again
}

// Lines say what is in the bag: "4 × M8x1.25 · 13 mm socket".
func (l BagLabel) Lines() []string {
	lines := make([]string, len(l.Sets))
	for i, f := range l.Sets {
		lines[i] = InWords(f)
	}
	return lines
}

// InWords says what a set of fasteners is, without its bag.
func InWords(f rebuild.FastenerSet) string {
	words := []string{fmt.Sprintf("%d ×", f.Count)}
	switch {
	case f.Thread != "":
		words = append(words, f.Thread)
	case f.Count == 1:
		words = append(words, "fastener")
	default:
		words = append(words, "fasteners")
	}
	said := strings.Join(words, " ")
	if f.Tool != "" {
		said += " · " + f.Tool
	}
	return said
}

// BagLabels lists the bags that are not empty yet, in the order in which the
// things came off. Several sets of a thing in one bag share its label.
func BagLabels(r *rebuild.Rebuild) []BagLabel {
	var labels []BagLabel
	for _, s := range r.Trail() {
		first := len(labels)
		for _, f := range s.Fasteners {
			if f.Bag == "" || f.Emptied {
				continue
			}
			at := slices.IndexFunc(labels[first:], func(l BagLabel) bool { return l.Code == f.Bag })
			if at < 0 {
				labels = append(labels, BagLabel{Code: f.Bag, Item: s})
				at = len(labels) - 1 - first
			}
			l := &labels[first+at]
			l.Sets = append(l.Sets, f)
			l.Renew = l.Renew || f.OneTime
		}
	}
	return labels
}
