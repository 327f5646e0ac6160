package web

import (
	"cmp"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// ledgerForgotten is what people forget to write down: which job a cost was for,
// and what a finished job cost.
type ledgerForgotten struct {
	Loose     []looseCost
	LooseMore int
	Silent    []*rebuild.Job
	SilentAll int
	More      int
}

// looseCost is a cost without a job and the jobs it may be for.
type looseCost struct {
	*rebuild.Entry
	KindLabel string
	Guess     string // value of the likeliest job, or empty
	Jobs      []jobGroup
}

// How many of each list are shown at first and at most.
const (
	forgottenFirst = 4
	forgottenMost  = 50
	// jobsInRow is the longest list of jobs that is repeated in each row.
	jobsInRow = 60
)

func newLedgerForgotten(rb *rebuild.Rebuild, groups []jobGroup, all string) ledgerForgotten {
	loose, silent := rb.EntriesWithoutJob(), rb.JobsWithoutCost()
	most := forgottenFirst
	if all != "" {
		most = forgottenMost
	}
	f := ledgerForgotten{LooseMore: max(0, len(loose)-most), SilentAll: len(silent)}
	f.More = f.LooseMore + max(0, len(silent)-most)
	f.Silent = silent[:min(most, len(silent))]
	if len(loose) > 0 {
		guesser := newJobGuesser(rb)
		for _, e := range loose[:min(most, len(loose))] {
			guesses := guesser.guess(e.What)
			f.Loose = append(f.Loose, newLooseCost(e, guesses, groups))
		}
	}
	return f
}

func newLooseCost(e *rebuild.Entry, guesses []Option, groups []jobGroup) looseCost {
	c := looseCost{Entry: e, KindLabel: entryKindLabel(e.Kind)}
	if len(guesses) > 0 {
		c.Guess = guesses[0].Value
		c.Jobs = append(c.Jobs, jobGroup{"By its words", guesses})
	}
	left := jobsInRow
	for _, g := range groups {
		jobs := slices.DeleteFunc(slices.Clone(g.Jobs[:min(left, len(g.Jobs))]), func(o Option) bool { return slices.Contains(guesses, o) })
		if left -= len(jobs); len(jobs) > 0 {
			c.Jobs = append(c.Jobs, jobGroup{g.Name, jobs})
		}
	}
	return c
}

// jobGuesser finds jobs by the words of their titles, to put the likely ones
// first; a person decides.
type jobGuesser struct {
	jobs   []*rebuild.Job
	byWord map[string][]int
}

func newJobGuesser(rb *rebuild.Rebuild) jobGuesser {
	g := jobGuesser{byWord: map[string][]int{}}
	for i := range rb.Jobs {
		j := &rb.Jobs[i]
		if j.State == rebuild.JobDropped {
			continue
		}
		for _, w := range guessWords(j.Title) {
			g.byWord[w] = append(g.byWord[w], len(g.jobs))
		}
		g.jobs = append(g.jobs, j)
	}
	return g
}

// guess lists up to three jobs that share words with the text, the likeliest
// first. A word that many jobs have says little, so each counts by its rarity.
func (g jobGuesser) guess(text string) []Option {
	score := map[int]float64{}
	for _, w := range guessWords(text) {
		for _, at := range g.byWord[w] {
			score[at] += 1 / float64(len(g.byWord[w]))
		}
	}
	found := make([]int, 0, len(score))
	for at := range score {
		found = append(found, at)
	}
	slices.SortFunc(found, func(a, b int) int { return cmp.Or(cmp.Compare(score[b], score[a]), cmp.Compare(a, b)) })
	var options []Option
	for _, at := range found[:min(3, len(found))] {
		options = append(options, Option{strconv.FormatInt(g.jobs[at].ID, 10), g.jobs[at].Title})
	}
	return options
}

// guessWords are the words of four letters or more, each once, lower case and
// without a plural's s.
func guessWords(text string) []string {
	var words []string
	for _, w := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		w = strings.TrimSuffix(w, "s")
		if len([]rune(w)) >= 4 && !slices.Contains(words, w) {
			words = append(words, w)
		}
	}
	return words
}

// ledgerNoCost takes down that a finished job really cost nothing. All else
// about its outcome stays.
func (s *Server) ledgerNoCost(w http.ResponseWriter, r *http.Request) error {
	id, err := pathNumber(r, "job")
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	rev := f.rev()
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		j := rb.Job(id)
		if j == nil {
			return rebuild.Change{}, &rebuild.Missing{Kind: rebuild.KindJob, ID: id}
		}
		c, err := rb.SetOutcome(id, rev, rebuild.Outcome{
			State: j.State, WaitingFor: j.WaitingFor, DoneOn: j.DoneOn, HoursSpent: j.HoursSpent,
			Failed: j.Failed, CostNothing: true, Proof: j.Proof, Proofs: j.Proofs,
		})
		c.What = "noted that the job " + strconv.Quote(j.Title) + " cost nothing"
		return c, err
	}, func(store.Record) string {
		return backTo(r, "/r/"+r.PathValue("rebuild")+"/ledger") + "#forgotten"
	})
}
