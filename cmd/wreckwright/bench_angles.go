package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"wreckwright/bench/angles"
	"wreckwright/bench/angles/anglesfile"
	"wreckwright/casefile"
	"wreckwright/uncertain"
)

type anglesCommand struct {
	Case string `arg:"" name:"case.yaml" help:"Case file: lines, wheels, reading_sd, tie_rod, want."`
	JSON bool   `name:"json" help:"Print one JSON object and nothing else."`
}

// Help stands beneath the command's help.
func (anglesCommand) Help() string {
	return "Toe is positive with the front of the wheel in, camber with its top out, caster with the steering axis leaning back as it rises; " +
		"the thrust angle where the rear axle points to the right. The maker's figures and procedure stand above what is written here. A car on its wheels or " +
		"on stands is secured before anybody reaches beneath it."
}

// anglesResult is a result with its cautions.
type anglesResult struct {
	angles.Result
	Cautions []string `json:"cautions"`
}

// Run reads the case and prints where the wheels point.
func (b anglesCommand) Run(out output) error {
	file, err := casefile.Read(b.Case)
	if err != nil {
		return err
	}
	c, err := anglesfile.From(b.Case, file)
	if err != nil {
		return err
	}
	result, err := c.Examine()
	if err != nil {
		return err
	}
	full := anglesResult{result, hazardCautions([]string{"lifting", "steering"})}
	if b.JSON {
		return writeJSON(out.Result, full)
	}
	writeAngles(out.Result, full)
	return nil
}

func writeAngles(w io.Writer, r anglesResult) {
	fmt.Fprintf(w, "%s: %s\n\n", r.Verdict, r.Why)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "degrees\ttoe\tcamber\tcaster\tsteering axis\tincluded")
	for _, n := range angles.Corners {
		x, ok := r.Wheels[n.String()]
		if !ok {
			continue
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\n", n, doubtful(x.Toe, x.ToeSD), doubtful(x.Camber, x.CamberSD),
			doubtful(x.Caster, x.CasterSD), doubtful(x.SteeringAxis, x.SteeringAxisSD), doubtful(x.Included, x.IncludedSD))
	}
	table.Flush()
	fmt.Fprintln(w)
	writeAxles(w, r)
	var waits []string
	for _, h := range r.Hold {
		waits = append(waits, h.Wheel+": "+h.Text)
	}
	writeList(w, "first; nothing is turned there until then", waits)
	if len(r.Adjust) > 0 {
		fmt.Fprintln(w, "\nadjust, in this order")
		for _, a := range r.Adjust {
			fmt.Fprintf(w, "  %s\n", adjustmentWords(a))
		}
	}
	var signs []string
	for _, s := range r.Signs {
		signs = append(signs, fmt.Sprintf("%s: %s [%s]", s.Wheel, s.Text, s.Source))
	}
	writeList(w, "what it looks like", signs)
	if r.Source != "" {
		fmt.Fprintf(w, "\nlimits from %s\n", r.Source)
	}
	writeList(w, "to know", r.Notes)
	writeList(w, "caution", r.Cautions)
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}

func writeAxles(w io.Writer, r anglesResult) {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	line := func(name, unit string, value, sd *float64) {
		if value != nil {
			fmt.Fprintf(table, "%s\t%s %s\n", name, doubtful(value, sd), unit)
		}
	}
	for _, name := range []string{"front", "rear"} {
		a := r.Axles[name]
		line(name+" total toe", "deg", a.TotalToe, a.TotalToeSD)
		line(name+" set-back", "mm", a.SetBackMm, a.SetBackMmSD)
		line(name+" set-back", "deg", a.SetBackDeg, a.SetBackDegSD)
		line(name+" camber, left less right", "deg", a.CrossCamber, a.CrossCamberSD)
		line(name+" caster, left less right", "deg", a.CrossCaster, a.CrossCasterSD)
		line(name+" ride height", "mm", a.HeightMm, a.HeightMmSD)
		line(name+" ride height, left less right", "mm", a.LeftOverMm, a.LeftOverMmSD)
	}
	line("thrust angle, to the right", "deg", r.Thrust, r.ThrustSD)
	if x := r.Weights; x != nil {
		line("total weight", "kg", &x.TotalKg, nil)
		line("front", "%", &x.FrontPercent, nil)
		line("left", "%", &x.LeftPercent, nil)
		fmt.Fprintf(table, "cross-weight, front right with rear left\t%.2f +- %.2f %%\n", x.CrossPercent, uncertain.HalfOf95*x.CrossSD)
		line("rear left less rear right", "kg", &x.BiteKg, nil)
	}
	for _, side := range []string{"left", "right"} {
		if x, ok := r.Turns[side]; ok {
			line("toe-out on turns, held "+side, "deg", x.ToeOut, x.ToeOutSD)
			line("share of a turn about one point, held "+side, "%", x.Share, x.ShareSD)
		}
	}
	for _, x := range r.Platforms {
		fmt.Fprintf(table, "one turn up of the spring platform %s, estimate\tcross-weight %+.2f %%\n", x.Wheel, x.CrossPercent)
	}
	table.Flush()
}

// doubtful is a figure with the half width of its 95 % interval.
func doubtful(x, sd *float64) string {
	switch {
	case x == nil:
		return "-"
	case sd == nil || *sd == 0:
		return fmt.Sprintf("%.2f", *x)
	}
	return fmt.Sprintf("%+.2f +- %.2f", *x, uncertain.HalfOf95**sd)
}

func adjustmentWords(a angles.Adjustment) string {
	text := fmt.Sprintf("%s: %s: %+.2f %s", a.Wheel, a.What, a.By, a.Unit)
	if a.Estimate {
		text += " (estimate)"
	}
	if a.ToeChangeDeg != nil {
		text += fmt.Sprintf(" (moves toe by %+.2f deg, counted below)", *a.ToeChangeDeg)
	}
	return text
}
