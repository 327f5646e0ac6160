package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"text/tabwriter"

	"wreckwright/bench/codes"
	"wreckwright/casefile"
	"wreckwright/knowledge"
	"wreckwright/workshop"
)

type codesCommand struct {
	Text         []string `arg:"" name:"text" help:"Codes (P0301), answers in hexadecimal (\"41 0C 1A F8\"), or a file with them, as any reader shows them."`
	Before       string   `name:"before" placeholder:"FILE" help:"A record of before the work, to hold this one against."`
	Jurisdiction string   `name:"jurisdiction" placeholder:"KEY" help:"Where the inspection is: US, UK, DE and others."`
	Region       string   `name:"region" placeholder:"NAME" help:"A part of it with a rule of its own: California."`
	ModelYear    int      `name:"model-year" placeholder:"YEAR" help:"Model year of the car."`
	JSON         bool     `name:"json" help:"Print one JSON object and nothing else."`
}

// Help stands beneath the command's help.
func (codesCommand) Help() string {
	return "A code names a circuit or a symptom, not a part to buy. What a maker's code means only the maker's manual says. Write the codes down before anything clears them."
}

// Run reads codes and live values and prints what they say.
func (b codesCommand) Run(out output) error {
	place, err := b.place()
	if err != nil {
		return err
	}
	tables := workshop.CodeTables()
	name, text, err := b.text()
	if err != nil {
		return err
	}
	result, err := codes.Read(text, place, tables)
	if err != nil {
		return misread(name, err)
	}
	if b.Before != "" {
		was, err := readCodesFile(b.Before)
		if err != nil {
			return err
		}
		before, err := codes.Read(was, place, tables)
		if err != nil {
			return misread(b.Before, err)
		}
		result.Record = new(codes.Compare(before.Codes, result.Codes))
	}
	if b.JSON {
		return writeJSON(out.Result, result)
	}
	writeCodes(out.Result, result)
	return nil
}

func (b codesCommand) place() (codes.Place, error) {
	p := codes.Place{Jurisdiction: b.Jurisdiction, Region: b.Region, ModelYear: b.ModelYear}
	var regions []string
	if err := knownJurisdiction(b.Jurisdiction); err != nil {
		return p, err
	}
	for _, r := range knowledge.ReadinessRules() {
		if r.Region != "" && r.Jurisdiction == b.Jurisdiction && !slices.Contains(regions, r.Region) {
			regions = append(regions, r.Region)
		}
	}
	switch {
	case b.Region != "" && len(regions) == 0:
		return p, misuse{fmt.Errorf("--region: no part of %q has a rule of its own here; expected none, or --jurisdiction US", b.Jurisdiction)}
	case b.Region != "" && !slices.Contains(regions, b.Region):
		return p, misuse{fmt.Errorf("--region: is %q; expected %s", b.Region, strings.Join(regions, ", "))}
	case b.ModelYear != 0 && (b.ModelYear < 1900 || b.ModelYear > 2100):
		return p, misuse{fmt.Errorf("--model-year: is %d; expected a year such as 2012", b.ModelYear)}
	}
	return p, nil
}

// knownJurisdiction refuses a place of which nothing is known here; none is none.
func knownJurisdiction(key string) error {
	var keys []string
	for _, j := range knowledge.Jurisdictions() {
		keys = append(keys, j.Key)
	}
	if key != "" && !slices.Contains(keys, key) {
		return misuse{fmt.Errorf("--jurisdiction: is %q; expected one of %s", key, strings.Join(keys, ", "))}
	}
	return nil
}

// text is what was given: a file where there is one of that name or the name
// looks like a file's, else the words themselves.
func (b codesCommand) text() (name, text string, err error) {
	if len(b.Text) == 1 {
		name = b.Text[0]
		if _, err := os.Stat(name); err == nil || strings.ContainsAny(name, "./\\") && !strings.ContainsAny(name, " ") {
			text, err := readCodesFile(name)
			return name, text, err
		}
	}
	// Words with spaces in them are answers of their own, each a line: joined, the
	// end of one would be read as part of the next.
	if slices.ContainsFunc(b.Text, func(word string) bool { return strings.ContainsAny(word, " \t") }) {
		return "", strings.Join(b.Text, "\n"), nil
	}
	return "", strings.Join(b.Text, " "), nil
}

// readCodesFile reads a record, no larger than one can be.
func readCodesFile(name string) (string, error) {
	file, err := openReadings(name)
	if err != nil {
		return "", err
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, codes.MostBytes+1))
	if err != nil {
		return "", fmt.Errorf("%s: cannot be read: %w", name, err)
	}
	return string(data), nil
}

// misread names the file of a mistake, or that it stood on the command line.
func misread(name string, err error) error {
	var wrong *codes.InputError
	if !errors.As(err, &wrong) {
		return fmt.Errorf("bench codes: %w", err)
	}
	if name == "" {
		return misuse{fmt.Errorf("bench codes: %w", err)}
	}
	return &casefile.Error{File: name, Problem: wrong.Problem, Expected: wrong.Expected}
}

func writeCodes(w io.Writer, r codes.Result) {
	if r.Ready != nil {
		fmt.Fprintf(w, "ready for the emissions inspection - %s: %s\n\n", r.Verdict, r.Why)
	}
	if len(r.Codes) == 0 {
		fmt.Fprintln(w, "no fault codes")
	}
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, c := range r.Codes {
		note := c.Meaning
		if c.State != "" {
			note += " (" + c.State + ")"
		}
		fmt.Fprintf(table, "%s\t%s\n", c, note)
	}
	for _, v := range r.Values {
		fmt.Fprintf(table, "%s\t%s\n", v.Name, strings.TrimSpace(fmt.Sprintf("%.6g %s", v.Value, v.Unit)))
	}
	for _, s := range r.Statuses {
		for _, m := range s.Monitors {
			state := "complete"
			if !m.Complete {
				state = "not complete"
			}
			fmt.Fprintf(table, "self-test: %s\t%s\n", m.Name, state)
		}
	}
	table.Flush()
	if r.Record != nil {
		fmt.Fprintf(w, "\nagainst the record before: %s\n", r.Record.Text)
	}
	writeList(w, "notes", r.Notes)
	var unclear []string
	for _, u := range r.Unclear {
		line := fmt.Sprintf("line %d: %q: %s", u.Line, u.Text, u.Why)
		if u.Try != "" {
			line += "; " + u.Try + "?"
		}
		unclear = append(unclear, line)
	}
	writeList(w, "not understood", unclear)
	if len(r.Working) > 0 {
		fmt.Fprintln(w, "\nworking")
		writeWorking(w, r.Working)
	}
}
