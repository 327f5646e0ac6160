package web

import (
	"slices"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// jobLine is a job as lists show it.
type jobLine struct {
	workshop.JobSum
	HasExpected bool
	Saving      amount.Amount
	HasSaving   bool
	Proven      bool // the saving counts
	wants       []want
}

// jobLines gives the lines of all jobs, in their order.
func (s *Server) jobLines(rb *rebuild.Rebuild) ([]jobLine, error) {
	list, err := s.workshop.Savings(rb)
	if err != nil {
		return nil, err
	}
	savings := make(map[int64]*workshop.SavedOn, len(list.Jobs))
	for i := range list.Jobs {
		savings[list.Jobs[i].Job.ID] = &list.Jobs[i]
	}
	sums := workshop.JobSums(rb)
	lines := make([]jobLine, len(sums))
	for i, sum := range sums {
		line := jobLine{JobSum: sum, wants: wantsOf(sum)}
		line.HasExpected = sum.Route != nil && sum.Job.State != rebuild.JobDropped && !line.lacks(wantFigure)
		if saved := savings[sum.Job.ID]; saved != nil {
			line.Saving, line.HasSaving, line.Proven = saved.Saving, true, saved.Why == ""
		}
		lines[i] = line
	}
	return lines, nil
}

// wantsOf lists what the job lacks, the first step first.
func wantsOf(sum workshop.JobSum) []want {
	j := sum.Job
	var wants []want
	if j.Ahead() {
		switch {
		case sum.Route == nil:
			wants = append(wants, wantRoute)
		case j.Chosen == 0:
			wants = append(wants, wantChoice)
		}
		if sum.Route != nil && sum.Total == 0 && sum.Route.Kind != rebuild.Leave && !j.CostNothing {
			wants = append(wants, wantFigure)
		}
	}
	if j.State == rebuild.JobWaiting {
		wants = append(wants, wantWait)
	}
	if sum.Silent() {
		wants = append(wants, wantCost)
	}
	if j.State == rebuild.JobDone && j.Safety.Critical() {
		wants = append(wants, wantProof)
	}
	return wants
}

func (l jobLine) lacks(w want) bool { return slices.Contains(l.wants, w) }

// Missing says in words what the job lacks.
func (l jobLine) Missing() []string {
	var words []string
	for _, w := range l.wants {
		words = append(words, l.inWords(w))
	}
	return words
}

func (l jobLine) inWords(w want) string {
	switch w {
	case wantRoute:
		if len(l.Job.Routes) > 0 {
			return "no route that may be used"
		}
		return "no route yet"
	case wantChoice:
		return "no route chosen"
	case wantFigure:
		return "no figure"
	case wantCost:
		return "no cost written down"
	case wantProof:
		return "safety work not proven yet"
	}
	if l.Job.WaitingFor == "" {
		return "waiting, not said for what"
	}
	return "waiting for " + l.Job.WaitingFor
}

// RouteName is the route that the job goes or is planned with, in words.
func (l jobLine) RouteName() string {
	if l.Route == nil {
		return ""
	}
	kind := kindNames[l.Route.Kind]
	if l.Route.Name == kind {
		return kind
	}
	return kind + ": " + l.Route.Name
}

// Safety is the safety class in words.
func (l jobLine) Safety() string { return safetyNames[l.Job.Safety] }

// ahead is what the job is still expected to cost in all, by the chance that it
// is needed.
func (l jobLine) ahead() float64 {
	switch {
	case !l.HasExpected || !l.Job.Ahead():
		return 0
	case l.Job.State == rebuild.JobDoing:
		return l.Total
	}
	return l.Total * l.Job.Needed
}
