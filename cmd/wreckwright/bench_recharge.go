package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"text/tabwriter"

	"wreckwright/bench/gaugelog"
	"wreckwright/bench/recharge"
	"wreckwright/casefile"
)

type rechargeCommand struct {
	Log             string   `arg:"" optional:"" name:"log.csv" help:"Pressure log: a CSV file with a header."`
	Runs            string   `name:"runs" placeholder:"RUNS.CSV" help:"Pump times: columns pump_on_s and pump_off_s. Alone, or to sharpen a log."`
	Time            string   `name:"time" placeholder:"COL" help:"Header of the column of times."`
	Pressure        string   `name:"pressure" placeholder:"COL" help:"Header of the column of pressures."`
	Event           string   `name:"event" placeholder:"COL" help:"Header of the column of marks (pump on, pump off, shift)."`
	Unit            string   `name:"unit" placeholder:"UNIT" help:"Unit of pressure: bar, psi, kPa or MPa."`
	AmbientC        *float64 `name:"ambient-c" placeholder:"C" help:"Temperature of the unit, degrees Celsius (20 where not given)."`
	GasVolumeL      *float64 `name:"gas-volume-l" placeholder:"L" help:"Nominal volume of the accumulator's shell, litres."`
	PrechargeBar    *float64 `name:"precharge-bar" placeholder:"BAR" help:"Nominal pre-charge, bar gauge at 20 degrees."`
	PumpLMin        *float64 `name:"pump-l-min" placeholder:"Q" help:"Nominal pump flow, litres a minute."`
	ReservoirDropMl *float64 `name:"reservoir-drop-ml" placeholder:"ML" help:"How far the reservoir's level fell over the log, millilitres."`
	ColdFill        bool     `name:"cold-fill" help:"With --runs alone: the first run was the fill from empty, though its length may not show it."`
	JSON            bool     `name:"json" help:"Print one JSON object and nothing else."`
}

// rechargeResult is the result with how the log was read.
type rechargeResult struct {
	recharge.Result
	Read *logRead `json:"read"`
}

// logRead is how a log was read.
type logRead struct {
	Columns  gaugelog.Columns `json:"columns"`
	Rows     int              `json:"rows"`
	Missing  int              `json:"missing"`
	Repeated int              `json:"repeated_stamps"`
	Marks    []gaugelog.Mark  `json:"marks"`
	Unread   int              `json:"marks_not_understood"`
}

// Help stands beneath the command's help.
func (rechargeCommand) Help() string { return beforeMeasuring }

// Run reads log and pump times and prints what they say.
func (b rechargeCommand) Run(ctx context.Context, out output) error {
	defer thrifty()()
	c := recharge.Case{
		AmbientC: b.AmbientC, GasVolumeL: b.GasVolumeL, PrechargeBar: b.PrechargeBar,
		PumpLMin: b.PumpLMin, ReservoirDropMl: b.ReservoirDropMl, ColdFill: b.ColdFill,
	}
	if b.Log == "" && b.Runs == "" {
		return misuse{errors.New("bench recharge: neither a log nor --runs")}
	}
	read, err := b.readLog(ctx, &c)
	if err != nil {
		return err
	}
	if err := b.readRuns(&c); err != nil {
		return err
	}
	result, err := recharge.Examine(ctx, c)
	if err != nil {
		return b.inFile(err, read)
	}
	if b.JSON {
		return writeJSON(out.Result, rechargeResult{result, read})
	}
	writeRecharge(out.Result, result, read)
	return nil
}

// inFile names the file or the flag of a mistake that the instrument found; what
// is no mistake of the person's is handed on.
func (b rechargeCommand) inFile(err error, read *logRead) error {
	var wrong *recharge.InputError
	if !errors.As(err, &wrong) {
		return fmt.Errorf("bench recharge: %w", err)
	}
	if wrong.Input != "" {
		return misuse{fmt.Errorf("%s: %s; expected %s", flagOf(wrong.Input), wrong.Problem, wrong.Expected)}
	}
	file, column := b.Log, wrong.What
	if read == nil || strings.HasPrefix(wrong.What, "pump") {
		file = b.Runs
	}
	switch column {
	case "pressure":
		column = read.Columns.Pressure
	case "time":
		column = read.Columns.Time
	default:
		column = ""
	}
	return &gaugelog.Error{File: file, Line: wrong.Line, Column: column, Problem: wrong.Problem, Expected: wrong.Expected}
}

// flagOf is the flag that takes an input.
func flagOf(i recharge.Input) string { return "--" + strings.ReplaceAll(string(i), "_", "-") }

// flagged names the flags of the settings that a mistake in a log has to do with.
func flagged(err error) error {
	var wrong *gaugelog.Error
	if !errors.As(err, &wrong) {
		return err
	}
	told := *wrong
	if wrong.Wrong != "" {
		told.Problem += " for --" + string(wrong.Wrong)
	}
	for i, setting := range wrong.Mends {
		told.Expected += []string{", or --", " and --"}[min(i, 1)] + string(setting)
	}
	return &told
}

// adviceLines are what would tell more, with the flags that take it.
func adviceLines(list []recharge.Advice) []string {
	lines := make([]string, len(list))
	for i, a := range list {
		lines[i] = a.Text
		var flags []string
		for _, input := range a.Inputs {
			flags = append(flags, flagOf(input))
		}
		if len(flags) > 0 {
			lines[i] += " (" + strings.Join(flags, ", ") + ")"
		}
	}
	return lines
}

func (b rechargeCommand) readLog(ctx context.Context, c *recharge.Case) (*logRead, error) {
	if b.Log == "" {
		return nil, nil
	}
	file, err := openReadings(b.Log)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	log, err := gaugelog.Read(ctx, file, gaugelog.Options{File: b.Log, Time: b.Time, Pressure: b.Pressure, Event: b.Event, Unit: b.Unit})
	if err != nil {
		return nil, flagged(err)
	}
	c.Log = &recharge.Log{TimeS: log.TimeS, PressureBar: log.PressureBar, Line: log.Line}
	read := &logRead{Columns: log.Columns, Rows: len(log.TimeS), Missing: log.Missing, Repeated: log.Repeated, Marks: append([]gaugelog.Mark{}, log.Marks...)}
	for _, m := range log.Marks {
		kind, ok := gaugelog.KindOf(m.Text)
		if !ok {
			read.Unread++
			continue
		}
		c.Marks = append(c.Marks, recharge.Mark{AtS: m.AtS, Kind: markKinds[kind]})
	}
	return read, nil
}

var markKinds = map[gaugelog.Kind]recharge.Kind{
	gaugelog.PumpOn: recharge.PumpOn, gaugelog.PumpOff: recharge.PumpOff, gaugelog.Operated: recharge.Actuation,
}

func (b rechargeCommand) readRuns(c *recharge.Case) error {
	if b.Runs == "" {
		return nil
	}
	file, err := openReadings(b.Runs)
	if err != nil {
		return err
	}
	defer file.Close()
	runs, err := gaugelog.ReadRuns(file, b.Runs)
	if err != nil {
		return err
	}
	if len(runs) == 0 {
		return &gaugelog.Error{File: b.Runs, Problem: "no whole run of the pump", Expected: "one run a line beneath the header"}
	}
	for _, r := range runs {
		c.Runs = append(c.Runs, recharge.PumpRun{OnS: r.OnS, OffS: r.OffS})
	}
	return nil
}

// openReadings opens a file that a person named.
func openReadings(name string) (*os.File, error) {
	file, err := os.Open(name)
	if err != nil {
		why := err
		var path *os.PathError
		if errors.As(err, &path) {
			why = path.Err
		}
		return nil, &casefile.Error{File: name, Problem: "cannot be read: " + why.Error(), Expected: "a file that exists"}
	}
	if info, err := file.Stat(); err == nil && info.IsDir() {
		file.Close()
		return nil, &casefile.Error{File: name, Problem: "is a folder", Expected: "a file"}
	}
	return file, nil
}

func writeRecharge(w io.Writer, r recharge.Result, read *logRead) {
	fmt.Fprintf(w, "%s: %s\n\n", r.Verdict, r.Why)
	writeChances(w, r.Causes)
	writeRechargeFigures(w, r)
	writeCycles(w, r.Cycles)
	writeList(w, "signs", r.Signs)
	writeList(w, "what would tell more", adviceLines(r.Next))
	writeList(w, "caution", r.Cautions)
	if read != nil {
		writeRead(w, read, r.Screen)
	}
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}

func writeChances(w io.Writer, c recharge.Causes) {
	fmt.Fprintln(w, "chances")
	for _, row := range []struct {
		name string
		p    float64
	}{
		{"nothing wrong", c.Normal},
		{"gas lost", c.GasLoss},
		{"internal leak", c.InternalLeak},
		{"external leak", c.ExternalLeak},
		{"weak pump", c.WeakPump},
		{"air in the fluid", c.Air},
		{"sensor", c.Sensor},
	} {
		fmt.Fprintf(w, "  %7s  %s\n", percent(row.p), row.name)
	}
}

func writeRechargeFigures(w io.Writer, r recharge.Result) {
	fmt.Fprintln(w, "\nfigures")
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	estimate := func(name string, e *recharge.Estimate, unit string) {
		if e != nil {
			fmt.Fprintf(table, "  %s\t%.3g %s\t(%.3g to %.3g)\n", name, e.Value, unit, e.Low, e.High)
		}
	}
	if i := r.Interval; i.MeanS != nil && i.LowS != nil {
		estimate(fmt.Sprintf("interval, mean of %d", i.N), &recharge.Estimate{Value: *i.MeanS, Low: *i.LowS, High: *i.HighS}, "s")
	}
	if r.CutOutBar != nil {
		fmt.Fprintf(table, "  cut-out\t%.1f bar\t\n", *r.CutOutBar)
	}
	if r.CutInBar != nil {
		fmt.Fprintf(table, "  cut-in\t%.1f bar\t\n", *r.CutInBar)
	}
	if s := r.Settle; s != nil {
		estimate("fall by cooling", &recharge.Estimate{Value: s.DropBar, Low: s.DropLow, High: s.DropHigh}, "bar")
		estimate("gas time constant", &recharge.Estimate{Value: s.TimeConstantS, Low: s.TimeLowS, High: s.TimeHighS}, "s")
	}
	estimate("fall by the leak", r.LeakBarPerMin, "bar/min")
	estimate("pre-charge", r.PrechargeBar, "bar")
	estimate("leak", r.LeakMlPerMin, "mL/min")
	estimate("pump flow", r.PumpMlPerS, "mL/s")
	if d := r.DropPerActuationBar; d != nil {
		fmt.Fprintf(table, "  drop per actuation\t%.2f bar\t(%d actuations)\n", *d, len(r.Actuations))
	}
	table.Flush()
}

func writeCycles(w io.Writer, cycles []recharge.Cycle) {
	if len(cycles) == 0 {
		return
	}
	fmt.Fprintln(w, "\nrecharges")
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(table, "  on s\trun s\tinterval s\t\t")
	for _, c := range cycles {
		interval, note := "", ""
		if c.IntervalS != nil {
			interval = fmt.Sprintf("%.1f", *c.IntervalS)
		}
		switch {
		case c.ColdFill:
			note = "cold fill"
		case c.Settled:
			note = "settled"
		case c.Static:
			note = "static, not settled"
		}
		fmt.Fprintf(table, "  %.1f\t%.2f\t%s\t%s\t\n", c.OnS, c.FillS, interval, note)
	}
	table.Flush()
}

func writeList(w io.Writer, title string, lines []string) {
	if len(lines) == 0 {
		return
	}
	fmt.Fprintf(w, "\n%s\n", title)
	for _, l := range lines {
		fmt.Fprintf(w, "  %s\n", l)
	}
}

func writeRead(w io.Writer, read *logRead, s *recharge.Screen) {
	c := read.Columns
	fmt.Fprintf(w, "\nthe log: %s, time %q (%s), pressure %q (%s)", countOf(read.Rows, "reading"), c.Time, c.TimeForm, c.Pressure, c.Unit)
	if c.Event != "" {
		fmt.Fprintf(w, ", marks %q (%d, %d not understood)", c.Event, len(read.Marks), read.Unread)
	}
	fmt.Fprintf(w, "; %d missing, %d repeated stamps", read.Missing, read.Repeated)
	if s != nil {
		fmt.Fprintf(w, "; step %.3g bar, noise %.2g bar", s.QuantumBar, s.NoiseBar)
	}
	fmt.Fprintln(w)
	for _, g := range c.Guessed {
		fmt.Fprintf(w, "  guessed: %s\n", g)
	}
}
