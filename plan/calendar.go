package plan

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Ticks are the whole numbers that schedules are worked in: 0.1 ms, so that
// hours, minutes and decimal fractions of a day down to a millionth are exact.
const (
	tickDay  = int64(864_000_000)
	tickHour = tickDay / 24
	tickWeek = 7 * tickDay
)

func toTicks(days float64) int64  { return int64(math.Round(days * float64(tickDay))) }
func toDays(ticks int64) float64  { return float64(ticks) / float64(tickDay) }
func hourTick(hour float64) int64 { return int64(math.Round(hour * float64(tickHour))) }

// stretch is a stretch of open time, in ticks.
type stretch struct{ from, to int64 }

// calendar is when work goes on: stretches of open time listed up to the end of
// the last exception, then the last week of the list over and over. Before day
// 0, where only backward passes come, all time counts as open.
type calendar struct {
	open  []stretch // sorted, apart
	done  []int64   // work before open[i]
	until int64     // end of the list, a whole number of weeks
	total int64     // work in the list
	week  int64     // work in the last week
}

// worked is the open time before t.
func (c *calendar) worked(t int64) int64 {
	if t <= 0 {
		return t
	}
	extra := int64(0)
	if t >= c.until {
		weeks := (t-c.until)/tickWeek + 1
		extra, t = weeks*c.week, t-weeks*tickWeek
	}
	i, found := slices.BinarySearchFunc(c.open, t, func(s stretch, at int64) int {
		switch {
		case s.to < at:
			return -1
		case s.from > at:
			return 1
		}
		return 0
	})
	if found {
		return extra + c.done[i] + t - c.open[i].from
	}
	if i == len(c.open) {
		return extra + c.total
	}
	return extra + c.done[i]
}

// first is the earliest time before which w was worked.
func (c *calendar) first(w int64) int64 {
	if w <= 0 {
		return w
	}
	shift := int64(0)
	if w > c.total {
		weeks := (w - c.total + c.week - 1) / c.week
		shift, w = weeks*tickWeek, w-weeks*c.week
	}
	i, _ := slices.BinarySearch(c.done, w) // done[i] >= w
	return shift + c.open[i-1].from + w - c.done[i-1]
}

// latest is the latest time before which no more than w was worked.
func (c *calendar) latest(w int64) int64 {
	if w < 0 {
		return w
	}
	shift := int64(0)
	if w >= c.total {
		weeks := (w-c.total)/c.week + 1
		shift, w = weeks*tickWeek, w-weeks*c.week
	}
	i, found := slices.BinarySearch(c.done, w)
	if !found {
		i--
	}
	return shift + c.open[i].from + w - c.done[i]
}

// nextOpen is the first time from t on when work can go on; lastOpen the last
// time up to t until when it could.
func (c *calendar) nextOpen(t int64) int64 {
	if c == nil {
		return t
	}
	return c.latest(c.worked(t))
}

func (c *calendar) lastOpen(t int64) int64 {
	if c == nil {
		return t
	}
	return c.first(c.worked(t))
}

// after is when work begun at t is done; before is when work done at t began.
func (c *calendar) after(t, work int64) int64 {
	if c == nil || work == 0 {
		return t + work
	}
	return c.first(c.worked(t) + work)
}

func (c *calendar) before(t, work int64) int64 {
	if c == nil || work == 0 {
		return t - work
	}
	return c.latest(c.worked(t) - work)
}

// openStretches lists the open time of whole weeks out of a week's hours (nil:
// all day, every day) and the days that are closed.
func openStretches(start time.Time, week *Week, closed []Span, weeks int) []stretch {
	var out []stretch
	weekday := int(start.Weekday())
	for day := range weeks * 7 {
		if slices.ContainsFunc(closed, func(s Span) bool { return float64(day) >= s.FromDay && float64(day) < s.ToDay }) {
			continue
		}
		from := int64(day) * tickDay
		if week == nil {
			out = join(out, stretch{from, from + tickDay})
			continue
		}
		for _, h := range week[(weekday+day)%7] {
			out = join(out, stretch{from + hourTick(h.From), from + hourTick(h.To)})
		}
	}
	return out
}

// join adds a stretch that begins no earlier than the last one ends.
func join(list []stretch, s stretch) []stretch {
	if n := len(list); n > 0 && list[n-1].to == s.from {
		list[n-1].to = s.to
		return list
	}
	return append(list, s)
}

// both is the time that is open in two lists.
func both(a, b []stretch) []stretch {
	var out []stretch
	for i, j := 0, 0; i < len(a) && j < len(b); {
		from, to := max(a[i].from, b[j].from), min(a[i].to, b[j].to)
		if from < to {
			out = append(out, stretch{from, to})
		}
		if a[i].to < b[j].to {
			i++
		} else {
			j++
		}
	}
	return out
}

// calendarOf makes a calendar of a list over whole weeks; nil where all of it is
// open.
func calendarOf(list []stretch, weeks int) (*calendar, error) {
	c := &calendar{until: int64(weeks) * tickWeek}
	if len(list) == 1 && list[0] == (stretch{0, c.until}) {
		return nil, nil
	}
	// The last week must stand on its own to be repeated.
	border := c.until - tickWeek
	for _, s := range list {
		if s.from < border && s.to > border {
			c.open = append(c.open, stretch{s.from, border})
			s.from = border
		}
		c.open = append(c.open, s)
	}
	for _, s := range c.open {
		c.done = append(c.done, c.total)
		c.total += s.to - s.from
		if s.from >= border {
			c.week += s.to - s.from
		}
	}
	if c.week == 0 {
		return nil, fmt.Errorf("there is no working time in a week")
	}
	return c, nil
}
