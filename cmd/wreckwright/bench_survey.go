package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"text/tabwriter"

	"wreckwright/bench/survey"
	"wreckwright/casefile"
)

type surveyCommand struct {
	Distances   string   `arg:"" name:"dist.csv" help:"Distances between named points: from,to,mm[,sd]."`
	Nominal     string   `name:"nominal" placeholder:"POINTS.csv" help:"Where the points ought to be: point,x,y,z[,sd]; x forward, y left, z up; sd is the build scatter, 1 mm where not given."`
	Pairs       string   `name:"pairs" placeholder:"PAIRS.csv" help:"Points that mirror each other, from front to rear: left,right."`
	Heights     string   `name:"heights" placeholder:"H.csv" help:"Heights over one level plane: point,mm[,sd]; a point may stand there twice."`
	Levels      string   `name:"levels" placeholder:"L.csv" help:"Differences of height levelled between two points: from,to,mm[,sd]; above 0 where the second stands higher."`
	Floor       []string `name:"floor" placeholder:"NAME,..." help:"Points that are marks on the floor: they say which way is up where no height does."`
	ToleranceMm *float64 `name:"tolerance-mm" placeholder:"MM" help:"How far a point may lie off in each direction, 3 where not given."`
	JSON        bool     `name:"json" help:"Print one JSON object and nothing else."`
}

// Help stands beneath the command's help.
func (surveyCommand) Help() string {
	return "The maker's dimensions, tolerances and procedure stand above this reckoning. Structure is repaired by the maker's procedure, on equipment made for it."
}

// Run reads the lists and prints what has moved.
func (b surveyCommand) Run(out output) error {
	c, err := b.read()
	if err != nil {
		return err
	}
	result, err := survey.Examine(c)
	if err != nil {
		return b.placed(err)
	}
	if b.JSON {
		return writeJSON(out.Result, result)
	}
	writeSurvey(out.Result, result)
	return nil
}

func (b surveyCommand) read() (survey.Case, error) {
	c := survey.Case{Floor: b.Floor}
	if b.ToleranceMm != nil {
		c.ToleranceMm = *b.ToleranceMm
		if c.ToleranceMm <= 0 {
			return c, misuse{fmt.Errorf("--tolerance-mm: %g mm; expected more than 0", c.ToleranceMm)}
		}
	}
	for _, list := range []struct {
		name string
		take func([]byte) error
	}{
		{b.Distances, func(data []byte) (err error) { c.Distances, err = survey.ReadDistances(data); return }},
		{b.Nominal, func(data []byte) (err error) { c.Nominal, err = survey.ReadNominal(data); return }},
		{b.Pairs, func(data []byte) (err error) { c.Pairs, err = survey.ReadPairs(data); return }},
		{b.Heights, func(data []byte) (err error) { c.Heights, err = survey.ReadHeights(data); return }},
		{b.Levels, func(data []byte) (err error) { c.Levels, err = survey.ReadLevels(data); return }},
	} {
		if list.name == "" {
			continue
		}
		data, err := os.ReadFile(list.name)
		if err != nil {
			var path *os.PathError
			if errors.As(err, &path) {
				err = path.Err
			}
			return c, &casefile.Error{File: list.name, Problem: "cannot be read: " + err.Error(), Expected: "a CSV file"}
		}
		if err := list.take(data); err != nil {
			return c, b.placed(err)
		}
	}
	return c, nil
}

// placed names the file and line of a mistake.
func (b surveyCommand) placed(err error) error {
	var wrong *survey.InputError
	if !errors.As(err, &wrong) {
		return fmt.Errorf("bench survey: %w", err)
	}
	file := map[survey.Input]string{survey.InDistances: b.Distances, survey.InNominal: b.Nominal, survey.InPairs: b.Pairs, survey.InHeights: b.Heights, survey.InLevels: b.Levels}[wrong.Input]
	switch {
	case wrong.Input == survey.InTolerance:
		return misuse{fmt.Errorf("--tolerance-mm: %w", err)}
	case file == "":
		return misuse{fmt.Errorf("%s: %w", wrong.Input, err)}
	}
	return &casefile.Error{File: file, Line: wrong.Row, Problem: wrong.Problem, Expected: wrong.Expected}
}

func writeSurvey(w io.Writer, r survey.Result) {
	fmt.Fprintf(w, "%s: %s\n\n", r.Verdict, r.Why)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "point\tx mm\ty mm\tz mm\tdoubt (1 sd)")
	for _, p := range r.Points {
		z, sz := "-", "-"
		if p.Z != nil && p.SZ != nil {
			z, sz = fmt.Sprintf("%.1f", *p.Z), fmt.Sprintf("%.1f", *p.SZ)
		}
		fmt.Fprintf(table, "%s\t%.1f\t%.1f\t%s\t%.1f, %.1f, %s\n", p.ID, p.X, p.Y, z, p.SX, p.SY, sz)
	}
	table.Flush()
	writeSurveyReadings(w, r)
	writeSurveyCompared(w, r)
	writeSurveyWeak(w, r)
	writeList(w, "note", r.Notes)
	writeList(w, "caution", r.Cautions)
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}

func writeSurveyReadings(w io.Writer, r survey.Result) {
	fmt.Fprintf(w, "\nreadings: scatter %.3g times the doubt entered; sum of squares %.4g, %.4g to %.4g expected with %d to spare\n", r.Sigma0, r.Chi2.Value, r.Chi2.Low, r.Chi2.High, r.Chi2.DoF)
	for _, b := range r.Blunders {
		fmt.Fprintf(w, "  wrong: %s, line %d, by %+.1f mm (+-%.1f); measure it again\n", survey.ReadingName(b.Kind, b.From, b.To), b.Line, b.ByMm, 2*b.SDMm)
	}
	for _, s := range r.Suspects {
		fmt.Fprintf(w, "  one of %s: %s\n", strings.Join(s.Readings, ", "), s.Why)
	}
}

func writeSurveyCompared(w io.Writer, r survey.Result) {
	if len(r.Compared) == 0 {
		return
	}
	fmt.Fprintf(w, "\nagainst %s, tolerance +-%g mm\n", r.Against, r.ToleranceMm)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, c := range r.Compared {
		fmt.Fprintf(table, "  %s", c.ID)
		for k := range c.D {
			fmt.Fprintf(table, "\t%+.1f (%.1f)", c.D[k], c.SD[k])
		}
		fmt.Fprintf(table, "\t%s\n", c.Verdict)
	}
	table.Flush()
	for _, m := range r.Moved {
		fmt.Fprintf(w, "  moved: %s (%s) by %.1f mm: x %+.1f, y %+.1f, z %+.1f; chance of that on a straight car %s\n", m.ID, m.Where, m.SizeMm, m.DX, m.DY, m.DZ, percent(m.Significance))
	}
}

func writeSurveyWeak(w io.Writer, r survey.Result) {
	for _, p := range r.Weak {
		fmt.Fprintf(w, "  not fixed: %s %s, doubt +-%.1f mm (95 %%)", p.ID, p.Direction, 2*p.SDMm)
		if len(p.Measure) > 0 {
			fmt.Fprintf(w, "; measure %s (then +-%.1f mm)", strings.Join(p.Measure, " and "), 2*p.SDThenMm)
		}
		fmt.Fprintln(w)
	}
}
