package web

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"wreckwright/rebuild"
)

// findingFilter says which findings a list shows; empty fields let all through.
// It is kept in the address, so that a list can be bookmarked.
type findingFilter struct {
	Zone     string
	State    string // a rebuild.FindingState, or "unsettled": open or planned
	Severity string
	Safety   bool
	Words    string
	Page     int // from 1
}

func readFindingFilter(q url.Values) findingFilter {
	page, _ := strconv.Atoi(q.Get("page"))
	return findingFilter{
		Zone: q.Get("zone"), State: q.Get("state"), Severity: q.Get("severity"),
		Safety: q.Get("safety") == "1", Words: strings.TrimSpace(q.Get("q")), Page: max(page, 1),
	}
}

// Narrow reports whether the filter, the zone aside, leaves anything out.
func (f findingFilter) Narrow() bool {
	return f.State != "" || f.Severity != "" || f.Safety || f.Words != ""
}

// Query is the filter as the address writes it, with another page.
func (f findingFilter) Query(page int) string {
	q := url.Values{}
	set := func(name, value string) {
		if value != "" {
			q.Set(name, value)
		}
	}
	set("zone", f.Zone)
	set("state", f.State)
	set("severity", f.Severity)
	set("q", f.Words)
	if f.Safety {
		q.Set("safety", "1")
	}
	if page > 1 {
		q.Set("page", strconv.Itoa(page))
	}
	return "?" + q.Encode()
}

func (f findingFilter) lets(finding *rebuild.Finding, state rebuild.FindingState) bool {
	switch {
	case f.Zone != "" && finding.Zone != f.Zone,
		f.Severity != "" && string(finding.Severity) != f.Severity,
		f.Safety && !finding.Safety,
		f.State == stateUnsettled && !unsettled(state),
		f.State != "" && f.State != stateUnsettled && string(state) != f.State:
		return false
	}
	return f.Words == "" || hasWords(f.Words, finding)
}

// hasWords reports whether each word is somewhere in what the finding says.
func hasWords(words string, finding *rebuild.Finding) bool {
	text := strings.ToLower(finding.What + " " + rebuild.ZoneName(finding.Zone) + " " + string(finding.HowFound) + " " + finding.Dismissed)
	for _, a := range finding.Photos {
		text += " " + strings.ToLower(a.Caption)
	}
	for _, word := range strings.Fields(strings.ToLower(words)) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}

const stateUnsettled = "unsettled"

func unsettled(state rebuild.FindingState) bool {
	return state == rebuild.FindingOpen || state == rebuild.FindingPlanned
}

func findingStateOptions() []Option {
	return []Option{
		{"", "Any state"},
		{stateUnsettled, "Open or planned"},
		{string(rebuild.FindingOpen), "Open: no job yet"},
		{string(rebuild.FindingPlanned), "Planned: a job will settle it"},
		{string(rebuild.FindingSettled), "Settled"},
		{string(rebuild.FindingDismissed), "Dismissed"},
	}
}

// findingLine is a finding as a list shows it.
type findingLine struct {
	*rebuild.Finding
	State rebuild.FindingState
	Href  string
}

// findingLines picks the findings that the filter lets through, worst first:
// those that may hurt somebody and are not settled, then by severity, then the
// latest.
func findingLines(rb *rebuild.Rebuild, states map[int64]rebuild.FindingState, f findingFilter) []findingLine {
	var lines []findingLine
	base := Frame{Rebuild: rb}.Base() + "/findings/"
	for i := range rb.Findings {
		finding := &rb.Findings[i]
		if state := states[finding.ID]; f.lets(finding, state) {
			lines = append(lines, findingLine{finding, state, base + strconv.FormatInt(finding.ID, 10)})
		}
	}
	slices.SortStableFunc(lines, func(a, b findingLine) int {
		if d := urgency(b) - urgency(a); d != 0 {
			return d
		}
		return int(b.ID - a.ID)
	})
	return lines
}

// urgency ranks a line: unsettled before settled, safety before the rest, then
// by severity.
func urgency(l findingLine) int {
	rank := slices.Index(rebuild.Severities, l.Severity)
	if l.Safety {
		rank += 10
	}
	if unsettled(l.State) {
		rank += 100
	}
	return rank
}
