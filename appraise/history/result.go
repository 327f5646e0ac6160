package history

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"wreckwright/working"
)

// Finding is something that the story shows.
type Finding struct {
	Rule     string   `json:"rule"`
	Severity string   `json:"severity"` // stop, question, note
	Text     string   `json:"text"`
	Events   []string `json:"events"`        // days of the events concerned
	Numbers  []int    `json:"event_numbers"` // their places in the case, counted from 1
	Source   string   `json:"source"`
	AsAt     string   `json:"as_at"`
}

// Advice is something that must be done or told, as one text. JSON gives it with
// its source.
type Advice struct {
	Text   string
	Source string
}

// String is the text with its source.
func (a Advice) String() string { return a.Text + " [" + a.Source + "]" }

// MarshalJSON writes one string.
func (a Advice) MarshalJSON() ([]byte, error) { return json.Marshal(a.String()) }

// Point is one event on the timeline.
type Point struct {
	Date     string   `json:"date"`
	Undated  bool     `json:"undated,omitempty"` // its day is not known: the date is that of the telling
	Number   int      `json:"event_number"`      // its place in the case, counted from 1
	Kind     string   `json:"kind"`
	Result   string   `json:"result,omitempty"`
	Category string   `json:"category,omitempty"`
	Place    string   `json:"jurisdiction,omitempty"`
	Odometer *float64 `json:"odometer"` // in the vehicle's unit; nil: no reading
	InLine   bool     `json:"in_line"`  // the reading fits its neighbours
	Flags    []string `json:"flags"`    // rules whose findings name the event
	Severity string   `json:"severity"` // the gravest of them; "" none
	Note     string   `json:"note,omitempty"`
}

// Result is what the story says. A point's odometer and the paces are in Unit.
type Result struct {
	Jurisdiction string `json:"jurisdiction"`
	PlaceName    string `json:"jurisdiction_name"`
	Authority    string `json:"authority"`
	Unit         string `json:"distance_unit"`

	MayReturn    string    `json:"may_return_to_road"` // yes, no, after inspection, unknown
	Why          string    `json:"why"`
	MustDo       []Advice  `json:"must_do"`
	MustDisclose []Advice  `json:"must_disclose"`
	Findings     []Finding `json:"findings"` // the gravest first, then by date
	Stops        int       `json:"stops"`
	Questions    int       `json:"questions"`

	Timeline []Point         `json:"timeline"` // by date
	Disclaim string          `json:"disclaimer"`
	Working  working.Working `json:"working"`
}

const disclaimer = "Information, no legal advice, and only about what was typed in: a mark that nobody typed is not seen. " +
	"An inspection that was passed does not prove that a structural repair was right. The authority's word counts."

// story is a history at work.
type story struct {
	Case
	rules    Rules
	home     Place
	known    bool  // the jurisdiction is known
	order    []int // events by date
	findings []Finding
	outliers map[int]bool // events whose reading was set aside
	w        working.Working
}

// find adds a finding by a rule about events, with values for the places in its
// text, in pairs.
func (s *story) find(key string, events []int, pairs ...string) *Finding {
	rule, _ := s.rules.rule(key)
	values := []string{"{authority}", s.authority(), "{place}", s.placeName()}
	for i := 0; i+1 < len(pairs); i += 2 {
		values = append(values, "{"+pairs[i]+"}", pairs[i+1])
	}
	text := strings.NewReplacer(values...).Replace(rule.Text)
	f := Finding{
		Rule: key, Severity: rule.Severity, Text: text + rule.said(cmpText(rule.Ask, s.authority())),
		Source: rule.Source, AsAt: rule.AsAt, Events: []string{}, Numbers: []int{},
	}
	for _, e := range events {
		f.Events = append(f.Events, day(s.Events[e].Date))
		f.Numbers = append(f.Numbers, e+1)
	}
	s.findings = append(s.findings, f)
	return &s.findings[len(s.findings)-1]
}

func (s *story) limit(key, name string) float64 {
	rule, _ := s.rules.rule(key)
	return rule.Limits[name]
}

func (s *story) authority() string {
	if s.known {
		return s.home.Authority
	}
	return "the registration authority"
}

func (s *story) placeName() string {
	if s.known {
		return s.home.Name
	}
	return s.Jurisdiction
}

func (s *story) sortFindings() {
	rank := func(f Finding) int { return slices.Index([]string{Stop, Question, Note}, f.Severity) }
	first := func(f Finding) string {
		if len(f.Events) == 0 {
			return ""
		}
		return f.Events[len(f.Events)-1]
	}
	slices.SortStableFunc(s.findings, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(first(a), first(b)))
	})
}

// timeline is the events by date, each with the rules that name it.
func (s *story) timeline() []Point {
	points := []Point{}
	for _, i := range s.order {
		e := s.Events[i]
		p := Point{
			Date: day(e.Date), Undated: e.Undated, Number: i + 1, Kind: e.Kind, Result: e.Result, Category: e.Category, Place: s.placeOf(i),
			InLine: e.Odometer != nil && !s.outliers[i], Flags: []string{}, Note: e.Note,
		}
		if e.Odometer != nil {
			p.Odometer = new(s.inUnit(e))
		}
		for _, f := range s.findings {
			if slices.Contains(f.Numbers, i+1) {
				p.Flags = append(p.Flags, f.Rule)
				if p.Severity == "" {
					p.Severity = f.Severity // findings stand with the gravest first
				}
			}
		}
		points = append(points, p)
	}
	return points
}

func number(v float64) string { return fmt.Sprintf("%.0f", v) }
