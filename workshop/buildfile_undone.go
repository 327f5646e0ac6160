package workshop

import (
	"fmt"
	"strings"

	"wreckwright/rebuild"
)

// neverDone is what was never done at all, so that a book with nothing in it does
// not look like a car with nothing open.
func (t *telling) neverDone() []string {
	var items []string
	say := func(holds bool, words string) {
		if holds {
			items = append(items, words)
		}
	}
	say(len(t.r.Findings)+len(t.r.Jobs) == 0, "nothing is recorded of this car: neither what was found nor what was done")
	say(surveyOpen(t.r), "the survey is not finished, so what else is wrong is not known")
	say(len(t.r.Joints) == 0, "no joint is entered: how tight anything is, nothing shows")
	say(len(t.r.Evidence) == 0, "no measurement is kept")
	if unseen := t.itemsUnseen(); unseen > 0 {
		items = append(items, count(unseen, "item", "items")+" of the inspection: not looked at")
	}
	say(len(t.r.OfficialTests) == 0, "no official test is entered")
	return items
}

func surveyOpen(r *rebuild.Rebuild) bool {
	for i := range r.Stages {
		if r.Stages[i].Place().Key == "survey" {
			return r.Stages[i].State != rebuild.StageDone
		}
	}
	return true
}

// itemsUnseen counts the items of the inspection that no look counts for; an
// official test that was passed looked at them all.
func (t *telling) itemsUnseen() int {
	if officialThing(t.r).State == string(rebuild.TestPass) {
		return 0
	}
	in, err := InspectionOf(t.r)
	if err != nil {
		return 0
	}
	unseen := 0
	for _, p := range in.Parts {
		unseen += len(p.Lines) - p.Looked
	}
	return unseen
}

// gatesOpen are the gates that are not passed, or not as the car stands now.
func (t *telling) gatesOpen() []string {
	lines, err := gatesOf(t.r, t.today)
	if err != nil {
		return []string{"whether the gates are passed cannot be told: " + err.Error()}
	}
	var items []string
	for _, l := range lines {
		name := capitalFirst(string(l.Which))
		switch {
		case l.Passed():
		case l.HardStop():
			items = append(items, name+": stopped, "+against(len(l.Against), l.Hard))
		case l.Lapsed():
			items = append(items, fmt.Sprintf("%s: passed on %s, but %s up since", name, shortDay(l.Pass.At), count(len(l.New), "thing came", "things came")))
		default:
			items = append(items, name+": not passed, "+against(len(l.Against), 0))
		}
	}
	return items
}

func against(n, hard int) string {
	text := count(n, "thing stands", "things stand") + " against it"
	if hard > 0 {
		text += fmt.Sprintf(", %d of them whatever reason is given", hard)
	}
	return text
}

// notConfirmed is what the law asks for and nobody confirmed.
func (t *telling) notConfirmed() []string {
	var items []string
	for _, m := range MustDos(t.r, t.today) {
		if t.r.Confirmation(rebuild.ConfirmMustDo, m.Key) == nil {
			items = append(items, m.Text)
		}
	}
	return items
}

// zonesClosed are the zones that were never opened, together, and those of which
// a part was not where more may be hidden.
func (t *telling) zonesClosed() []string {
	var never, items []string
	for _, z := range t.r.Zones {
		switch {
		case z.OpenShare == 0:
			never = append(never, z.Place().Name)
		case z.OpenShare < 1 && z.HiddenExpected > 0:
			items = append(items, fmt.Sprintf("%s: %s of it opened", z.Place().Name, Percent(z.OpenShare)))
		}
	}
	if len(never) == 0 {
		return items
	}
	were := "were"
	if len(never) == 1 {
		were = "was"
	}
	first := fmt.Sprintf("%d of %s %s never opened", len(never), count(len(t.r.Zones), "zone", "zones"), were)
	if len(never) < len(t.r.Zones) {
		first += ": " + strings.Join(never, ", ")
	}
	return append([]string{first}, items...)
}

// howManyPoints names a count of points in the right number.
func howManyPoints(n int) string {
	if n == 1 {
		return "point not proven (section 2)"
	}
	return "points not proven (section 2)"
}
