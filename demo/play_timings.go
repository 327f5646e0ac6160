package demo

import (
	"context"
	"fmt"
	"strings"
	"time"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// timePump times the pump as a person with the stopwatch does: taps in, the
// engine's own verdict out, kept as evidence of the job.
func (p *player) timePump(ctx context.Context, who by, job string, m timing) error {
	var list strings.Builder
	first := p.clock.at.Round(time.Second)
	at := first
	for i := range len(m.Intervals) + 1 {
		if i > 0 {
			at = at.Add(time.Duration(m.Intervals[i-1] * float64(time.Second)))
		}
		fmt.Fprintf(&list, "%s on\n", at.Format(time.RFC3339))
	}
	taps, err := workshop.ReadTaps(list.String())
	if err != nil {
		return err
	}
	said, err := workshop.TimedPump(taps, workshop.UnitSettings{})
	if err != nil {
		return err
	}
	file, err := p.book.PutFile(ctx, strings.NewReader(list.String()), "taps.txt", "text/plain", 0)
	if err != nil {
		return err
	}
	p.measured[m.key(job)], err = p.add(ctx, who, func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddEvidence(rebuild.Evidence{
			On: first.Format(time.DateOnly), At: first.Format(time.RFC3339), Instrument: rebuild.InstrumentRecharge, Title: "Pump timed by thumb",
			JobID: p.jobs[job], Phase: rebuild.Phase(m.Phase), Raw: []rebuild.Attachment{file},
			Verdict: said.Verdict, Why: said.Why, Figures: said.Figures, Engine: said.Engine, Note: m.Note,
		})
	})
	return err
}
