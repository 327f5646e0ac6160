package workshop

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"wreckwright/knowledge"
	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// telling writes the document of a build file.
type telling struct {
	*BuildFile
	shop  *Workshop
	r     *rebuild.Rebuild // as the edition has it
	whole *rebuild.Rebuild // as the book has it: for the names in fault models only
	today string
	story Appraised
}

// document tells the rebuild. Order: who it is, what was found and done, what
// proves it, what does not.
func (w *Workshop) document(ctx context.Context, b *BuildFile, whole *rebuild.Rebuild) buildfile.Document {
	t := &telling{BuildFile: b, shop: w, r: b.Rebuild, whole: whole, today: b.Options.At.Format(time.DateOnly)}
	t.story.identify(whole, t.today)
	t.story.read(t.r, t.today)
	d := buildfile.Document{
		Title: t.r.Car.Name, Subtitle: t.subtitle(), Category: t.categoryStated(), Edition: b.Options.Edition,
		MadeOn: b.Options.At.Format("2 January 2006"), Program: b.Options.Program,
	}
	unproven := t.unproven()
	d.Glance = t.glance(unproven)
	d.Notice = t.notice()
	d.Sections = []buildfile.Section{
		{Title: "Identity and category", Blocks: t.identity()},
		{Title: "What is not proven", Blocks: unproven.blocks()},
		{Title: "What was found", Blocks: t.found()},
		{Title: "What was done", Blocks: t.done()},
		{Title: "Parts used", Blocks: t.parts()},
		{Title: "Joints and how they were tightened", Blocks: t.joints()},
		{Title: "Still off the car", Blocks: t.stillOff()},
		{Title: "Faults that were looked for", Blocks: t.cases()},
		{Title: "Measurements", Blocks: t.measurements(ctx)},
	}
	if driven := t.driven(); len(driven) > 0 {
		d.Sections = append(d.Sections, buildfile.Section{Title: "Shakedown and official tests", Blocks: driven})
	}
	if b.Options.Money {
		d.Sections = append(d.Sections, buildfile.Section{Title: "Money", Blocks: t.money()})
	}
	d.Sections = append(
		d.Sections,
		buildfile.Section{Title: "Gates passed against advice", Blocks: t.passed()},
		buildfile.Section{Title: "What must be told on a sale", Blocks: t.told()},
		buildfile.Section{Title: "Cautions", Blocks: t.cautions()},
	)
	return d
}

func (t *telling) subtitle() string {
	var parts []string
	for _, part := range []string{t.r.Car.Maker, t.r.Car.Model, yearOf(t.r.Car.Year), t.r.Car.Colour} {
		if part != "" {
			parts = append(parts, part)
		}
	}
	return strings.Join(parts, " · ")
}

func yearOf(year int) string {
	if year == 0 {
		return ""
	}
	return fmt.Sprint(year)
}

// categoryStated says the salvage category so that nobody can miss it.
func (t *telling) categoryStated() string {
	car := t.r.Car
	place := car.Jurisdiction
	for _, j := range knowledge.Jurisdictions() {
		if j.Key == car.Jurisdiction {
			place = j.Name
		}
	}
	if car.Category == "" {
		return "No salvage category is entered for " + place + ". That does not prove that there is none."
	}
	if c, ok := knowledge.CategoryFor(car.Jurisdiction, car.Category); ok {
		return fmt.Sprintf("Salvage category %s (%s): %s. %s", c.Code, place, c.Name, c.Meaning)
	}
	return fmt.Sprintf("Salvage category %s (%s). What it means is not known here.", car.Category, place)
}

func (t *telling) glance(u unproven) []buildfile.Fact {
	finished, proven := 0, 0
	for i := range t.r.Jobs {
		if j := &t.r.Jobs[i]; j.Finished() {
			finished++
			if j.State == rebuild.JobProven {
				proven++
			}
		}
	}
	tight := 0
	for _, j := range t.r.Joints {
		if t.r.JointStand(j, t.today).Proven() {
			tight++
		}
	}
	return []buildfile.Fact{
		{Name: "things found", Value: fmt.Sprint(len(t.r.Findings))},
		{Name: "finished jobs proven, of all finished", Value: fmt.Sprintf("%d of %d", proven, finished)},
		{Name: "joints proven tight, of all", Value: fmt.Sprintf("%d of %d", tight, len(t.r.Joints))},
		{Name: "measurements", Value: fmt.Sprint(len(t.r.Evidence))},
		{Name: "entries in the record of evidence", Value: fmt.Sprint(len(t.Record))},
		{Name: howManyPoints(u.count()), Value: fmt.Sprint(u.count())},
	}
}

func (t *telling) notice() []string {
	safety := safetyOf(t.r)
	drive := "May it be driven, by this record: " + safety.Verdict + "."
	if safety.Why != "" {
		drive = "May it be driven, by this record: " + safety.Verdict + ": " + safety.Why + "."
	}
	lines := []string{
		drive,
		RecordNotInspection,
		"What stands here was entered by those who did the work. The signature shows that nothing was changed since; it does not show that what was entered is true.",
	}
	if t.Options.Edition == buildfile.Redacted {
		lines = append(lines, "Redacted edition: without prices, names, plate and the number of this very car. Photos are in it and may show any of these: look at them before you pass it on.")
	}
	return lines
}

func (t *telling) identity() []buildfile.Block {
	car := t.r.Car
	facts := factsOf(
		"Maker", car.Maker, "Model", car.Model, "Model year", yearOf(car.Year), "VIN", car.VIN, "Plate", car.Plate,
		"Colour", car.Colour, "Jurisdiction", car.Jurisdiction, "First used", shortDay(t.r.Appraisal.FirstUsed),
		"Bought", shortDay(car.BoughtOn), "Distance when bought", distanceOf(car),
	)
	blocks := []buildfile.Block{{Facts: facts}, {Heading: "Salvage category"}, {Text: t.categoryStated()}}
	if c, ok := knowledge.CategoryFor(car.Jurisdiction, car.Category); ok {
		blocks = append(blocks, buildfile.Block{Facts: factsOf("May it return to the road", c.Road, "What that needs", c.First, "What must be told", c.Tell, "Written down", c.AsAt)})
	}
	if id := t.story.Identity; id != nil {
		state := fmt.Sprintf("The VIN's check digit: %s.", id.CheckDigit.State)
		blocks = append(blocks, buildfile.Block{Heading: "The VIN by itself"}, buildfile.Block{Text: state + " A VIN that is possible can still have been moved from another car."})
	}
	if s := t.story.Story; s != nil {
		blocks = append(blocks, buildfile.Block{Heading: "May it return to the road"}, buildfile.Block{Text: capitalFirst(s.MayReturn) + ": " + sentences([]string{s.Why}) + " " + s.Disclaim})
	}
	return append(blocks, t.past()...)
}

// past is the car's story as it was entered.
func (t *telling) past() []buildfile.Block {
	events := t.r.Appraisal.Events
	if len(events) == 0 {
		return []buildfile.Block{{Heading: "Its story"}, {Text: "Nothing of its story before is entered."}}
	}
	table := buildfile.Table{Head: []string{"Day", "What", "Odometer", "Note"}, Shares: []float64{2, 4, 2, 6}, Right: []bool{false, false, true, false}}
	byDay := func(a, b rebuild.HistoryEvent) int { return strings.Compare(a.On, b.On) }
	for _, e := range slices.SortedStableFunc(slices.Values(events), byDay) {
		what := string(e.Kind)
		for _, more := range []string{e.Category, e.Result} {
			if more != "" {
				what += " " + more
			}
		}
		odometer := ""
		if e.Odometer != nil {
			odometer = fmt.Sprintf("%d %s", *e.Odometer, firstOf(e.Unit, t.r.Car.DistanceUnit))
		}
		table.Rows = append(table.Rows, []string{shortDay(e.On), what, odometer, e.Note})
	}
	return []buildfile.Block{{Heading: "Its story"}, {Table: &table}}
}

// told is the text that a sale needs, where the law is known here.
func (t *telling) told() []buildfile.Block {
	blocks := []buildfile.Block{}
	var items []string
	if s := t.story.Story; s != nil {
		for _, a := range s.MustDisclose {
			items = append(items, a.Text)
		}
		if len(s.MustDo) > 0 {
			var do []string
			for _, a := range s.MustDo {
				do = append(do, a.Text)
			}
			blocks = append(blocks, buildfile.Block{Heading: "Before it returns to the road"}, buildfile.Block{List: do})
		}
	} else if c, ok := knowledge.CategoryFor(t.r.Car.Jurisdiction, t.r.Car.Category); ok {
		items = []string{c.Code + ": " + c.Tell}
	}
	if len(items) == 0 {
		items = []string{"No mark and no duty to tell is known here. Answer what is asked truthfully."}
	}
	blocks = slices.Insert(blocks, 0, buildfile.Block{Heading: "To a buyer"}, buildfile.Block{List: items})
	return append(blocks, buildfile.Block{Text: "Information, no legal advice. The authority’s word counts."})
}

// passed tells the gates that were passed although something stood against it.
func (t *telling) passed() []buildfile.Block {
	var blocks []buildfile.Block
	for _, p := range t.r.GatePasses {
		if !p.AgainstAdvice() {
			continue
		}
		withdrawn := ""
		if !p.Holds() {
			withdrawn = "on " + shortDay(p.WithdrawnAt) + ": " + p.WithdrawnWhy
		}
		var against []string
		for _, a := range p.Against {
			against = append(against, a.Text)
		}
		blocks = append(
			blocks, buildfile.Block{Heading: capitalFirst(string(p.Gate)) + ", passed on " + shortDay(p.At)},
			buildfile.Block{Facts: factsOf("By", p.By, "Reason given", p.Reason, "Taken back", withdrawn)},
			buildfile.Block{Text: "What stood against it:"}, buildfile.Block{List: against},
		)
	}
	if len(blocks) == 0 {
		blocks = []buildfile.Block{{Text: "None is recorded."}}
	}
	if clear := t.passedClear(); len(clear) > 0 {
		blocks = append(blocks, buildfile.Block{Heading: "Gates passed with nothing on record against it"}, buildfile.Block{List: clear})
	}
	return blocks
}

// passedClear are the gates that nothing stood against when they were passed.
func (t *telling) passedClear() []string {
	var list []string
	for _, p := range t.r.GatePasses {
		if p.AgainstAdvice() {
			continue
		}
		line := fmt.Sprintf("%s, on %s, by %s", capitalFirst(string(p.Gate)), shortDay(p.At), p.By)
		if !p.Holds() {
			line += "; taken back on " + shortDay(p.WithdrawnAt) + ": " + p.WithdrawnWhy
		}
		list = append(list, line)
	}
	return list
}

// cut takes out of a text what the edition leaves out.
func (t *telling) cut(s string) string {
	if t.Options.Edition != buildfile.Redacted {
		return s
	}
	s, _ = t.Leaving.Words.Cut(s)
	return s
}

// cautions are those of the zones and safety classes in which work was done.
func (t *telling) cautions() []buildfile.Block {
	wanted := map[string]bool{}
	for i := range t.r.Jobs {
		for _, c := range knowledge.CautionsAt(t.r.Jobs[i].Zone, string(t.r.Jobs[i].Safety)) {
			wanted[c.Hazard] = true
		}
	}
	blocks := []buildfile.Block{{Text: "Work on this car can hurt. What follows stood beside the steps of the work; it does not replace the maker’s procedure, local codes or licensed practice."}}
	for _, c := range knowledge.Cautions() {
		if wanted[c.Hazard] {
			blocks = append(blocks, buildfile.Block{Caution: &buildfile.Caution{Title: c.Name, Text: c.Text + " " + c.DeferTo}})
		}
	}
	return blocks
}

// factsOf makes facts of names and values, those without a value left out.
func factsOf(pairs ...string) []buildfile.Fact {
	facts := []buildfile.Fact{}
	for i := 0; i+1 < len(pairs); i += 2 {
		if strings.TrimSpace(pairs[i+1]) != "" {
			facts = append(facts, buildfile.Fact{Name: pairs[i], Value: pairs[i+1]})
		}
	}
	return facts
}

// shortDay shows the day of an ISO date or moment as "21 Mar 2026".
func shortDay(iso string) string {
	d, err := time.Parse(time.DateOnly, iso[:min(len(iso), len(time.DateOnly))])
	if err != nil {
		return iso
	}
	return d.Format("2 Jan 2006")
}

func distanceOf(car rebuild.Car) string {
	if car.Distance == 0 {
		return ""
	}
	return fmt.Sprintf("%d %s", car.Distance, car.DistanceUnit)
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

func capitalFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
