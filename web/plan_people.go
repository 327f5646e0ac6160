package web

import (
	"fmt"
	"time"

	"wreckwright/rebuild"
)

// planPeople are those who work on the car: when they work in a week, when they
// are away, when they come besides.
var planPeople = planItems[rebuild.Person]{
	kind: rebuild.KindPerson, name: "person", path: "/plan/people",
	find: (*rebuild.Rebuild).Person, fill: (*Form).setPerson, read: (*Form).readPerson,
	add: (*rebuild.Rebuild).AddPerson, edit: (*rebuild.Rebuild).EditPerson, remove: (*rebuild.Rebuild).DeletePerson,
	show: showPlanItem[rebuild.Person]("plan_people", "People"),
}

// weekday is a day of the week in a form, with the rows of its stretches.
type weekday struct {
	Name string
	Rows []weekRow
}

// weekRow is a stretch of working time in a form: its fields begin with At.
type weekRow struct {
	At, Name string
	First    bool
}

// mostStretches bounds the stretches of one day in a form.
const mostStretches = 8

// Week are the days of a week, Monday first, each with what is filled and one
// more.
func (f *Form) Week() []weekday {
	var week []weekday
	for k := range 7 {
		day := (k + 1) % 7
		d := weekday{Name: time.Weekday(day).String()}
		for n := 1; n <= mostStretches; n++ {
			at := weekField(day, n)
			d.Rows = append(d.Rows, weekRow{At: at, Name: d.Name, First: n == 1})
			if !f.filled(at+"from", at+"to") {
				break
			}
		}
		week = append(week, d)
	}
	return week
}

func weekField(day, n int) string { return fmt.Sprintf("week.%d.%d.", day, n) }

func (f *Form) setPerson(p rebuild.Person) {
	f.Set("name", p.Name)
	f.setBox("own", p.Own)
	count := map[int]int{}
	for _, h := range p.Hours {
		count[h.Weekday]++
		at := weekField(h.Weekday, count[h.Weekday])
		f.Set(at+"from", clockField(h.From))
		f.Set(at+"to", clockField(h.To))
	}
	f.setSpans("away", p.Away)
	f.setExtra(p.Extra)
	f.Set("note", p.Note)
}

func (f *Form) readPerson(p *rebuild.Person, _ *rebuild.Rebuild, _ string) {
	p.Rev = f.rev()
	p.Name, p.Own, p.Note = f.Value("name"), f.Has("own", "1"), f.Value("note")
	p.Hours = nil
	for day := range 7 {
		for n := 1; n <= mostStretches; n++ {
			at := weekField(day, n)
			from, to := f.Value(at+"from"), f.Value(at+"to")
			if from == "" && to == "" {
				continue
			}
			a, b := f.stretchOfDay(at+"from", time.Weekday(day).String(), from, to)
			p.Hours = append(p.Hours, rebuild.WorkHours{Weekday: day, From: a, To: b})
		}
	}
	p.Away, p.Extra = f.spans("away"), f.extra()
}

// WeekWords says when somebody works in a week: "Tue 18:30–21:00, Sat 9:00–18:00".
func (f Frame) WeekWords(p rebuild.Person) string {
	out := ""
	for k := range 7 {
		day := (k + 1) % 7
		for _, h := range p.Hours {
			if h.Weekday != day {
				continue
			}
			if out != "" {
				out += ", "
			}
			out += fmt.Sprintf("%s %s–%s", time.Weekday(day).String()[:3], rebuild.Clock(h.From), rebuild.Clock(h.To))
		}
	}
	return out
}
