package rebuild

import (
	"cmp"
	"fmt"
	"slices"
	"time"
)

// WorkHours is one stretch of working time on a day of the week.
type WorkHours struct {
	Weekday int `json:"weekday"` // 0 Sunday to 6 Saturday
	From    int `json:"from"`    // minutes after midnight
	To      int `json:"to"`
}

// DaySpan is some days one after the other, both ends included.
type DaySpan struct {
	From string `json:"from"` // ISO date
	To   string `json:"to"`
	Why  string `json:"why"`
}

// Opening is working time on one day besides the week's: the helper comes on a
// Sunday.
type Opening struct {
	On   string `json:"on"`   // ISO date
	From int    `json:"from"` // minutes after midnight
	To   int    `json:"to"`
}

// Hours is how long a stretch is.
func (h WorkHours) Hours() float64 { return float64(h.To-h.From) / 60 }

const (
	minutesOfDay = 24 * 60
	maxStretches = 100
	maxSpans     = 200
)

// Clock writes minutes after midnight as people do: 18:30.
func Clock(minutes int) string { return fmt.Sprintf("%d:%02d", minutes/60, minutes%60) }

// workHours checks the hours of a week: each within its day, none over another.
func (c *checks) workHours(list []WorkHours, field string) {
	c.that(len(list) <= maxStretches, field, "there are %d stretches of working time; at most %d fit", len(list), maxStretches)
	for i, h := range list {
		at := fmt.Sprintf("%s.%d", field, i+1)
		known := h.Weekday >= 0 && h.Weekday <= 6
		c.that(known, at, "there is no day %d in a week; Sunday is 0, Saturday 6", h.Weekday)
		if !known {
			continue
		}
		name := time.Weekday(h.Weekday).String()
		c.stretch(h.From, h.To, at, name)
		for _, o := range list[:i] {
			over := o.Weekday == h.Weekday && o.From < h.To && h.From < o.To
			c.that(!over, at, "%s, %s to %s, lies over %s to %s of the same day", name, Clock(h.From), Clock(h.To), Clock(o.From), Clock(o.To))
		}
	}
}

func (c *checks) stretch(from, to int, field, name string) {
	inside := from >= 0 && to <= minutesOfDay
	c.that(inside, field, "%s: the hours must lie between 0:00 and 24:00", name)
	c.that(!inside || from < to, field, "%s: %s to %s is no working time; the end must be the later one", name, Clock(from), Clock(to))
}

func (c *checks) spans(list []DaySpan, field, name string) {
	c.that(len(list) <= maxSpans, field, "there are %d stretches of days; at most %d fit", len(list), maxSpans)
	for i, s := range list {
		at := fmt.Sprintf("%s.%d", field, i+1)
		c.date(s.From, at, "the first day "+name, true)
		c.date(s.To, at, "the last day "+name, true)
		c.that(s.From <= s.To || s.To == "", at, "%s to %s ends before it begins", s.From, s.To)
		c.text(s.Why, at, "the reason", 0, 200)
	}
}

func (c *checks) openings(list []Opening, field string) {
	c.that(len(list) <= maxSpans, field, "there are %d days with extra time; at most %d fit", len(list), maxSpans)
	for i, o := range list {
		at := fmt.Sprintf("%s.%d", field, i+1)
		c.date(o.On, at, "the day with extra time", true)
		c.stretch(o.From, o.To, at, o.On)
	}
}

// Includes reports whether the day is one of the span.
func (s DaySpan) Includes(on string) bool { return s.From <= on && on <= s.To }

// weekInOrder sorts the hours of a week by day and time.
func weekInOrder(list []WorkHours) []WorkHours {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b WorkHours) int {
		return cmp.Or(cmp.Compare(a.Weekday, b.Weekday), cmp.Compare(a.From, b.From))
	})
	return nilWhenEmpty(list)
}
