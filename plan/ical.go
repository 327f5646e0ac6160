package plan

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode/utf8"
)

// Event is one entry of a calendar file. Either the times or, for whole days,
// the dates alone count.
type Event struct {
	UID         string // the same for the same thing in every edition, so that calendars update it
	Summary     string
	Description string
	Location    string
	Categories  []string
	Start       time.Time
	End         time.Time // not included; zero: an event of no length, or of one day
	WholeDays   bool
	Free        bool // takes nobody's time: others can ask for it
	Sequence    int  // grows with every change
	Alarms      []Alarm
}

// Alarm reminds some time before the start of an event.
type Alarm struct {
	Before time.Duration
	Text   string
}

// ICalendar writes a calendar file: made is when, name what the calendar is
// called. Times are written in UTC, lines folded at 75 octets and ended by CRLF.
//
// ref: RFC_5545 section 3.1 content lines; RFC_5545 section 3.3.11 text; RFC_5545 section 3.6.1 event; RFC_5545 section 3.6.6 alarm; RFC_5545 section 3.8.2.7 time transparency
func ICalendar(name string, made time.Time, events []Event) string {
	var c content
	c.line("BEGIN", "VCALENDAR")
	c.line("VERSION", "2.0")
	c.line("PRODID", "-//wreckwright//plan//EN")
	c.line("CALSCALE", "GREGORIAN")
	if name != "" {
		c.line("X-WR-CALNAME", escape(name))
	}
	for _, e := range events {
		c.event(e, made)
	}
	c.line("END", "VCALENDAR")
	return c.String()
}

type content struct{ strings.Builder }

func (c *content) event(e Event, made time.Time) {
	c.line("BEGIN", "VEVENT")
	c.line("UID", escape(e.UID))
	c.line("DTSTAMP", utc(made))
	if e.Sequence > 0 {
		c.line("SEQUENCE", fmt.Sprint(e.Sequence))
	}
	c.times(e)
	if e.Free {
		c.line("TRANSP", "TRANSPARENT")
	}
	c.line("SUMMARY", escape(e.Summary))
	if e.Description != "" {
		c.line("DESCRIPTION", escape(e.Description))
	}
	if e.Location != "" {
		c.line("LOCATION", escape(e.Location))
	}
	if len(e.Categories) > 0 {
		var list []string
		for _, k := range e.Categories {
			list = append(list, escape(k))
		}
		c.line("CATEGORIES", strings.Join(list, ","))
	}
	for _, a := range e.Alarms {
		c.alarm(a, e)
	}
	c.line("END", "VEVENT")
}

func (c *content) times(e Event) {
	if !e.WholeDays {
		c.line("DTSTART", utc(e.Start))
		if e.End.After(e.Start) {
			c.line("DTEND", utc(e.End))
		}
		return
	}
	// Counted in UTC: not every zone has every midnight.
	from, end := dateOnly(e.Start), dateOnly(e.End)
	if e.End.IsZero() || !end.After(from) {
		end = from.AddDate(0, 0, 1)
	}
	const day = "20060102"
	c.line("DTSTART;VALUE=DATE", from.Format(day))
	c.line("DTEND;VALUE=DATE", end.Format(day))
}

// dateOnly is the midnight in UTC of a time's date where it was.
func dateOnly(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

func (c *content) alarm(a Alarm, e Event) {
	text := a.Text
	if text == "" {
		text = e.Summary
	}
	c.line("BEGIN", "VALARM")
	c.line("ACTION", "DISPLAY")
	c.line("DESCRIPTION", escape(text))
	c.line("TRIGGER", duration(-a.Before))
	c.line("END", "VALARM")
}

func utc(t time.Time) string { return t.UTC().Format("20060102T150405Z") }

// duration writes a stretch of time.
//
// ref: RFC_5545 section 3.3.6 duration
func duration(d time.Duration) string {
	sign := ""
	if d < 0 {
		sign, d = "-", -d
	}
	seconds := int64(d / time.Second)
	days, rest := seconds/86400, seconds%86400
	out := sign + "P"
	if days > 0 {
		out += fmt.Sprintf("%dD", days)
	}
	if rest == 0 {
		if days == 0 {
			out += "T0S"
		}
		return out
	}
	out += "T"
	hours, minutes, left := rest/3600, rest%3600/60, rest%60
	if hours > 0 {
		out += fmt.Sprintf("%dH", hours)
	}
	// Minutes may not be left out between hours and seconds.
	if minutes > 0 || hours > 0 && left > 0 {
		out += fmt.Sprintf("%dM", minutes)
	}
	if left > 0 {
		out += fmt.Sprintf("%dS", left)
	}
	return out
}

// escape writes a text value: backslash, semicolon, comma and line breaks are
// escaped, other control characters left out.
func escape(text string) string {
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.ToValidUTF8(text, "?"))
	var out strings.Builder
	for _, r := range text {
		switch {
		case r == '\\' || r == ';' || r == ',':
			out.WriteByte('\\')
			out.WriteRune(r)
		case r == '\n':
			out.WriteString(`\n`)
		case r < ' ' && r != '\t' || r == 0x7f:
		default:
			out.WriteRune(r)
		}
	}
	return out.String()
}

// lineOctets is the length of a line without its break.
const lineOctets = 75

// line writes one content line, folded between characters.
func (c *content) line(name, value string) {
	rest, room := name+":"+value, lineOctets
	for len(rest) > room {
		cut := room
		for !utf8.RuneStart(rest[cut]) {
			cut--
		}
		c.WriteString(rest[:cut] + "\r\n ")
		rest, room = rest[cut:], lineOctets-1
	}
	c.WriteString(rest + "\r\n")
}

// morning is when a calendar reminds of what has no time of the day: at nine. An
// alarm is so long before midnight, or after it where less than nothing.
const morning = 9 * time.Hour

// daysBefore is an alarm some whole days before a day, at nine in the morning.
func daysBefore(days int) Alarm { return Alarm{Before: time.Duration(days)*24*time.Hour - morning} }

// CalendarEvents are the entries of a plan: tasks and outside work as it stands,
// arrivals of parts, milestones with an alarm. prefix makes the ids unique to a
// rebuild. What is done is left out. Own work takes its time where it is one
// session; what goes on over several, waits, milestones and others' work are free
// time in a calendar. Times are those of the zone of the start.
func CalendarEvents(p Problem, r Result, prefix string) []Event {
	calendars, err := p.calendars()
	if err != nil {
		return nil // of such a problem there is no result
	}
	var out []Event
	for i, x := range r.Placed {
		if !x.Done {
			out = append(out, p.taskEvent(p.Tasks[i], x, calendars[i], prefix))
		}
	}
	for _, m := range r.Reached {
		e := Event{
			UID: prefix + "-milestone-" + m.ID + "@wreckwright", Summary: nameOr(m.Name, m.ID), Start: p.midnight(m.Day), WholeDays: true, Free: true,
			Alarms: []Alarm{daysBefore(7)},
		}
		if m.ChanceBy != nil {
			e.Description = fmt.Sprintf("Wished by the morning of %s: chance %.0f %%. Nine in ten by %s.", m.ByDate, 100**m.ChanceBy, p.date(m.Quantiles.P90))
		}
		out = append(out, e)
	}
	return out
}

func (p Problem) taskEvent(t Task, x Placed, c *calendar, prefix string) Event {
	e := Event{UID: prefix + "-task-" + x.ID + "@wreckwright", Summary: nameOr(x.Name, x.ID), Free: true}
	switch {
	case t.Wait:
		e.UID = prefix + "-wait-" + x.ID + "@wreckwright"
		e.Summary += " expected"
		e.Start, e.WholeDays = p.midnight(x.EndDay), true
	case p.Week == nil || t.Outside:
		e.Start, e.WholeDays = p.midnight(x.StartDay), true
		e.End = p.midnight(math.Ceil(x.EndDay - rounding)) // the day in which it ends counts
		if t.Outside {
			e.Alarms = []Alarm{daysBefore(2)}
		}
	default:
		e.Start, e.End = p.clock(x.StartDay), p.clock(x.EndDay)
		from, to := toTicks(x.StartDay), toTicks(x.EndDay)
		e.Free = c.between(from, to) < to-from
	}
	return e
}

func nameOr(name, id string) string {
	if name != "" {
		return name
	}
	return id
}

// midnight is the day within which a time lies, in UTC: only its date counts.
func (p Problem) midnight(day float64) time.Time {
	return dateOnly(p.Start).AddDate(0, 0, floorDay(day))
}

// clock is a day as time of the day where the workshop is: the hour stays what it
// is when clocks are changed.
func (p Problem) clock(day float64) time.Time {
	whole := floorDay(day)
	minutes := int(math.Round(max(0, day-float64(whole)) * 24 * 60))
	y, m, d := p.Start.Date()
	return time.Date(y, m, d+whole, 0, minutes, 0, 0, p.Start.Location())
}
