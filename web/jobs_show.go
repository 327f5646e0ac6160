package web

import (
	"net/http"
	"slices"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// jobsPage lists the jobs, grouped by where they stand.
type jobsPage struct {
	Frame
	Any     bool // the rebuild has jobs at all
	Filter  jobFilter
	Form    *Form
	Zones   []Option
	Classes []Option
	Wants   []Option
	States  []jobStateLink
	Groups  []jobStateGroup
	Totals  jobTotals

	From, To       int // of the page
	Earlier, Later string
	CSV            string
}

// jobStateLink narrows the list to one state.
type jobStateLink struct {
	Name  string
	Count int
	Href  string
	Here  bool
}

type jobStateGroup struct {
	State rebuild.JobState
	Name  string
	Count int // on all pages
	Lines []jobLine
}

// jobTotals are the sums over all jobs that the filter lets through.
type jobTotals struct {
	Count      int
	Expected   float64 // of those ahead
	NoFigure   int     // ahead, and not in Expected
	Paid       amount.Amount
	Saving     amount.Amount
	Proven     amount.Amount // of Saving
	WithSaving int
}

// jobsPageSize is how many jobs a page holds.
const jobsPageSize = 100

// jobOrder is the order of the list: what is in hand first.
var jobOrder = []rebuild.JobState{rebuild.JobDoing, rebuild.JobWaiting, rebuild.JobOpen, rebuild.JobDone, rebuild.JobProven, rebuild.JobDropped}

// jobStateNames says where a job stands as a heading.
var jobStateNames = map[rebuild.JobState]string{
	rebuild.JobDoing: "Being done", rebuild.JobWaiting: "Waiting", rebuild.JobOpen: "Open",
	rebuild.JobDone: "Done", rebuild.JobProven: "Proven", rebuild.JobDropped: "Dropped",
}

func (s *Server) jobsShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Jobs", "jobs", rb)
	if err != nil {
		return err
	}
	all, err := s.jobLines(rb)
	if err != nil {
		return err
	}
	page := newJobsPage(frame, all, readJobFilter(r.URL.Query()))
	return s.showPart(w, r, "jobs", "jobs-found", page)
}

func newJobsPage(frame Frame, all []jobLine, filter jobFilter) jobsPage {
	page := jobsPage{Frame: frame, Any: len(all) > 0, Filter: filter, Form: &Form{}, Wants: wantOptions()}
	page.Zones = zoneOptions("Any zone")
	page.Classes = append([]Option{{"", "Anything"}, {anySafety, "What lives hang on"}}, safetyOptions()...)
	page.Form.Set("zone", filter.Zone)
	page.Form.Set("safety", filter.Safety)
	page.Form.Set("missing", filter.Missing)
	passing := slices.DeleteFunc(slices.Clone(all), func(l jobLine) bool { return !filter.lets(l) })
	page.States = stateLinks(frame, passing, filter)
	shown := slices.DeleteFunc(passing, func(l jobLine) bool { return !filter.letsState(l.Job) })
	page.Totals = totalOf(frame.Rebuild, shown)
	slices.SortStableFunc(shown, func(a, b jobLine) int {
		return slices.Index(jobOrder, a.Job.State) - slices.Index(jobOrder, b.Job.State)
	})
	page.cut(shown)
	csv := filter
	csv.Page = 1
	page.CSV = frame.Base() + "/jobs.csv" + csv.Query()
	return page
}

// stateLinks offers the states in which there are jobs, with their number.
func stateLinks(frame Frame, passing []jobLine, filter jobFilter) []jobStateLink {
	counts := map[string]int{"": len(passing)}
	for _, l := range passing {
		counts[string(l.Job.State)]++
		if l.Job.Ahead() {
			counts[stateAhead]++
		}
	}
	link := func(state, name string) jobStateLink {
		to := filter
		to.State, to.Page = state, 1
		return jobStateLink{name, counts[state], frame.Base() + "/jobs" + to.Query(), filter.State == state}
	}
	links := []jobStateLink{link("", "All"), link(stateAhead, "Ahead")}
	for _, state := range jobOrder {
		if counts[string(state)] > 0 || filter.State == string(state) {
			links = append(links, link(string(state), jobStateNames[state]))
		}
	}
	return links
}

// cut takes the page out of the lines and groups it by state.
func (p *jobsPage) cut(shown []jobLine) {
	counts := map[rebuild.JobState]int{}
	for _, l := range shown {
		counts[l.Job.State]++
	}
	last := max(1, (len(shown)+jobsPageSize-1)/jobsPageSize)
	p.Filter.Page = min(p.Filter.Page, last)
	from := (p.Filter.Page - 1) * jobsPageSize
	to := min(from+jobsPageSize, len(shown))
	for _, l := range shown[from:to] {
		if n := len(p.Groups); n == 0 || p.Groups[n-1].State != l.Job.State {
			p.Groups = append(p.Groups, jobStateGroup{State: l.Job.State, Name: jobStateNames[l.Job.State], Count: counts[l.Job.State]})
		}
		group := &p.Groups[len(p.Groups)-1]
		group.Lines = append(group.Lines, l)
	}
	p.From, p.To = from+1, to
	at := func(page int) string {
		f := p.Filter
		f.Page = page
		return p.Base() + "/jobs" + f.Query()
	}
	if p.Filter.Page > 1 {
		p.Earlier = at(p.Filter.Page - 1)
	}
	if p.Filter.Page < last {
		p.Later = at(p.Filter.Page + 1)
	}
}

func totalOf(rb *rebuild.Rebuild, lines []jobLine) jobTotals {
	t := jobTotals{Count: len(lines), Paid: rb.Amount(0), Saving: rb.Amount(0), Proven: rb.Amount(0)}
	for _, l := range lines {
		t.Expected += l.ahead()
		if l.Job.Ahead() && !l.HasExpected {
			t.NoFigure++
		}
		t.Paid = plus(t.Paid, l.Paid)
		if l.HasSaving {
			t.WithSaving++
			t.Saving = plus(t.Saving, l.Saving)
			if l.Proven {
				t.Proven = plus(t.Proven, l.Saving)
			}
		}
	}
	return t
}

// plus adds two sums of one rebuild, which are all in its currency.
func plus(a, b amount.Amount) amount.Amount { return amount.New(a.Minor+b.Minor, b.Currency) }
