package workshop

import (
	"context"
	"fmt"
	"math"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/working"
)

// Tone says how an answer is to be taken, for a mark beside the words.
type Tone string

// The tones.
const (
	Good    Tone = "good"
	Fair    Tone = "fair"
	Bad     Tone = "bad"
	Unknown Tone = "unknown"
)

// Target is where an answer or an action leads.
type Target struct {
	Page string // "plan", "money", "jobs", "job", "findings", "finding", "ledger", "entry", "zone", "car", "stages"
	ID   int64  // of the job, finding, entry or stage
	Zone string // key
}

// Answer answers one of the five questions.
type Answer struct {
	Question string
	Short    string // the question in a word or two, for a list of all five
	Headline Phrase
	Detail   Phrase
	Figures  []Figure
	Notes    []string // what the answer leaves out or rests on
	Tone     Tone
	Link     Target
	Working  working.Working
}

// Answers are the five questions of the first page.
type Answers struct {
	Cost, Next, Unknown, Safe, Done Answer

	Safety Safety
	Finish Finish
}

// List is the five in the order of the page.
func (a *Answers) List() []*Answer { return []*Answer{&a.Cost, &a.Next, &a.Unknown, &a.Safe, &a.Done} }

// Answers answers the five questions of the first page.
func (w *Workshop) Answers(ctx context.Context, r *rebuild.Rebuild) (Answers, error) {
	today := w.today()
	actions, whole, err := w.next(ctx, r)
	if err != nil {
		return Answers{}, err
	}
	return w.answers.get(ctx, w.life, r, asOf(today, whole), func(life context.Context) (Answers, error) {
		o, err := w.Forecast(life, r)
		if err != nil {
			return Answers{}, err
		}
		a := answersOf(r, &o, actions, today)
		p, err := w.planAtOnce(life, r)
		if err == nil && p != nil {
			a.planned(p, &o)
		}
		return a, err
	})
}

func answersOf(r *rebuild.Rebuild, o *Outlook, actions []Action, today string) Answers {
	a := Answers{Safety: safetyOn(r, today), Finish: finishOf(r, o, today)}
	a.Cost = costAnswer(r, o)
	a.Next = nextAnswer(actions)
	a.Unknown = unknownAnswer(r, o)
	a.Safe = safeAnswer(a.Safety)
	a.Done = doneAnswer(o, a.Finish)
	return a
}

func costAnswer(r *rebuild.Rebuild, o *Outlook) Answer {
	code := r.Car.Currency
	a := Answer{Question: "What will it cost in the end?", Short: "In the end", Link: Target{Page: "money"}, Notes: o.Gaps.Sentences(), Working: o.Working, Tone: Fair}
	a.Figures = []Figure{
		money("spent", o.Ledger, code), money("still to come, expected", o.Remaining.Mean, code),
		money("even chance", o.Total.P50, code), money("one in ten cheaper", o.Total.P10, code), money("one in ten dearer", o.Total.P90, code),
	}
	if over := o.Overheads; over != nil {
		a.Notes = append(a.Notes, fmt.Sprintf("What each of the %.0f days until it is done costs is in it; fees for missing a wished date are not.", over.Days))
	}
	if len(r.Jobs) == 0 && len(o.Result.Hidden) == 0 {
		a.Tone, a.Headline = Unknown, words("Cannot tell yet")
		a.Detail = phrase("%s is spent. Enter the jobs with what each may cost, and this becomes a forecast.", a.Figures[0])
		return a
	}
	a.Headline = phrase("About %s", a.Figures[2])
	a.Detail = phrase("Nine chances in ten that it is at least %s, nine in ten that it is at most %s; %s of it is spent.", a.Figures[3], a.Figures[4], a.Figures[0])
	if o.Remaining.SD == 0 {
		a.Detail = phrase("No figure ahead has any doubt in it: each is taken as certain. %s of it is spent.", a.Figures[0])
	}
	if o.ChanceUnderCeiling == nil {
		return a
	}
	p := *o.ChanceUnderCeiling
	under := chance("chance to stay under the ceiling", p)
	a.Figures = append(a.Figures, under, money("ceiling", *o.Ceiling, code))
	a.Headline = phrase("About %s, %s to stay under %s", a.Figures[2], under, a.Figures[6])
	a.Tone = toneOf(p)
	return a
}

// toneOf takes four chances in five as good and less than even as bad.
// common practice, no source
func toneOf(p float64) Tone {
	switch {
	case p >= 0.8:
		return Good
	case p < 0.5:
		return Bad
	}
	return Fair
}

func nextAnswer(actions []Action) Answer {
	a := Answer{Question: "What do I do next, and why?", Short: "Next", Tone: Fair, Link: Target{Page: "jobs"}}
	if len(actions) == 0 {
		a.Headline, a.Detail, a.Tone = words("Nothing recorded is left to do"), words("Every job is proven and every cost has its place."), Good
		return a
	}
	first := actions[0]
	a.Headline, a.Detail, a.Link, a.Working = words(first.Title), first.Why, first.Target, first.Working
	if first.Kind == MakeSafe {
		a.Tone = Bad
	}
	return a
}

func unknownAnswer(r *rebuild.Rebuild, o *Outlook) Answer {
	a := Answer{Question: "What is still unknown?", Short: "Unknown", Link: Target{Page: "money"}, Notes: o.Gaps.Sentences(), Tone: Fair}
	closed := 0
	for i := range r.Zones {
		if r.Zones[i].OpenShare == 0 {
			closed++
		}
	}
	reserve, items := 0.0, 0.0
	for _, h := range o.Result.Hidden {
		reserve += h.ExpectedCost
		items += h.ExpectedItems
		a.Working.Add(h.Name, "mean over the trials: a Poisson number of faults, each drawn from its range, own bias counted", h.ExpectedCost, r.Car.Currency, "DESIGN_FORECAST")
	}
	a.Working.Add("reserve for hidden damage", "sum of the zones above", reserve, r.Car.Currency, "DESIGN_FORECAST")
	hidden := money("reserve for hidden damage", reserve, r.Car.Currency)
	a.Figures = []Figure{
		howMany("zones never opened", closed), hidden,
		howMany("findings without a job", len(o.Gaps.FindingsWithoutJob)), howMany("jobs without a figure", len(o.Gaps.JobsWithoutFigure)),
		howMany("jobs with no route chosen", len(o.Gaps.RoutesNotChosen)),
		howMany("costs without a job", len(o.Gaps.EntriesWithoutJob)), howMany("finished jobs without a cost", len(o.Gaps.FinishedWithoutCost)),
	}
	a.Headline = phrase("%s of "+fmt.Sprint(len(r.Zones))+" zones never opened", a.Figures[0])
	if reserve > 0 {
		a.Headline = phrase("%s for "+someFaults(items)+" not seen yet", hidden)
	}
	a.Detail = words(doubtSentence(o))
	if len(r.Jobs) == 0 && reserve == 0 {
		a.Detail = words("No job is entered yet. What lies behind closed panels is counted once a zone says how many faults to expect there.")
	}
	for _, d := range o.Drivers[:min(3, len(o.Drivers))] {
		a.Figures = append(a.Figures, chance("share of the doubt: "+d.Name, d.Share))
	}
	if closed == 0 && reserve == 0 && len(a.Notes) == 0 {
		a.Tone, a.Headline = Good, words("Every zone is open and everything found has its job")
	}
	return a
}

// someFaults is an expected number in words.
func someFaults(expected float64) string {
	switch n := math.Round(expected); {
	case expected < 0.75:
		return "a fault perhaps"
	case n <= 1:
		return "about one fault"
	default:
		return fmt.Sprintf("about %.0f faults", n)
	}
}

// doubtSentence names what the doubt about the total comes from.
func doubtSentence(o *Outlook) string {
	if len(o.Drivers) == 0 || o.Drivers[0].Share <= 0 {
		return "No figure ahead has any doubt in it: give jobs a low and a high figure."
	}
	var parts []string
	for _, d := range o.Drivers[:min(3, len(o.Drivers))] {
		if d.Share >= 0.05 || len(parts) == 0 {
			parts = append(parts, d.Name+" ("+Percent(d.Share)+")")
		}
	}
	return "Most of the doubt comes from " + strings.Join(parts, ", ") + "."
}

func safeAnswer(s Safety) Answer {
	a := Answer{Question: "Is it safe to drive yet?", Short: "Safe to drive", Notes: []string{RecordNotInspection}, Link: Target{Page: "gates/road-test"}}
	a.Working.Add("safety-critical findings not settled", "open or planned, safety-critical or dangerous", float64(len(s.Findings)), "", "own record")
	a.Working.Add("safety jobs not proven", "of a safety class, or settling such a finding", float64(len(s.Jobs)), "", "own record")
	a.Working.Add("safety joints not proven", "of a safety class, by their tightening records", float64(len(s.Joints)), "", "own record")
	a.Working.Add("other things against the road test", "checks, cases, what is off the car", float64(len(s.Others)), "", "DESIGN_GATES")
	a.Figures = []Figure{
		howMany("safety-critical findings not settled", len(s.Findings)), howMany("safety jobs not proven", len(s.Jobs)),
		howMany("safety joints not proven", len(s.Joints)), howMany("other things against it", len(s.Others)),
	}
	switch s.Verdict {
	case DriveNo:
		a.Tone, a.Headline, a.Detail = Bad, words("No"), words("Against it: "+namesOf(s)+".")
	case DriveCannotTell:
		a.Tone, a.Headline = Unknown, words("Cannot tell")
		a.Detail, a.Link = words("No safety-critical fault is on record, but "+s.Why+"."), Target{Page: "stages", ID: surveyStage}
	default:
		a.Tone, a.Headline = Fair, words("Nothing on record speaks against it")
		detail := "Every safety-critical finding is settled, every safety job and every safety joint is proven."
		if s.Papers > 0 {
			detail += " The road-test gate asks for " + count(s.Papers, "more word", "more words") + " of yours: cautions read, what the law asks for."
		}
		a.Detail = words(detail)
	}
	return a
}

// namesOf lists the first things that stand against driving.
func namesOf(s Safety) string {
	var list []string
	for _, o := range s.Others {
		if o.Hard {
			list = append(list, strings.TrimSuffix(o.Text, "."))
		}
	}
	for _, f := range s.Findings {
		list = append(list, f.What)
	}
	for _, j := range s.Jobs {
		list = append(list, fmt.Sprintf("%s (%s)", j.Title, j.State))
	}
	for _, o := range s.Others {
		if !o.Hard {
			list = append(list, o.Text)
		}
	}
	const most = 3
	if n := len(s.Joints); n > 0 {
		joints := count(n, "safety joint", "safety joints") + " not proven"
		first := list[:min(len(list), most-1)]
		if more := len(list) - len(first); more > 0 {
			first[len(first)-1] += fmt.Sprintf(" and %d more", more)
		}
		return strings.Join(append(first, joints), "; ")
	}
	if len(list) > most {
		return strings.Join(list[:most], "; ") + fmt.Sprintf(" and %d more", len(list)-most)
	}
	return strings.Join(list, "; ")
}

func doneAnswer(o *Outlook, f Finish) Answer {
	a := Answer{Question: "When is it done?", Short: "Done", Tone: Fair, Link: Target{Page: "money"}}
	left := inHours("own hours left, even chance", o.Hours.P50)
	if !f.Known {
		a.Tone, a.Headline, a.Link = Unknown, words("Cannot tell"), Target{Page: "car"}
		a.Detail = words(upperFirst(f.Why) + ".")
		if o.Hours.P50 > 0 {
			a.Figures = []Figure{left}
		}
		return a
	}
	a.Figures = []Figure{left, day("one chance in ten by", f.P10), day("even chance by", f.P50), day("nine in ten by", f.P90)}
	a.Working.Add("own hours left, even chance", "50 % point of the hours of all jobs ahead", o.Hours.P50, "h", "DESIGN_FORECAST")
	a.Working.Add("hours a week", "given", f.HoursPerWeek, "h", "own estimate")
	a.Working.Add("days, even chance", "hours left / hours a week x 7, begun days whole", float64(f.days(o.Hours.P50)), "d", "own estimate")
	a.Headline = phrase("Between %s and %s", a.Figures[1], a.Figures[3])
	a.Detail = phrase("%s of own work are left, even chance to be done by %s. Waiting for parts and other people's work is not counted.", left, a.Figures[2])
	if o.Hours.P90 <= 0 {
		a.Tone, a.Headline, a.Detail = Good, words("No own work on record is left"), words("Waiting for parts and other people's work is not counted.")
	}
	if f.WithoutHours > 0 {
		a.Notes = append(a.Notes, count(f.WithoutHours, "job ahead says", "jobs ahead say")+" nothing of hours and "+were(f.WithoutHours)+" counted with none.")
	}
	if f.ChanceBy != nil {
		by := chance("chance to be done by the day wanted", *f.ChanceBy)
		a.Figures = append(a.Figures, by, day("wanted by", f.WantedBy))
		a.Headline = phrase("Between %s and %s, %s by %s", a.Figures[1], a.Figures[3], by, a.Figures[5])
		a.Tone = toneOf(*f.ChanceBy)
	}
	return a
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
