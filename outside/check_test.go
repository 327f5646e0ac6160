package outside

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// notebook records what Check reports.
type notebook struct{ lines []string }

func (n *notebook) Helper() {}
func (n *notebook) Errorf(format string, args ...any) {
	n.lines = append(n.lines, fmt.Sprintf(format, args...))
}

func TestCheckReports(t *testing.T) {
	good := Case{Source: "A_BOOK", Where: "table 2", What: "area, mm2", Got: 58.0, Want: 58.0, Tolerance: 0.05, Why: "printed to 1 decimal"}
	with := func(change func(*Case)) []Case {
		c := good
		change(&c)
		return []Case{c}
	}
	tests := []struct {
		name  string
		cases []Case
		want  string // part of the one report; empty: no report
	}{
		{"good", []Case{good, good}, ""},
		{"edge of tolerance", with(func(c *Case) { c.Got, c.Want, c.Tolerance = 1.5, 1, 0.5 }), ""},
		{"no cases", nil, "no cases"},
		{"out of tolerance", with(func(c *Case) { c.Got = 58.1 }), "off by 0.1"},
		{"got is not a number", with(func(c *Case) { c.Got = math.NaN() }), "off by NaN"},
		{"no source", with(func(c *Case) { c.Source = " " }), "Source is empty"},
		{"no place", with(func(c *Case) { c.Where = "" }), "Where is empty"},
		{"no name", with(func(c *Case) { c.What = "" }), "What is empty"},
		{"no reason", with(func(c *Case) { c.Why = "" }), "Why is empty"},
		{"want is not a number", with(func(c *Case) { c.Want = math.NaN() }), "wanted value is NaN"},
		{"boundless tolerance", with(func(c *Case) { c.Tolerance = math.Inf(1) }), "tolerance is +Inf"},
		{"tolerance below zero", with(func(c *Case) { c.Tolerance = -1 }), "tolerance is -1"},
		{"tolerance is not a number", with(func(c *Case) { c.Tolerance = math.NaN() }), "tolerance is NaN"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var n notebook
			Check(&n, tt.cases)
			got := strings.Join(n.lines, "\n")
			if tt.want == "" && got != "" || !strings.Contains(got, tt.want) || len(n.lines) > 1 {
				t.Errorf("reported %q, want one report with %q", got, tt.want)
			}
		})
	}
}

func TestCheckTextReports(t *testing.T) {
	tests := []struct {
		name  string
		cases []TextCase
		want  string // part of the one report; empty: no report
	}{
		{"good", []TextCase{{"A_BOOK", "p. 1", "check character", "X", "X"}}, ""},
		{"no cases", nil, "no cases"},
		{"differs", []TextCase{{"A_BOOK", "p. 1", "check character", "X", "Y"}}, `got "X", A_BOOK p. 1 gives "Y"`},
		{"no source", []TextCase{{"", "p. 1", "check character", "X", "X"}}, "is empty"},
		{"no place", []TextCase{{"A_BOOK", " ", "check character", "X", "X"}}, "is empty"},
		{"no name", []TextCase{{"A_BOOK", "p. 1", "", "X", "X"}}, "is empty"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var n notebook
			CheckText(&n, tt.cases)
			got := strings.Join(n.lines, "\n")
			if tt.want == "" && got != "" || !strings.Contains(got, tt.want) || len(n.lines) > 1 {
				t.Errorf("reported %q, want one report with %q", got, tt.want)
			}
		})
	}
}
