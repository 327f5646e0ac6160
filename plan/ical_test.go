package plan

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"
	_ "time/tzdata" // the zones of the tests
	"unicode/utf8"

	"pgregory.net/rapid"

	"wreckwright/outside"
)

// property is one content line, read back.
type property struct{ name, params, value string }

// readCalendar reads a calendar file by the rules of RFC 5545: CRLF, 75 octets a
// line, folding, components closed in order, properties that must be there once.
func readCalendar(text string) ([]property, error) {
	if !strings.HasSuffix(text, "\r\n") || !utf8.ValidString(text) {
		return nil, fmt.Errorf("does not end with CRLF, or is not UTF-8")
	}
	var lines []string
	for k, line := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(line) > 75 || !utf8.ValidString(line) || strings.ContainsAny(line, "\r\n") {
			return nil, fmt.Errorf("line %d: %d octets, or a character cut in two: %q", k+1, len(line), line)
		}
		if rest, folded := strings.CutPrefix(line, " "); folded && len(lines) > 0 {
			lines[len(lines)-1] += rest
			continue
		}
		lines = append(lines, line)
	}
	var out []property
	var open []string
	count := map[string]int{}
	form := regexp.MustCompile(`^([A-Z-]+)((?:;[A-Z-]+=[A-Z-]+)*):(.*)$`)
	for _, line := range lines {
		m := form.FindStringSubmatch(line)
		if m == nil {
			return nil, fmt.Errorf("no content line: %q", line)
		}
		switch m[1] {
		case "BEGIN":
			open = append(open, m[3])
			count = map[string]int{}
		case "END":
			if len(open) == 0 || open[len(open)-1] != m[3] {
				return nil, fmt.Errorf("%s closed within %v", m[3], open)
			}
			open = open[:len(open)-1]
		default:
			if count[m[1]]++; count[m[1]] > 1 {
				return nil, fmt.Errorf("%s is given twice in %v", m[1], open)
			}
		}
		out = append(out, property{m[1], m[2], m[3]})
	}
	if len(open) > 0 {
		return nil, fmt.Errorf("%v left open", open)
	}
	return out, nil
}

// unescape reads a text value back.
func unescape(text string) string {
	var out strings.Builder
	for i := 0; i < len(text); i++ {
		if text[i] != '\\' || i+1 == len(text) {
			out.WriteByte(text[i])
			continue
		}
		i++
		if text[i] == 'n' || text[i] == 'N' {
			out.WriteByte('\n')
		} else {
			out.WriteByte(text[i])
		}
	}
	return out.String()
}

func find(list []property, name string) []string {
	var out []string
	for _, p := range list {
		if p.name == name {
			out = append(out, p.value)
		}
	}
	return out
}

// TestTextsComeBack: whatever is written in a text is read again.
func TestTextsComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-z ;,:\\"\nÄ€漢😀]{0,200}`).Draw(t, "text")
		list, err := readCalendar(ICalendar(text, monday, []Event{{UID: "1", Summary: text, Start: monday, Description: text, Location: text}}))
		if err != nil {
			t.Fatal(err)
		}
		if got := find(list, "SUMMARY")[0]; unescape(got) != text {
			t.Fatalf("%q came back as %q", text, unescape(got))
		}
	})
}

func TestCalendarFile(t *testing.T) {
	zone := time.FixedZone("", 3600)
	list, err := readCalendar(ICalendar("Skua", monday, []Event{
		{UID: "a", Summary: "weld", Start: time.Date(2027, 1, 6, 19, 0, 0, 0, zone), End: time.Date(2027, 1, 6, 21, 0, 0, 0, zone), Alarms: []Alarm{{Before: 90 * time.Minute, Text: "gas, wire; mask"}}},
		{UID: "b", Summary: "body shop", Start: monday, WholeDays: true, Sequence: 2, Categories: []string{"outside", "a,b"}},
	}))
	if err != nil {
		t.Fatal(err)
	}
	if got := find(list, "BEGIN"); strings.Join(got, " ") != "VCALENDAR VEVENT VALARM VEVENT" {
		t.Errorf("components %v", got)
	}
	for _, name := range []string{"VERSION", "PRODID"} {
		if len(find(list, name)) != 1 {
			t.Errorf("%s is not there once", name)
		}
	}
	outside.CheckText(t, []outside.TextCase{
		{Source: "RFC_5545", Where: "section 3.6.1 event", What: "start in UTC", Got: find(list, "DTSTART")[0], Want: "20270106T180000Z"},
		{Source: "RFC_5545", Where: "section 3.6.1 event", What: "end in UTC", Got: find(list, "DTEND")[0], Want: "20270106T200000Z"},
		{Source: "RFC_5545", Where: "section 3.6.1 event", What: "whole day", Got: find(list, "DTSTART")[1], Want: "20270104"},
		{Source: "RFC_5545", Where: "section 3.6.1 event", What: "end of a whole day, not included", Got: find(list, "DTEND")[1], Want: "20270105"},
		{Source: "RFC_5545", Where: "section 3.6.6 alarm", What: "an hour and a half before", Got: find(list, "TRIGGER")[0], Want: "-PT1H30M"},
		{Source: "RFC_5545", Where: "section 3.6.6 alarm", What: "action", Got: find(list, "ACTION")[0], Want: "DISPLAY"},
		{Source: "RFC_5545", Where: "section 3.3.11 text", What: "comma and semicolon in an alarm", Got: find(list, "DESCRIPTION")[0], Want: `gas\, wire\; mask`},
		{Source: "RFC_5545", Where: "section 3.3.11 text", What: "the example of the section", Got: escape("Project XYZ Final Review\nConference Room - 3B\nCome Prepared."), Want: `Project XYZ Final Review\nConference Room - 3B\nCome Prepared.`},
		{Source: "RFC_5545", Where: "section 3.3.11 text", What: "comma within a list", Got: find(list, "CATEGORIES")[0], Want: `outside,a\,b`},
		{Source: "RFC_5545", Where: "section 3.1 content lines", What: "a line of 80 octets", Got: fold(strings.Repeat("x", 78)), Want: "A:" + strings.Repeat("x", 73) + "\r\n " + strings.Repeat("x", 5) + "\r\n"},
		{Source: "RFC_5545", Where: "section 3.3.6 duration", What: "15 days, 5 hours and 20 seconds", Got: duration(15*24*time.Hour + 5*time.Hour + 20*time.Second), Want: "P15DT5H0M20S"},
		{Source: "RFC_5545", Where: "section 3.3.6 duration", What: "a week before", Got: duration(-7 * 24 * time.Hour), Want: "-P7D"},
		{Source: "RFC_5545", Where: "section 3.3.6 duration", What: "at the time itself", Got: duration(0), Want: "PT0S"},
	})
}

func fold(value string) string {
	var c content
	c.line("A", value)
	return c.String()
}

// TestEventsOfAPlan: what is ahead is in the calendar, with ids of its own.
func TestEventsOfAPlan(t *testing.T) {
	p := workshopPlan()
	p.Tasks[0].DoneDay, p.TodayDay = new(7.0), 8
	r := arranged(t, p)
	events := CalendarEvents(p, r, "skua")
	list, err := readCalendar(ICalendar("Skua", monday, events))
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, id := range find(list, "UID") {
		if seen[id] {
			t.Errorf("%s twice", id)
		}
		seen[id] = true
	}
	if len(seen) != 8 || seen["skua-task-strip@wreckwright"] || !seen["skua-wait-order@wreckwright"] || !seen["skua-milestone-ready@wreckwright"] {
		t.Errorf("ids %v", seen)
	}
	for _, e := range events {
		if e.UID == "skua-task-paint@wreckwright" && (!e.WholeDays || e.Start.Format(time.DateOnly) != "2027-02-15" || len(e.Alarms) != 1) {
			t.Errorf("paint: %+v", e)
		}
	}
}

// TestWhatTakesTime: three hours of one Saturday are not free; six over two evenings
// and more are, as nobody works through the nights between, and so are waits, others'
// work and milestones. Reminders of whole days come at nine in the morning.
func TestWhatTakesTime(t *testing.T) {
	p := Problem{
		Start: monday, Seed: 1, Trials: 100, Week: evenings, Resources: []Resource{{ID: "own", Capacity: 1}},
		Tasks: []Task{
			{ID: "long", Hours: certain(4), Uses: []Use{{"own", 1}}}, // Monday and Wednesday, 19 to 21
			{ID: "short", Hours: certain(3), Uses: []Use{{"own", 1}}, After: []Link{{ID: "long"}}},
			{ID: "part", Days: certain(3), Wait: true},
			{ID: "paint", Days: certain(3), Outside: true, After: []Link{{ID: "short"}}, SlotDays: []float64{14}},
		},
		Milestones: []Milestone{{ID: "m", After: []Link{{ID: "paint"}}}},
	}
	text := ICalendar("", monday, CalendarEvents(p, arranged(t, p), "x"))
	for uid, want := range map[string]struct {
		free  bool
		alarm string
	}{"task-long": {true, ""}, "task-short": {false, ""}, "wait-part": {true, ""}, "task-paint": {true, "-P1DT15H"}, "milestone-m": {true, "-P6DT15H"}} {
		_, event, _ := strings.Cut(text, "UID:x-"+uid)
		event, _, _ = strings.Cut(event, "END:VEVENT")
		if got := strings.Contains(event, "TRANSP:TRANSPARENT"); got != want.free {
			t.Errorf("%s: free %t; want %t", uid, got, want.free)
		}
		_, alarm, _ := strings.Cut(event, "TRIGGER:")
		if alarm, _, _ = strings.Cut(alarm, "\r"); alarm != want.alarm {
			t.Errorf("%s: reminds at %q; want %q", uid, alarm, want.alarm)
		}
	}
	_, long, _ := strings.Cut(text, "UID:x-task-long")
	_, transparency, _ := strings.Cut(long, "TRANSP:")
	transparency, _, _ = strings.Cut(transparency, "\r\n")
	outside.CheckText(t, []outside.TextCase{
		{Source: "RFC_5545", Where: "section 3.8.2.7 time transparency", What: "an event that does not block its time", Got: transparency, Want: "TRANSPARENT"},
	})
	if strings.Contains(text, "METHOD") {
		t.Error("a published calendar needs an organizer")
	}
}

// TestAMidnightThatIsNot: in Chile clocks went from 24:00 on 5 September 2026 to 1:00
// on the 6th. Work of that day is on that day.
func TestAMidnightThatIsNot(t *testing.T) {
	zone, err := time.LoadLocation("America/Santiago")
	if err != nil {
		t.Fatal(err)
	}
	for _, hour := range []int{0, 12} { // noon where the zone may lack the midnight of the start
		p := Problem{
			Start: time.Date(2026, 9, 3, hour, 0, 0, 0, zone), Seed: 1, Trials: 100, Week: evenings, Resources: []Resource{{ID: "own", Capacity: 1}},
			Tasks:      []Task{{ID: "part", Days: certain(3), Wait: true}, {ID: "a", Hours: certain(1), Uses: []Use{{"own", 1}}, After: []Link{{ID: "part"}}}},
			Milestones: []Milestone{{ID: "m", After: []Link{{ID: "part"}}}},
		}
		r := arranged(t, p)
		if d := r.Placed[0].EndDate; d != "2026-09-06" || r.Reached[0].Date != d {
			t.Errorf("the part comes on %s, the milestone on %s; want 2026-09-06", d, r.Reached[0].Date)
		}
		list, err := readCalendar(ICalendar("", monday, CalendarEvents(p, r, "x")))
		if err != nil {
			t.Fatal(err)
		}
		// Monday 7 September, 19:00 in the zone's summer time, three hours behind UTC.
		want := "20260906 20260907T220000Z 20260906"
		if got := strings.Join(find(list, "DTSTART"), " "); got != want {
			t.Errorf("events begin %s; want %s", got, want)
		}
	}
}
