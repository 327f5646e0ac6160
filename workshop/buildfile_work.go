package workshop

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// found tells the findings zone by zone, each with its photos.
func (t *telling) found() []buildfile.Block {
	if len(t.r.Findings) == 0 {
		return []buildfile.Block{{Text: "No finding is entered."}}
	}
	states := t.r.FindingStates()
	var blocks []buildfile.Block
	for _, place := range rebuild.ZonePlaces {
		var photos []buildfile.Photo
		table := buildfile.Table{Head: []string{"Found", "What", "How", "How bad", "Now"}, Shares: []float64{2.2, 7, 2, 2.4, 1.8}}
		for _, f := range t.r.Findings {
			if f.Zone != place.Key {
				continue
			}
			what := f.What
			if f.Dismissed != "" {
				what += " – nothing to do: " + f.Dismissed
			}
			table.Rows = append(table.Rows, []string{shortDay(f.On), what, string(f.HowFound), string(f.Severity) + critical(f.Safety), string(states[f.ID])})
			photos = append(photos, photosOf(f.Photos, "", f.What)...)
		}
		if len(table.Rows) == 0 {
			continue
		}
		blocks = append(blocks, buildfile.Block{Heading: place.Name}, buildfile.Block{Table: &table})
		if len(photos) > 0 {
			blocks = append(blocks, buildfile.Block{Photos: photos})
		}
	}
	return blocks
}

// photosOf are the pictures of a list, captioned, or with what they are of.
func photosOf(list []rebuild.Attachment, tag, of string) []buildfile.Photo {
	var photos []buildfile.Photo
	for _, a := range list {
		if a.IsImage() {
			photos = append(photos, buildfile.Photo{Hash: a.Hash, Caption: firstOf(a.Caption, of), Tag: tag})
		}
	}
	return photos
}

// done tells the finished jobs in the order in which they were finished, with
// photos before and after.
func (t *telling) done() []buildfile.Block {
	var jobs []*rebuild.Job
	for i := range t.r.Jobs {
		if t.r.Jobs[i].Finished() {
			jobs = append(jobs, &t.r.Jobs[i])
		}
	}
	slices.SortStableFunc(jobs, func(a, b *rebuild.Job) int { return strings.Compare(a.DoneOn, b.DoneOn) })
	if len(jobs) == 0 {
		return []buildfile.Block{{Text: "No job is finished."}}
	}
	var blocks []buildfile.Block
	for _, j := range jobs {
		blocks = append(blocks, t.job(j)...)
	}
	return blocks
}

func (t *telling) job(j *rebuild.Job) []buildfile.Block {
	word := "not proven"
	if j.State == rebuild.JobProven {
		word = "proven"
	}
	blocks := []buildfile.Block{{Verdict: &buildfile.Verdict{Word: word, Of: j.Title}}}
	way := "not entered"
	if route := j.ChosenRoute(); route != nil {
		way = routeInWords(route)
		if j.Failed && route.Fallback != nil {
			way += "; it failed, and was done by: " + firstOf(route.Fallback.Name, "its fallback")
		}
	}
	hours := ""
	if j.HoursSpent > 0 {
		hours = fmt.Sprintf("%.1f h", j.HoursSpent)
	}
	safety := ""
	if j.Safety.Critical() {
		safety = string(j.Safety)
	}
	var settled []string
	var before []buildfile.Photo
	for _, id := range j.Findings {
		if f := t.r.Finding(id); f != nil {
			settled = append(settled, f.What)
			before = append(before, photosOf(f.Photos, "before", f.What)...)
		}
	}
	var shown []string
	for _, e := range t.r.EvidenceOf(j.ID) {
		shown = append(shown, fmt.Sprintf("%s, %s: %s", e.Title, shortDay(e.On), e.Verdict))
	}
	blocks = append(blocks, buildfile.Block{Facts: factsOf(
		"Where", rebuild.ZoneName(j.Zone), "Safety-critical", safety, "How", way, "Done on", shortDay(j.DoneOn), "Own work", hours,
		"Settles", strings.Join(settled, "; "), "Evidence", j.Proof, "Measured", strings.Join(shown, "; "), "Note", j.Note,
	)})
	if photos := append(before, photosOf(j.Proofs, "after", j.Title)...); len(photos) > 0 {
		blocks = append(blocks, buildfile.Block{Photos: photos})
	}
	return blocks
}

// routeInWords says the kind of a route, its name and its method.
func routeInWords(route *rebuild.Route) string {
	told := string(route.Kind) + ": " + route.Name
	if route.Method != "" && route.Method != rebuild.MethodPlain {
		told += " (" + string(route.Method) + ")"
	}
	return told
}

// parts lists what went on the car and where it came from: the finished jobs by
// their route, and what the ledger says was bought for them.
func (t *telling) parts() []buildfile.Block {
	table := buildfile.Table{Head: []string{"Job", "Kind", "Part or way", "Came from"}, Shares: []float64{4.4, 2, 5.4, 4}}
	for i := range t.r.Jobs {
		j := &t.r.Jobs[i]
		route := j.ChosenRoute()
		if !j.Finished() || route == nil || route.Kind == rebuild.Leave {
			continue
		}
		table.Rows = append(table.Rows, []string{j.Title, string(route.Kind), route.Name, t.cameFrom(j.ID)})
	}
	if len(table.Rows) == 0 {
		return []buildfile.Block{{Text: "No finished job names the part that was used."}}
	}
	blocks := []buildfile.Block{{Table: &table}}
	if t.Options.Edition == buildfile.Redacted {
		blocks = append(blocks, buildfile.Block{Text: "Who sold them is left out of this edition."})
	}
	return blocks
}

func (t *telling) cameFrom(job int64) string {
	var from []string
	for _, e := range t.r.Entries {
		if e.JobID != job || e.Kind != rebuild.EntryPart {
			continue
		}
		told := strings.Join(slices.DeleteFunc([]string{e.Supplier, shortDay(e.On), e.What}, func(s string) bool { return s == "" }), ", ")
		from = append(from, told)
	}
	return strings.Join(from, "; ")
}

// stillOff lists what came off and is not back.
func (t *telling) stillOff() []buildfile.Block {
	table := buildfile.Table{Head: []string{"What", "Where", "Off since", "How it goes back", "Note"}, Shares: []float64{5, 3.6, 2.2, 2.4, 4}}
	for _, s := range t.r.StillOff("") {
		table.Rows = append(table.Rows, []string{s.What, rebuild.ZoneName(s.Zone), shortDay(s.At), string(s.Condition), s.Note})
	}
	all := fmt.Sprintf("%d things came off and were entered.", len(t.r.Strip))
	if len(table.Rows) == 0 {
		return []buildfile.Block{{Text: all + " All of them are back."}}
	}
	return []buildfile.Block{{Text: all}, {Table: &table}}
}

// money sums up the ledger by kind.
func (t *telling) money() []buildfile.Block {
	table := buildfile.Table{Head: []string{"Spent on", "Entries", "Sum"}, Shares: []float64{6, 2, 3}, Right: []bool{false, true, true}}
	for _, kind := range rebuild.EntryKinds {
		var sum int64
		n := 0
		for _, e := range t.r.Entries {
			if e.Kind == kind {
				sum, n = sum+e.Amount.Minor, n+1
			}
		}
		if n > 0 {
			table.Rows = append(table.Rows, []string{capitalFirst(string(kind)), fmt.Sprint(n), t.r.Amount(sum).String()})
		}
	}
	table.Rows = append(table.Rows, []string{"All", fmt.Sprint(len(t.r.Entries)), t.r.Spent().String()})
	blocks := []buildfile.Block{{Table: &table}}
	facts := []buildfile.Fact{}
	if !t.r.Car.Ceiling.IsZero() {
		facts = append(facts, buildfile.Fact{Name: "Ceiling", Value: t.r.Car.Ceiling.String()})
	}
	if s, err := savingsOf(t.r); err == nil && len(s.Jobs) > 0 {
		facts = append(facts, buildfile.Fact{Name: "Saved, proven", Value: s.Proven.String()}, buildfile.Fact{Name: "Saved, claimed only", Value: s.Claimed.String()})
	}
	if len(facts) > 0 {
		blocks = append(blocks, buildfile.Block{Facts: facts})
	}
	return blocks
}
