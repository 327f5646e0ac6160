package main

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"text/tabwriter"

	"wreckwright/bench/listen"
	"wreckwright/bench/recording"
	"wreckwright/casefile"
)

type listenCommand struct {
	Recording string  `arg:"" name:"recording" help:"Sound file: WAV, FLAC, MP3 or Ogg Vorbis."`
	From      float64 `name:"from" placeholder:"S" help:"Listen from this second on."`
	To        float64 `name:"to" placeholder:"S" help:"Listen up to this second."`
	CSV       bool    `name:"csv" xor:"form" help:"Print the whole runs as CSV, as bench recharge --runs reads them."`
	JSON      bool    `name:"json" xor:"form" help:"Print one JSON object and nothing else."`
}

// Help stands beneath the command's help.
func (listenCommand) Help() string { return beforeMeasuring }

// Run listens to the recording and prints the runs of the pump.
func (b listenCommand) Run(ctx context.Context, out output) error {
	defer thrifty()()
	file, err := openReadings(b.Recording)
	if err != nil {
		return err
	}
	defer file.Close()
	sound, err := recording.Open(file)
	if err != nil {
		return b.inFile(err)
	}
	result, err := listen.Hear(ctx, sound, listen.Options{FromS: b.From, ToS: b.To})
	if err != nil {
		return b.inFile(err)
	}
	result.Cautions = append(unitCautions(), result.Cautions...)
	switch {
	case b.JSON:
		return writeJSON(out.Result, result)
	case b.CSV:
		return writeRunsCSV(out.Result, result)
	}
	writeHeard(out.Result, result)
	return nil
}

// inFile names the file of what is wrong with a recording.
func (b listenCommand) inFile(err error) error {
	var wrong *recording.Error
	if errors.As(err, &wrong) {
		problem := wrong.Problem
		if wrong.Cause != nil {
			problem += " (" + wrong.Cause.Error() + ")"
		}
		return &casefile.Error{File: b.Recording, Problem: problem, Expected: wrong.Expected}
	}
	var input *listen.InputError
	if errors.As(err, &input) {
		return &casefile.Error{File: b.Recording, Problem: input.What + " " + input.Problem, Expected: input.Expected}
	}
	return fmt.Errorf("%s: %w", b.Recording, err)
}

// writeRunsCSV prints the runs whose start and end were both heard.
func writeRunsCSV(w io.Writer, r listen.Result) error {
	rows := csv.NewWriter(w)
	figure := func(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }
	if err := rows.Write([]string{"pump_on_s", "pump_off_s"}); err != nil {
		return err
	}
	for _, run := range r.Runs {
		if !run.OnHeard || !run.OffHeard {
			continue
		}
		if err := rows.Write([]string{figure(run.OnS), figure(run.OffS)}); err != nil {
			return err
		}
	}
	rows.Flush()
	return rows.Error()
}

func writeHeard(w io.Writer, r listen.Result) {
	fmt.Fprintf(w, "%s of the pump in %.0f s\n", countOf(len(r.Runs), "run"), r.DurationS)
	if len(r.Runs) > 0 {
		fmt.Fprintln(w)
		table := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
		fmt.Fprintln(table, "run\ton s\toff s\tlasts s\tstrength dB\ttone Hz\t")
		for i, run := range r.Runs {
			on, off, lasts := fmt.Sprintf("%.2f", run.OnS), fmt.Sprintf("%.2f", run.OffS), fmt.Sprintf("%.2f", run.OffS-run.OnS)
			if !run.OnHeard {
				on, lasts = "before", ""
			}
			if !run.OffHeard {
				off, lasts = "after", ""
			}
			fmt.Fprintf(table, "%d\t%s\t%s\t%s\t%.1f\t%.0f to %.0f\t\n", i+1, on, off, lasts, run.StrengthDB, run.FirstHz, run.LastHz)
		}
		table.Flush()
	}
	var intervals []string
	for _, v := range r.IntervalsS {
		intervals = append(intervals, fmt.Sprintf("%.2f s", v))
	}
	writeList(w, "from one start to the next", intervals)
	writeList(w, "caution", r.Cautions)
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}
