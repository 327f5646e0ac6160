package workshop

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// joints tells each joint: what it needs, how it stands, every tightening.
func (t *telling) joints() []buildfile.Block {
	if len(t.r.Joints) == 0 {
		return []buildfile.Block{{Text: "No joint is entered: how tight anything is, this file does not show."}}
	}
	blocks := []buildfile.Block{{Text: "The preload is what the torque makes of thread and friction, with the ends between which it lies: reckoned, not measured. It is worked out again when this file is checked."}}
	for _, j := range t.r.Joints {
		stand := t.r.JointStand(j, t.today)
		text := sentences(append(append([]string{}, stand.Why...), stand.Doubts...))
		if stand.Retorque != "" {
			text = strings.TrimSpace(text + " " + sentences([]string{stand.Retorque}))
		}
		blocks = append(blocks, buildfile.Block{Verdict: &buildfile.Verdict{Word: string(stand.State), Of: j.Title, Text: text}}, buildfile.Block{Facts: jointFacts(j)})
		if len(j.Tightenings) > 0 {
			blocks = append(blocks, buildfile.Block{Table: t.tightenings(j)})
		}
		var photos []buildfile.Photo
		for _, one := range j.Tightenings {
			photos = append(photos, photosOf(one.Photos, "", j.Title)...)
		}
		if len(photos) > 0 {
			blocks = append(blocks, buildfile.Block{Photos: photos})
		}
	}
	return blocks
}

func jointFacts(j rebuild.Joint) []buildfile.Fact {
	needs := "not said"
	if j.TorqueNm > 0 {
		needs = figureText(j.TorqueNm) + " N·m"
		if j.ToleranceNm > 0 {
			needs += " ± " + figureText(j.ToleranceNm)
		}
	}
	if j.AngleDeg > 0 {
		needs += ", then " + figureText(j.AngleDeg) + "°"
	}
	for _, p := range j.Passes {
		needs += ", pass before at " + figureText(p) + " N·m"
	}
	safety := ""
	if j.Safety.Critical() {
		safety = string(j.Safety)
	}
	locking := ""
	if j.Locking != rebuild.LockNone {
		locking = string(j.Locking)
	}
	thread := ""
	if j.Thread != "" {
		thread = fmt.Sprintf("%d × %s", j.Count, j.Thread)
	}
	return factsOf("Needs", needs, "By", strings.TrimSpace(string(j.Source)+" "+j.SourceWhere), "Fasteners", thread, "Safety-critical", safety, "Locking", locking)
}

func (t *telling) tightenings(j rebuild.Joint) *buildfile.Table {
	table := &buildfile.Table{
		Head: []string{"When", "Torque", "Preload, reckoned", "Tool, calibrated", "By", "Checked by", "Note"}, Shares: []float64{2.2, 1.9, 2.5, 3.4, 1.9, 2.2, 2.9},
	}
	for n, one := range j.Tightenings {
		torque := figureText(one.TorqueNm) + " N·m"
		if one.AngleDeg > 0 {
			torque += " + " + figureText(one.AngleDeg) + "°"
		}
		tool := "not said"
		if with := t.r.Tool(one.Tool); with != nil {
			tool = with.Title
		}
		if one.CalibratedOn != "" {
			tool += ", " + shortDay(one.CalibratedOn)
		}
		second := one.SecondBy
		if one.Alone != "" {
			second = "nobody: " + one.Alone
		}
		said := []string{}
		if one.Renewed {
			said = append(said, "new fasteners")
		}
		if one.Locked {
			said = append(said, "locked")
		}
		if one.Note != "" {
			said = append(said, one.Note)
		}
		table.Rows = append(table.Rows, []string{shortDay(one.At), torque, preloadWords(reckonTightening(&j, n)), tool, one.Who, second, strings.Join(said, "; ")})
	}
	return table
}

// cases tells each diagnosis with its trail.
func (t *telling) cases() []buildfile.Block {
	if len(t.r.Cases) == 0 {
		return []buildfile.Block{{Text: "No diagnosis is entered."}}
	}
	var blocks []buildfile.Block
	for i := range t.r.Cases {
		k := &t.r.Cases[i]
		named := *k
		if whole := t.whole.Case(k.ID); whole != nil {
			named.Model = whole.Model // what its faults and tests are called
		}
		blocks = append(blocks, buildfile.Block{Verdict: &buildfile.Verdict{Word: string(k.State), Of: k.Title, Text: t.caseOutcome(&named)}})
		if len(k.Steps) == 0 {
			continue
		}
		table := buildfile.Table{Head: []string{"When", "Step", "Measured", "Note"}, Shares: []float64{2, 7, 3.4, 4}}
		for _, step := range k.Steps {
			measured := ""
			if e := t.r.EvidenceAt(step.EvidenceID); e != nil {
				measured = e.Title
			}
			table.Rows = append(table.Rows, []string{shortDay(step.At), t.cut(t.shop.StepInWords(&named, step)), measured, step.Note})
		}
		blocks = append(blocks, buildfile.Block{Table: &table})
	}
	return blocks
}

func (t *telling) caseOutcome(k *rebuild.Case) string {
	var told []string
	if k.Cause != "" {
		cause := k.Cause
		if model, err := t.shop.Model(k.Model); err == nil {
			for i := range model.Case.Faults {
				if model.Case.Faults[i].ID == k.Cause {
					cause = model.FaultName(i)
				}
			}
		}
		told = append(told, "Cause found: "+t.cut(cause)+".")
	}
	if k.Cured() {
		told = append(told, "The last step cured the symptom.")
	}
	if k.Note != "" {
		told = append(told, k.Note)
	}
	return strings.Join(told, " ")
}

// measurements tells each measurement with its verdict and the doubt of every
// figure.
func (t *telling) measurements(ctx context.Context) []buildfile.Block {
	if len(t.r.Evidence) == 0 {
		return []buildfile.Block{{Text: "No measurement is kept."}}
	}
	blocks := []buildfile.Block{{Text: doubtWords}}
	for i := range t.r.Evidence {
		blocks = append(blocks, t.measurement(ctx, &t.r.Evidence[i])...)
	}
	return blocks
}

// doubtWords say what the doubt of a figure means, wherever it stands in the file.
const doubtWords = "± is twice the standard uncertainty: with 95 % the true value lies that near. From and To are the two ends of it."

func (t *telling) measurement(ctx context.Context, e *rebuild.Evidence) []buildfile.Block {
	job := ""
	if j := t.r.Job(e.JobID); j != nil {
		job = j.Title
	}
	var raw []string
	for _, a := range e.Raw {
		raw = append(raw, fmt.Sprintf("%s (SHA-256 %s…)", a.Name, a.Hash[:min(16, len(a.Hash))]))
	}
	phase := ""
	if e.Phase != "" {
		phase = string(e.Phase) + " the work"
	}
	blocks := []buildfile.Block{
		{Verdict: &buildfile.Verdict{Word: string(e.Verdict), Of: e.Title, Text: sentences([]string{e.Why})}},
		{Facts: factsOf("Day", shortDay(e.On), "Of the job", job, "When", phase, "Worked out by", e.Engine, "Raw readings", strings.Join(raw, "; "), "Note", e.Note)},
	}
	blocks = append(blocks, t.drawn(ctx, e)...)
	if len(e.Figures) == 0 {
		return blocks
	}
	table := buildfile.Table{Head: []string{"Figure", "Value", "From, 95 %", "To, 95 %", "Unit"}, Shares: []float64{7, 2.4, 2.4, 2.4, 2}, Right: []bool{false, true, true, true, false}}
	for _, f := range e.Figures {
		table.Rows = append(table.Rows, []string{f.Name, figureIn(f), boundText(f.Low), boundText(f.High), f.Unit})
	}
	return append(blocks, buildfile.Block{Table: &table})
}

// figureText shows a figure with four significant digits.
func figureText(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }

// figureIn shows a figure; a chance that is as good as none or as certain is said
// so, not with all its noughts.
func figureIn(f rebuild.EvidenceFigure) string {
	switch {
	case f.Unit == "%" && f.Value > 0 && f.Value < 0.1, IsChance(f) && f.Value < 0.1:
		return "under 0.1"
	case f.Unit == "%" && f.Value < 100 && f.Value > 99.9, IsChance(f) && f.Value > 99.9:
		return "over 99.9"
	case IsChance(f): // as the reason beside it says it
		return strconv.FormatFloat(math.Round(f.Value*10)/10, 'f', -1, 64)
	}
	return figureText(f.Value)
}

func boundText(v *float64) string {
	if v == nil {
		return ""
	}
	return figureText(*v)
}

// sentences joins reasons to sentences.
func sentences(reasons []string) string {
	var out []string
	for _, r := range reasons {
		if r != "" {
			out = append(out, strings.TrimSuffix(capitalFirst(r), ".")+".")
		}
	}
	return strings.Join(out, " ")
}
