package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wreckwright/rebuild"
)

// jobsCSV hands out the jobs that the filter picks, by number, one row each.
func (s *Server) jobsCSV(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	lines, err := s.jobLines(rb)
	if err != nil {
		return err
	}
	filter := readJobFilter(r.URL.Query())
	lines = slices.DeleteFunc(lines, func(l jobLine) bool { return !filter.lets(l) || !filter.letsState(l.Job) })
	table := csvTable{{
		"Job", "Title", "State", "Zone", "Touches", "Stage", "Route", "Chosen", "Low", "Likely", "High", "Chance that it works, %",
		"Expected total", "Expected hours", "Paid", "Reference price", "Saving", "Currency", "Done on", "Hours spent", "Missing", "Findings", "Note",
	}}
	for _, l := range lines {
		table.jobRow(rb, l)
	}
	return table.send(w, rb.Car.Name+" jobs.csv")
}

func (t *csvTable) jobRow(rb *rebuild.Rebuild, l jobLine) {
	j := l.Job
	var low, likely, high, works, expected, hours, paid, reference, saving string
	chosen := ""
	if l.Route != nil {
		low, likely, high = csvFigure(l.Route.Cost.Low), csvFigure(l.Route.Cost.Likely), csvFigure(l.Route.Cost.High)
		works, expected, hours = csvFigure(l.Route.Works*100), csvFigure(l.Total), csvFigure(l.Hours)
	}
	if j.Chosen != 0 {
		chosen = "yes"
	}
	if l.Written || j.CostNothing {
		paid = l.Paid.Number()
	}
	if j.Reference.Minor > 0 {
		reference = j.Reference.Number()
	}
	if l.HasSaving {
		saving = l.Saving.Number()
	}
	t.row(strconv.FormatInt(j.ID, 10), j.Title, string(j.State), rebuild.ZoneName(j.Zone), string(j.Safety), stageOf(j), l.RouteName(), chosen,
		low, likely, high, works, expected, hours, paid, reference, saving, rb.Car.Currency, j.DoneOn, csvFigure(j.HoursSpent),
		strings.Join(l.Missing(), "; "), findingsOf(rb, j), j.Note)
}

// csvFigure writes an estimate with two decimals.
func csvFigure(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }

func stageOf(j *rebuild.Job) string {
	if j.Stage == 0 {
		return ""
	}
	return rebuild.Stage{Number: j.Stage}.Label()
}

func findingsOf(rb *rebuild.Rebuild, j *rebuild.Job) string {
	var whats []string
	for _, id := range j.Findings {
		if found := rb.Finding(id); found != nil {
			whats = append(whats, found.What)
		}
	}
	return strings.Join(whats, "; ")
}
