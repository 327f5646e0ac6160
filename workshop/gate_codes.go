package workshop

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"wreckwright/prove/gate"
	"wreckwright/rebuild"
)

// standingCodes is what a record found in one store of one control unit, until that
// is asked for once more.
type standingCodes struct {
	record *rebuild.Evidence
	codesAnswered
}

// codesThings are the records of which codes still stand, and how ready the car is
// by the last one. Codes tell what they tell, not that something passed or failed:
// a record that "cannot tell" stands against driving only by the codes in it, by
// how many the unit counts and by its lamp.
func codesThings(r *rebuild.Rebuild) []gate.Thing {
	records := codesInOrder(r)
	if len(records) == 0 {
		return nil
	}
	var standing []standingCodes
	for _, e := range records {
		for _, a := range answeredOf(e) {
			standing = slices.DeleteFunc(standing, func(s standingCodes) bool { return a.answersFor(s.codesAnswered) })
		}
		for _, a := range answeredOf(e) {
			if a.N > 0 {
				standing = append(standing, standingCodes{e, a})
			}
		}
	}
	var things []gate.Thing
	last := records[len(records)-1]
	for _, e := range records {
		switch has := slices.ContainsFunc(standing, func(s standingCodes) bool { return s.record == e }); {
		case has:
			things = append(things, gate.Thing{Kind: "codes", ID: e.ID, State: "there", Title: codesTitle(e), Why: e.Why})
		case e == last:
			things = append(things, readyThing(e))
		}
	}
	return things
}

func codesInOrder(r *rebuild.Rebuild) []*rebuild.Evidence {
	var list []*rebuild.Evidence
	for i := range r.Evidence {
		if e := &r.Evidence[i]; e.Instrument == rebuild.InstrumentCodes {
			list = append(list, e)
		}
	}
	slices.SortStableFunc(list, laterEvidence)
	return list
}

// codesTitle says what is on record: the codes that were read, else what the unit
// says of itself.
func codesTitle(e *rebuild.Evidence) string {
	read, said := 0, []string{}
	for _, a := range answeredOf(e) {
		switch {
		case a.Store == storeLamp && a.N > 0:
			said = append(said, "the engine lamp on")
		case a.Store == storeCounted && a.N > 0:
			said = append(said, countedCodes(a.N)+" counted by the control unit")
		}
	}
	for _, f := range e.Figures {
		if f.Name == figureCodes {
			read = int(f.Value)
		}
	}
	if read > 0 || len(said) == 0 {
		said = slices.Insert(said, 0, countedCodes(read))
	}
	return fmt.Sprintf("%s on record on %s: %s", strings.Join(said, ", "), e.On, e.Why)
}

// readyThing says whether the car is ready for the inspection of its emissions.
func readyThing(e *rebuild.Evidence) gate.Thing {
	state := "not known"
	switch e.Verdict {
	case rebuild.VerdictPass:
		state = "none"
	case rebuild.VerdictFail:
		state = "not ready"
	}
	return gate.Thing{Kind: "codes", ID: e.ID, Title: e.Title, State: state, Why: e.Why}
}

// answersFor reports whether an answer is one to what an earlier one told: of the
// same store, or of all of them where somebody says what a reader listed, and of
// the same control unit where both name one.
func (a codesAnswered) answersFor(earlier codesAnswered) bool {
	if a.Unit != "" && earlier.Unit != "" && a.Unit != earlier.Unit {
		return false
	}
	if told := a.Store == storeLamp || a.Store == storeCounted; told || earlier.Store == storeLamp || earlier.Store == storeCounted {
		return a.Store == earlier.Store
	}
	return a.Store == earlier.Store || a.Store == storeListed || earlier.Store == storeListed && a.Store == storeStored
}

// answeredOf is what a record tells of codes, by the figures kept with it. One kept
// before they told each store by itself tells only of the codes in it.
func answeredOf(e *rebuild.Evidence) []codesAnswered {
	var list []codesAnswered
	all := 0
	for _, f := range e.Figures {
		if f.Name == figureCodes {
			all = int(f.Value)
		}
		if a, ok := answeredIn(f); ok {
			list = append(list, a)
		}
	}
	if len(list) == 0 && all > 0 {
		return []codesAnswered{{Store: storeListed, N: all}}
	}
	slices.SortStableFunc(list, func(a, b codesAnswered) int { return cmp.Compare(a.Store, b.Store) })
	return list
}
