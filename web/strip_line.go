package web

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// stripLine is one thing that came off, as the lists show it.
type stripLine struct {
	*rebuild.StripItem
	Number  int // its place in the trail, from 1
	Href    string
	Sets    []setLine
	Fitness string // its condition in words; empty: not said
}

// setLine is one set of fasteners in words.
type setLine struct {
	rebuild.FastenerSet
	Place   int
	Words   string // "4 × M8 · 13 mm socket"
	Ordered string // ISO date; empty: not ordered, or not to be
}

func newStripLine(base string, number int, s *rebuild.StripItem) stripLine {
	line := stripLine{StripItem: s, Number: number, Href: stripPath(base, s.ID)}
	if s.Condition != "" {
		line.Fitness = conditionName(s.Condition)
	}
	for i, f := range s.Fasteners {
		line.Sets = append(line.Sets, setLine{f, i, workshop.InWords(f), workshop.OrderedOn(f.Note)})
	}
	return line
}

func stripPath(base string, id int64) string { return fmt.Sprintf("%s/strip/%d", base, id) }

// When is the moment it came off, as the lists show it.
func (l stripLine) When() string { return shortMoment(l.At) }

// Waits reports whether it, as it came off, cannot go back.
func (l stripLine) Waits() bool { return !l.Settled() }

// Bags are the codes of its bags that are not empty, each once.
func (l stripLine) Bags() []string {
	var bags []string
	for _, f := range l.Fasteners {
		if f.Bag != "" && !f.Emptied && !slices.Contains(bags, f.Bag) {
			bags = append(bags, f.Bag)
		}
	}
	return bags
}

// shortMoment shows a moment as day and time.
func shortMoment(moment string) string {
	at, err := time.Parse(time.RFC3339, moment)
	if err != nil {
		return moment
	}
	return at.Format("2 Jan 2006, 15:04")
}

// stripNumbers is the place of each thing in the trail, from 1.
func stripNumbers(rb *rebuild.Rebuild) map[int64]int {
	numbers := map[int64]int{}
	for i, s := range rb.Trail() {
		numbers[s.ID] = i + 1
	}
	return numbers
}

// stripFilter says which part of the trail is listed.
type stripFilter struct {
	Zone  string // empty: all
	Show  string // "off", "back"; empty: all
	Words string
	Page  int
}

func readStripFilter(q url.Values) stripFilter {
	page, _ := strconv.Atoi(q.Get("page"))
	return stripFilter{Zone: q.Get("list"), Show: q.Get("show"), Words: strings.TrimSpace(strings.ToValidUTF8(q.Get("q"), "")), Page: max(1, page)}
}

// Query is the address of a page of the list.
func (f stripFilter) Query(page int) string {
	q := url.Values{}
	for name, value := range map[string]string{"list": f.Zone, "show": f.Show, "q": f.Words} {
		if value != "" {
			q.Set(name, value)
		}
	}
	if page > 1 {
		q.Set("page", strconv.Itoa(page))
	}
	return "?" + q.Encode() + "#trail"
}

// Narrow reports whether anything is left out.
func (f stripFilter) Narrow() bool { return f.Zone != "" || f.Show != "" || f.Words != "" }

func (f stripFilter) takes(s *rebuild.StripItem) bool {
	switch {
	case f.Zone != "" && s.Zone != f.Zone, f.Show == "off" && !s.Off(), f.Show == "back" && s.Off():
		return false
	case f.Words == "":
		return true
	}
	text := s.What + " " + s.Note + " " + rebuild.ZoneName(s.Zone)
	for _, set := range s.Fasteners {
		text += " " + set.Thread + " " + set.Tool + " " + set.Bag
	}
	text = strings.ToLower(text)
	for word := range strings.FieldsSeq(strings.ToLower(f.Words)) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}

// stripLines lists the trail, the latest first, as the filter takes it.
func stripLines(base string, rb *rebuild.Rebuild, filter stripFilter) []stripLine {
	trail := rb.Trail()
	var lines []stripLine
	for i := len(trail) - 1; i >= 0; i-- {
		if filter.takes(trail[i]) {
			lines = append(lines, newStripLine(base, i+1, trail[i]))
		}
	}
	return lines
}

// linesOf are lines of those things.
func linesOf(base string, rb *rebuild.Rebuild, items []*rebuild.StripItem) []stripLine {
	numbers := stripNumbers(rb)
	lines := make([]stripLine, len(items))
	for i, s := range items {
		lines[i] = newStripLine(base, numbers[s.ID], s)
	}
	return lines
}

// BackWhen is the moment it went back, as the lists show it.
func (l stripLine) BackWhen() string { return shortMoment(l.BackAt) }
