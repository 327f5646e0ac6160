package workshop

import (
	"slices"
	"strings"

	"wreckwright/rebuild"
)

// The stores in which a control unit keeps its codes, and what it says of itself, as
// the figures of a record are called.
const (
	storeStored    = "Stored codes"
	storePending   = "Pending codes"
	storePermanent = "Permanent codes"
	storeListed    = "Codes as listed"
	storeCounted   = "Codes counted by the control unit"
	storeLamp      = "Engine lamp (1 is on)"
)

var codeStores = []string{storeStored, storePending, storePermanent, storeListed, storeCounted, storeLamp}

// unitMark comes before the control unit in the name of a figure.
const unitMark = ", from "

// codesAnswered is what one control unit told of one of its stores.
type codesAnswered struct {
	Store string
	Unit  string // empty: not said
	N     int
}

// told is what the control units told of codes, those that hold some first.
func (c *CodesRead) told() []codesAnswered {
	stores := map[string]string{"stored": storeStored, "pending": storePending, "permanent": storePermanent, "": storeListed}
	var list []codesAnswered
	for _, a := range c.Answered {
		list = append(list, codesAnswered{stores[a.State], a.From, a.Codes})
	}
	for _, s := range c.Statuses {
		lamp := 0
		if s.LampOn {
			lamp = 1
		}
		list = append(list, codesAnswered{storeCounted, s.From, s.Codes}, codesAnswered{storeLamp, s.From, lamp})
	}
	slices.SortStableFunc(list, func(a, b codesAnswered) int { return min(b.N, 1) - min(a.N, 1) })
	return slices.CompactFunc(list, func(a, b codesAnswered) bool { return a.Store == b.Store && a.Unit == b.Unit })
}

// figure is how it is kept with a record.
func (a codesAnswered) figure() rebuild.EvidenceFigure {
	name := a.Store
	if a.Unit != "" {
		name += unitMark + a.Unit
	}
	return rebuild.EvidenceFigure{Name: name, Value: float64(a.N)}
}

// answeredIn reads such a figure; false where it is another.
func answeredIn(f rebuild.EvidenceFigure) (codesAnswered, bool) {
	store, unit, _ := strings.Cut(f.Name, unitMark)
	return codesAnswered{store, unit, int(f.Value)}, slices.Contains(codeStores, store)
}
