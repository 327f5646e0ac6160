package demo

import "time"

// calendar turns the story's days into dates. Day 0 is the last Saturday before
// today, day 7 the one before it.
type calendar struct{ last time.Time }

func newCalendar(today time.Time) calendar {
	y, m, d := today.Date()
	back := (int(today.Weekday()) - int(time.Saturday) + 7) % 7
	if back == 0 {
		back = 7
	}
	return calendar{time.Date(y, m, d-back, 0, 0, 0, 0, today.Location())}
}

func (c calendar) day(n int) time.Time { return c.last.AddDate(0, 0, -n) }

func (c calendar) date(n int) string { return c.day(n).Format(time.DateOnly) }

// clock is the time that the book is told while the story is played.
type clock struct {
	calendar
	at  time.Time
	day int
}

// turn sets the clock to the day: a Saturday begins in the morning, other days
// after work. Within a day it only runs on.
func (c *clock) turn(day int) {
	if c.day == day && !c.at.IsZero() {
		return
	}
	c.day = day
	start := 19*time.Hour + 10*time.Minute
	if c.calendar.day(day).Weekday() == time.Saturday {
		start = 9*time.Hour + 20*time.Minute
	}
	c.at = c.calendar.day(day).Add(start + time.Duration(day*7%25)*time.Minute)
}

// now is asked by the book for each change: a person takes a few minutes for one.
func (c *clock) now() time.Time {
	c.at = c.at.Add(3*time.Minute + time.Duration(c.at.Minute()*37%170)*time.Second)
	return c.at
}
