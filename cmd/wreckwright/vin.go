package main

import (
	"fmt"
	"io"
	"strings"
	"time"

	"wreckwright/appraise/identity"
	"wreckwright/workshop"
)

type vinCommand struct {
	VIN          []string `arg:"" name:"vin" help:"Vehicle identification number, 17 characters; spaces and hyphens do not count."`
	NorthAmerica bool     `name:"north-america" help:"The car was built for North America, wherever it was built: the check digit and position 7 count."`
	JSON         bool     `name:"json" help:"Print one JSON object and nothing else."`
	Today        string   `name:"today" hidden:"" help:"The day to reckon from."`
}

// Run reads the number and prints what it says of itself.
func (v vinCommand) Run(out output) error {
	today, err := readToday(v.Today)
	if err != nil {
		return err
	}
	result, err := identity.Read(strings.Join(v.VIN, " "), workshop.VINTables(), identity.Options{NorthAmerica: v.NorthAmerica, ThisYear: today.Year()})
	if err != nil {
		return err
	}
	if v.JSON {
		return writeJSON(out.Result, result)
	}
	writeVIN(out.Result, result)
	return nil
}

// readToday is the day that was given, else the clock's.
func readToday(text string) (time.Time, error) {
	if text == "" {
		year, month, day := time.Now().Date()
		return time.Date(year, month, day, 0, 0, 0, 0, time.UTC), nil
	}
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return time.Time{}, misuse{fmt.Errorf("--today: %q is no day; expected one such as 2027-01-04", text)}
	}
	return day, nil
}

func writeVIN(w io.Writer, r identity.Result) {
	fmt.Fprintf(w, "%s\n", r.VIN)
	if r.ValidCharacters {
		fmt.Fprintf(w, "\ncheck digit: %s (%s)\n", r.CheckDigit.State, r.CheckDigit.Why)
		place := r.Region
		if r.Country != "" {
			place = r.Country + ", " + r.Region
		}
		fmt.Fprintf(w, "given in: %s\n", orElse(place, "not known here"))
		fmt.Fprintf(w, "model year: %s\n", orElse(strings.Trim(strings.ReplaceAll(fmt.Sprint(r.ModelYears), " ", " or "), "[]"), "not told"))
	} else {
		fmt.Fprintf(w, "\nthese are not the characters of a VIN\n")
	}
	for _, note := range r.Notes {
		fmt.Fprintf(w, "\n%s\n", note)
	}
	fmt.Fprintln(w, "\nwhat a check digit is good for")
	for _, limit := range r.Limits {
		fmt.Fprintf(w, "  %s\n", limit)
	}
	if len(r.Working) > 0 {
		fmt.Fprintln(w, "\nworking")
		writeWorking(w, r.Working)
	}
}

func orElse(text, instead string) string {
	if text == "" {
		return instead
	}
	return text
}
