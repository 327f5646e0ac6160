package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// todayPage is what can be done now, by who is here and for how long.
type todayPage struct {
	Frame
	Form    *Form
	People  []tickBox // 0: own hands
	SetUps  []string
	Now     []nowLine
	Held    []workshop.HeldLine
	More    []workshop.HeldLine
	Why     string // why there is nothing to list
	Hours   float64
	Waiting int // deliveries on their way
}

// nowLine is one thing to do, with what can hurt at it.
type nowLine struct {
	workshop.NowLine
	Cautions []knowledge.Caution
	Href     string
}

// shownNow is how many things to do stand open: a list of all is no answer.
const shownNow = 5

// First are the things to do that stand open: what fills the hours that there are,
// where those are said.
func (p todayPage) First() []nowLine { return p.Now[:p.first()] }

// Later are the others, folded away.
func (p todayPage) Later() []nowLine { return p.Now[p.first():] }

func (p todayPage) first() int {
	most, hours := min(len(p.Now), shownNow), 0.0
	for i := range p.Now[:most] {
		if hours += p.Now[i].HoursLikely; p.Hours > 0 && hours >= p.Hours {
			return i + 1
		}
	}
	return most
}

// shownBatch is how many are named of what can be done in one go.
const shownBatch = 3

// Batched says what can be done in one go with it.
func (l nowLine) Batched() string {
	if len(l.Batch) == 0 {
		return ""
	}
	out := "In one go with: " + strings.Join(l.Batch[:min(len(l.Batch), shownBatch)], ", ")
	if more := len(l.Batch) - shownBatch; more > 0 {
		out += fmt.Sprintf(", and %d more", more)
	}
	return out + "."
}

// shownHeld is how many of what is held up stand open.
const shownHeld = 6

func (s *Server) todayShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.planFrame(r, "Today", rb)
	if err != nil {
		return err
	}
	f := s.presentForm(r, rb)
	page := todayPage{Frame: frame, Form: f, SetUps: setUps(rb)}
	for _, p := range presentPeople(rb) {
		page.People = append(page.People, f.box("here", p.ID, p.Label))
	}
	present := f.readPresent(rb)
	list, err := s.workshop.NowList(r.Context(), rb, present)
	if err != nil {
		return err
	}
	page.Hours = present.Hours
	page.take(list)
	for i := range rb.Deliveries {
		if !rb.Deliveries[i].Arrived() {
			page.Waiting++
		}
	}
	return s.showPart(w, r, "plan_today", "plan_today-list", page)
}

func (p *todayPage) take(list workshop.NowList) {
	p.Why = list.Why
	for _, l := range list.Now {
		line := nowLine{NowLine: l, Href: p.taskPath(l.PlanTask)}
		for _, hazard := range l.Hazards {
			if c, ok := knowledge.CautionFor(hazard); ok {
				line.Cautions = append(line.Cautions, c)
			}
		}
		p.Now = append(p.Now, line)
	}
	p.Held = list.Held
	if len(p.Held) > shownHeld {
		p.Held, p.More = p.Held[:shownHeld], p.Held[shownHeld:]
	}
}

// presentPeople are those who can be here: own hands, number 0, first.
func presentPeople(rb *rebuild.Rebuild) []tickBox {
	people := []tickBox{{ID: 0, Label: "Me"}}
	for _, h := range rb.Helpers() {
		people = append(people, tickBox{ID: h.ID, Label: h.Name})
	}
	return people
}

// presentForm is the form as it was asked with, or filled with what is likely so:
// those are here whose time it is by the timetable, and it is quiet when the clock
// says so.
func (s *Server) presentForm(r *http.Request, rb *rebuild.Rebuild) *Form {
	f := &Form{Values: map[string][]string{}}
	for name, values := range r.URL.Query() {
		f.Values[name] = values
	}
	if f.Has("asked", "1") {
		if len(rb.Helpers()) == 0 {
			f.Set("here", "0") // nobody else could be meant
		}
		return f
	}
	f.Set("here", "0")
	now := s.now()
	for _, h := range rb.Helpers() {
		if dueToday(h, now) {
			f.Values["here"] = append(f.Values["here"], number(h.ID))
		}
	}
	t := rb.Timetable()
	f.setBox("quiet", t.QuietFrom != t.QuietTo && t.QuietAt(60*now.Hour()+now.Minute()))
	return f
}

// dueToday reports whether somebody works today and is not through with it yet.
func dueToday(p *rebuild.Person, now time.Time) bool {
	on, minute := now.Format(time.DateOnly), 60*now.Hour()+now.Minute()
	for _, o := range p.Extra {
		if o.On == on && minute < o.To {
			return true
		}
	}
	away := slices.ContainsFunc(p.Away, func(s rebuild.DaySpan) bool { return s.From <= on && on <= s.To })
	return !away && slices.ContainsFunc(p.Hours, func(h rebuild.WorkHours) bool {
		return time.Weekday(h.Weekday) == now.Weekday() && minute < h.To
	})
}

// mostHoursToday bounds how long somebody can be here.
const mostHoursToday = 24

func (f *Form) readPresent(rb *rebuild.Rebuild) workshop.Present {
	p := workshop.Present{Here: map[int64]bool{}, Quiet: f.Has("quiet", "1"), Dark: f.Has("dark", "1")}
	for _, who := range presentPeople(rb) {
		p.Here[who.ID] = f.Has("here", strconv.FormatInt(who.ID, 10))
	}
	p.Hours = f.number("hours", "how many hours you have")
	if p.Hours < 0 || p.Hours > mostHoursToday {
		f.problem("hours", "%s hours do not fit into a day; write a number from 0 to %d", f.Value("hours"), mostHoursToday)
		p.Hours = 0
	}
	for _, text := range setUps(rb) {
		if slices.Contains(f.Values["set_up"], text) {
			p.SetUp = append(p.SetUp, text)
		}
	}
	return p
}
