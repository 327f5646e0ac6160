package rebuild

// Person is somebody who works on the car.
type Person struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Name  string      `json:"name"`
	Own   bool        `json:"own"`   // whose hours are own hours: one person at most
	Hours []WorkHours `json:"hours"` // of a week
	Away  []DaySpan   `json:"away"`
	Extra []Opening   `json:"extra"` // working time besides, on single days
	Note  string      `json:"note"`
}

// ItemKind is part of [Item].
func (p Person) ItemKind() Kind { return KindPerson }

// ItemID is part of [Item].
func (p Person) ItemID() int64 { return p.ID }

// Revision is part of [Item].
func (p Person) Revision() int { return p.Rev }

// Label is part of [Item].
func (p Person) Label() string { return p.Name }

// HoursPerWeek is the working time in a week.
func (p Person) HoursPerWeek() float64 {
	sum := 0.0
	for _, h := range p.Hours {
		sum += h.Hours()
	}
	return sum
}

// Validate checks the person by itself.
func (p Person) Validate() error {
	var c checks
	c.text(p.Name, "name", "the name", 1, 80)
	c.workHours(p.Hours, "hours")
	c.that(len(p.Hours) > 0, "hours", "say when %s works: some hours on one day of the week at least", short(p.Name))
	c.spans(p.Away, "away", "away")
	c.openings(p.Extra, "extra")
	c.text(p.Note, "note", "the note", 0, 2000)
	return c.err()
}

// OwnHands is the person whose hours are own hours, or nil.
func (r *Rebuild) OwnHands() *Person {
	for i := range r.People {
		if r.People[i].Own {
			return &r.People[i]
		}
	}
	return nil
}

// Helpers are the people besides.
func (r *Rebuild) Helpers() []*Person { return those(r.People, func(p *Person) bool { return !p.Own }) }
