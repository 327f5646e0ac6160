package web

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// stripForm is the form for something that comes off, and what its fields offer.
type stripForm struct {
	Form       *Form
	Rows       []fastenerRow // of fasteners
	Photos     []rebuild.Attachment
	Zones      []Option
	Conditions []Option
	Words      workshop.StripWords
	// What the thing may name: what is most likely first, the others folded away.
	Before, Jobs, Joints boxes
}

// boxes are things to tick, most likely ones first.
type boxes struct{ First, More []tickBox }

// shownBoxes is how many stand open; more than that is a wall of buttons.
const shownBoxes = 5

// boxesFrom folds all away but the first few and those that are ticked.
func boxesFrom(near, other []tickBox) boxes {
	var b boxes
	for _, t := range near {
		if len(b.First) < shownBoxes || t.On {
			b.First = append(b.First, t)
		} else {
			b.More = append(b.More, t)
		}
	}
	b.More = append(b.More, other...)
	return b
}

// fastenerRow is one line of fasteners; its fields begin with At.
type fastenerRow struct {
	At string // "fasteners.1."
	N  int
	F  *Form
}

// tickBox is one thing to tick.
type tickBox struct {
	ID    int64
	Label string
	On    bool
}

// mostSets is how many lines of fasteners a form takes, freshSets how many of a
// new form are empty.
const mostSets, freshSets = 40, 3

// rowFields are the fields of a line of fasteners that a person fills.
var rowFields = []string{"count", "thread", "tool", "one_time", "to_buy", "bag", "was"}

func newStripForm(rb *rebuild.Rebuild, f *Form, but int64) stripForm {
	zone := f.Value("zone")
	form := stripForm{
		Form: f, Zones: zoneOptions("Where it sits"), Conditions: conditionOptions, Words: workshop.WordsForStrip(rb),
	}
	rows := max(freshSets, f.rows()+1)
	for n := 1; n <= min(rows, mostSets); n++ {
		form.Rows = append(form.Rows, fastenerRow{fmt.Sprintf("fasteners.%d.", n), n, f})
	}
	form.Before = f.beforeBoxes(rb, zone, but)
	form.Jobs = f.jobBoxes(rb, zone)
	form.Joints = f.jointBoxes(rb, zone)
	return form
}

// beforeBoxes are what may have had to come off first.
func (f *Form) beforeBoxes(rb *rebuild.Rebuild, zone string, but int64) boxes {
	numbers := stripNumbers(rb)
	var near []tickBox
	for _, s := range workshop.CameOffBefore(rb, zone, but, f.ids("after")) {
		near = append(near, f.box("after", s.ID, fmt.Sprintf("%d. %s", numbers[s.ID], s.What)))
	}
	return boxesFrom(near, nil)
}

func (f *Form) jobBoxes(rb *rebuild.Rebuild, zone string) boxes {
	near, other := workshop.JobsToOffer(rb, zone, f.ids("jobs"))
	return boxesFrom(f.boxesOf("jobs", near), f.boxesOf("jobs", other))
}

func (f *Form) boxesOf(field string, jobs []*rebuild.Job) []tickBox {
	var list []tickBox
	for _, j := range jobs[:min(len(jobs), mostBoxes)] {
		list = append(list, f.box(field, j.ID, j.Title))
	}
	return list
}

func (f *Form) jointBoxes(rb *rebuild.Rebuild, zone string) boxes {
	near, other := workshop.JointsToOffer(rb, zone, f.ids("joints"))
	list := func(joints []*rebuild.Joint) []tickBox {
		var list []tickBox
		for _, j := range joints[:min(len(joints), mostBoxes)] {
			list = append(list, f.box("joints", j.ID, j.Title))
		}
		return list
	}
	return boxesFrom(list(near), list(other))
}

// mostBoxes bounds what is offered beyond the zone.
const mostBoxes = 60

func (f *Form) box(field string, id int64, label string) tickBox {
	return tickBox{id, label, f.Has(field, strconv.FormatInt(id, 10))}
}

// conditionOptions say each condition as a person would.
var conditionOptions = []Option{
	{"", "Not said"},
	{string(rebuild.ConditionReuse), "Good as it is"},
	{string(rebuild.ConditionClean), "Clean it"},
	{string(rebuild.ConditionRenew), "Renew"},
	{string(rebuild.ConditionOneTime), "One-time part"},
	{string(rebuild.ConditionDamaged), "Damaged"},
	{string(rebuild.ConditionMissing), "Missing"},
}

func conditionName(c rebuild.Condition) string {
	for _, o := range conditionOptions {
		if o.Value == string(c) {
			return o.Label
		}
	}
	return string(c)
}

// ids are the numbers that a field names; what is none is left out.
func (f *Form) ids(field string) []int64 {
	var ids []int64
	for _, text := range f.Values[field] {
		if id, err := strconv.ParseInt(text, 10, 64); err == nil && !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	return ids
}

// rows is the last line of fasteners in which something was typed.
func (f *Form) rows() int {
	last := 0
	for n := 1; n <= mostSets; n++ {
		if f.rowTyped(n) {
			last = n
		}
	}
	return last
}

func (f *Form) rowTyped(n int) bool {
	return slices.ContainsFunc([]string{"count", "thread", "tool", "to_buy"}, func(field string) bool {
		return f.Value(fmt.Sprintf("fasteners.%d.%s", n, field)) != ""
	})
}

// closeUp moves the lines of fasteners up over empty ones, so that they are
// counted as the book counts them.
func (f *Form) closeUp() {
	to := 0
	for n := 1; n <= mostSets; n++ {
		if !f.rowTyped(n) {
			continue
		}
		to++
		for _, field := range rowFields {
			from := fmt.Sprintf("fasteners.%d.%s", n, field)
			values := f.Values[from]
			if n != to {
				delete(f.Values, from)
			}
			f.Set(fmt.Sprintf("fasteners.%d.%s", to, field), values...)
		}
	}
	for n := to + 1; n <= mostSets; n++ {
		for _, field := range rowFields {
			delete(f.Values, fmt.Sprintf("fasteners.%d.%s", n, field))
		}
	}
}

// readStripItem reads what a person says of a thing that comes off: all but its
// photos and the moment.
func (f *Form) readStripItem(s *rebuild.StripItem) {
	f.closeUp()
	s.What, s.Zone = f.Value("what"), f.Value("zone")
	s.Condition = rebuild.Condition(f.Value("condition"))
	s.Note = f.Value("note")
	s.After, s.Jobs, s.Joints = f.ids("after"), f.ids("jobs"), f.ids("joints")
	s.Fasteners = f.readFasteners(s.Fasteners)
	s.Connectors = readConnectors(f.Value("connectors"), s.Connectors)
	if !s.Condition.WantsSettling() {
		s.SettledOn = ""
	}
}

// readFasteners reads the lines; what the form does not show of a line that was
// there stays as it was.
func (f *Form) readFasteners(had []rebuild.FastenerSet) []rebuild.FastenerSet {
	var sets []rebuild.FastenerSet
	for n := 1; n <= f.rows(); n++ {
		at := fmt.Sprintf("fasteners.%d.", n)
		var set rebuild.FastenerSet
		if was, err := strconv.Atoi(f.Value(at + "was")); err == nil && was >= 0 && was < len(had) {
			set = had[was]
		}
		set.Count = int(f.whole(at+"count", "the number of fasteners"))
		set.Thread, set.Tool = f.Value(at+"thread"), f.Value(at+"tool")
		if f.Value(at+"count") == "" && set.Thread+set.Tool != "" {
			f.problem(at+"count", "say how many fasteners there are: %s", strings.TrimSpace(set.Thread+" "+set.Tool))
		}
		set.OneTime, set.ToBuy = f.Has(at+"one_time", "1"), f.Value(at+"to_buy")
		if bag, ok := f.Values[at+"bag"]; ok && len(bag) > 0 {
			set.Bag = strings.ToUpper(bag[0])
		}
		if !set.OneTime {
			set.ToBuy, set.ArrivedOn = "", ""
		}
		sets = append(sets, set)
	}
	return sets
}

// readConnectors reads names parted by commas or lines; one that was there keeps
// whether it is made.
func readConnectors(text string, had []rebuild.Connector) []rebuild.Connector {
	var list []rebuild.Connector
	left := slices.Clone(had)
	for _, name := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == '\n' || r == ';' }) {
		if name = strings.TrimSpace(name); name == "" {
			continue
		}
		k := rebuild.Connector{Name: name}
		if i := slices.IndexFunc(left, func(o rebuild.Connector) bool { return o.Name == name }); i >= 0 {
			k = left[i]
			left = slices.Delete(left, i, i+1)
		}
		list = append(list, k)
	}
	return list
}

// setStripItem fills the form with what is written of a thing.
func (f *Form) setStripItem(s *rebuild.StripItem) {
	f.Set("what", s.What)
	f.Set("zone", s.Zone)
	f.Set("condition", string(s.Condition))
	f.Set("note", s.Note)
	f.setIDs("after", s.After)
	f.setIDs("jobs", s.Jobs)
	f.setIDs("joints", s.Joints)
	names := make([]string, len(s.Connectors))
	for i, k := range s.Connectors {
		names[i] = k.Name
	}
	f.Set("connectors", strings.Join(names, ", "))
	f.Set("at", localMoment(s.At))
	f.setFiles(s.Photos)
	for i, set := range s.Fasteners {
		at := fmt.Sprintf("fasteners.%d.", i+1)
		f.Set(at+"count", strconv.Itoa(set.Count))
		f.Set(at+"thread", set.Thread)
		f.Set(at+"tool", set.Tool)
		f.Set(at+"to_buy", set.ToBuy)
		f.Set(at+"bag", set.Bag)
		f.Set(at+"was", strconv.Itoa(i))
		if set.OneTime {
			f.Set(at+"one_time", "1")
		}
	}
}

func (f *Form) setIDs(field string, ids []int64) {
	texts := make([]string, len(ids))
	for i, id := range ids {
		texts[i] = strconv.FormatInt(id, 10)
	}
	f.Set(field, texts...)
}

// localLayout is how a field for date and time writes a moment: by the clock on
// the wall of the workshop.
const localLayout = "2006-01-02T15:04"

func localMoment(moment string) string {
	at, err := time.Parse(time.RFC3339, moment)
	if err != nil {
		return ""
	}
	return at.Format(localLayout)
}

// readMoment reads a field for date and time; empty is otherwise. What stands
// unchanged keeps its seconds and its place on the globe.
func (f *Form) readMoment(field, name, otherwise string, now time.Time) string {
	text := f.Value(field)
	if text == "" || text == localMoment(otherwise) {
		return otherwise
	}
	for _, layout := range []string{localLayout, "2006-01-02T15:04:05", "2006-01-02 15:04", time.DateOnly} {
		at, err := time.ParseInLocation(layout, text, now.Location())
		if err != nil {
			continue
		}
		if at.After(now.Add(24 * time.Hour)) {
			f.problem(field, "%s, %s, has not come yet", name, text)
		}
		return at.Format(time.RFC3339)
	}
	f.problem(field, "%s %q is no date and time; write it like %s", name, text, now.Format(localLayout))
	return otherwise
}
