package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"wreckwright/bench/check"
	"wreckwright/casefile"
	"wreckwright/knowledge"
)

type checkCommand struct {
	Case         string `arg:"" optional:"" name:"case.yaml" help:"Case file: name, unit, readings, the instrument's doubt, lower or upper."`
	List         bool   `name:"list" help:"List the quantities that are known here, with their limits."`
	How          string `name:"how" placeholder:"QUANTITY" help:"How a quantity is measured, with what, and between which limits."`
	Jurisdiction string `name:"jurisdiction" placeholder:"KEY" help:"With --list and --how: only the limits of that place."`
	JSON         bool   `name:"json" help:"Print one JSON object and nothing else."`
	Today        string `name:"today" hidden:"" help:"The day to reckon from."`
}

// Help stands beneath the command's help.
func (checkCommand) Help() string {
	return "The maker's limits and procedure, and the law of the place, stand above what is written here. A passed check is no passed inspection."
}

// limitTold is the limit that a check used, out of knowledge.
type limitTold struct {
	Which     string   `json:"which"`
	Note      string   `json:"note"`
	Dangerous *float64 `json:"dangerous"`
	AsAt      string   `json:"as_at"`
	Source    string   `json:"source"`
}

// checkResult is a result with where its limits come from.
type checkResult struct {
	check.Result
	Quantity    string     `json:"quantity,omitempty"`
	Limit       *limitTold `json:"limit,omitempty"`
	LimitSource string     `json:"limit_source,omitempty"` // as the case names it
}

// wearResult is a distance left with where its limit comes from.
type wearResult struct {
	check.WearResult
	Quantity    string `json:"quantity,omitempty"`
	LimitSource string `json:"limit_source,omitempty"`
}

// Run reads the case and prints whether the value lies within its limits.
func (b checkCommand) Run(out output) error {
	if err := knownJurisdiction(b.Jurisdiction); err != nil {
		return err
	}
	switch {
	case b.How != "":
		return b.how(out)
	case b.List:
		return b.list(out)
	case b.Case == "":
		return misuse{errors.New("bench check: no case file; expected one, or --list, or --how QUANTITY")}
	}
	today, err := readToday(b.Today)
	if err != nil {
		return err
	}
	file, err := casefile.Read(b.Case)
	if err != nil {
		return err
	}
	c, err := readCheckCase(b.Case, file, today)
	if err != nil {
		return err
	}
	if c.wear != nil {
		return b.wear(out, c)
	}
	result, err := check.Examine(c.check)
	if err != nil {
		return c.placed(err)
	}
	full := checkResult{Result: result, LimitSource: c.limitSource}
	if c.quantity != nil {
		full.Quantity = c.quantity.Key
		full.Cautions = append(full.Cautions, hazardCautions(c.quantity.Hazards)...)
	}
	if l := c.limit; l != nil {
		full.Limit = &limitTold{l.Which(), l.Note, l.Dangerous, l.AsAt, l.Refs.String()}
	}
	if b.JSON {
		return writeJSON(out.Result, full)
	}
	writeCheck(out.Result, full)
	return nil
}

func (b checkCommand) wear(out output, c *checkCase) error {
	result, err := check.Wear(*c.wear)
	if err != nil {
		return c.placed(err)
	}
	full := wearResult{WearResult: result, LimitSource: c.limitSource}
	if c.quantity != nil {
		full.Quantity = c.quantity.Key
	}
	if b.JSON {
		return writeJSON(out.Result, full)
	}
	writeWear(out.Result, full)
	return nil
}

// hazardCautions are the cautions of hazards, in words.
func hazardCautions(hazards []string) []string {
	var list []string
	for _, hazard := range hazards {
		if c, ok := knowledge.CautionFor(hazard); ok {
			list = append(list, fmt.Sprintf("%s: %s %s", c.Name, c.Text, c.DeferTo))
		}
	}
	return list
}

// quantityTold is a quantity as it is printed.
type quantityTold struct {
	Key        string      `json:"key"`
	Name       string      `json:"name"`
	Group      string      `json:"group"`
	Form       string      `json:"form"`
	Unit       string      `json:"unit"`
	Parts      []string    `json:"parts"`
	How        string      `json:"how"`
	Tools      []string    `json:"tools"`
	Cautions   []string    `json:"cautions"`
	Instrument string      `json:"instrument"`
	UsualLimit float64     `json:"instrument_limit"`
	Maker      string      `json:"maker"`
	Limits     []rangeTold `json:"limits"`
	Source     string      `json:"source"`
}

// rangeTold is one of a quantity's limits.
type rangeTold struct {
	limitTold
	Lower         *float64           `json:"lower"`
	Upper         *float64           `json:"upper"`
	ByTemperature map[string]float64 `json:"lower_by_temperature_c,omitempty"`
}

func (b checkCommand) told(q knowledge.Check) quantityTold {
	t := quantityTold{
		Key: q.Key, Name: q.Name, Group: q.Group, Form: q.Form, Unit: q.Unit, Parts: q.Parts, How: q.How, Tools: q.Tools,
		Cautions: hazardCautions(q.Hazards), Instrument: q.Instrument, UsualLimit: q.InstrumentLimit, Maker: q.Maker,
		Limits: []rangeTold{}, Source: q.Refs.String(),
	}
	for _, l := range q.LimitsFor(b.Jurisdiction, "", "") {
		r := rangeTold{limitTold{l.Which(), l.Note, l.Dangerous, l.AsAt, l.Refs.String()}, l.Lower, l.Upper, nil}
		for _, row := range l.ByTemperature {
			if r.ByTemperature == nil {
				r.ByTemperature = map[string]float64{}
			}
			r.ByTemperature[fmt.Sprintf("%g", row.C)] = row.Lower
		}
		t.Limits = append(t.Limits, r)
	}
	return t
}

func (b checkCommand) list(out output) error {
	list := []quantityTold{}
	for _, q := range knowledge.Checks() {
		list = append(list, b.told(q))
	}
	if b.JSON {
		return writeJSON(out.Result, map[string]any{"quantities": list})
	}
	group := ""
	for _, q := range list {
		if q.Group != group {
			group = q.Group
			fmt.Fprintf(out.Result, "%s\n", group)
		}
		fmt.Fprintf(out.Result, "  %s: %s\n", q.Key, q.Name)
		writeRanges(out.Result, "    ", q)
	}
	return nil
}

func (b checkCommand) how(out output) error {
	q, ok := knowledge.CheckFor(b.How)
	if !ok {
		return misuse{fmt.Errorf("--how: there is no quantity %q; expected one of those that --list names", b.How)}
	}
	t := b.told(q)
	if b.JSON {
		return writeJSON(out.Result, t)
	}
	w := out.Result
	fmt.Fprintf(w, "%s (%s)\n\n%s\n\ntools: %s\ninstrument: %s", t.Name, orElse(t.Unit, "a plain number"), t.How, strings.Join(t.Tools, ", "), t.Instrument)
	if t.UsualLimit > 0 {
		fmt.Fprintf(w, "; +- %g to begin with", t.UsualLimit)
	}
	fmt.Fprintf(w, "\nform: %s", t.Form)
	if len(t.Parts) > 0 {
		fmt.Fprintf(w, " of %s", strings.Join(t.Parts, ", "))
	}
	fmt.Fprintln(w, "\n\nlimits")
	writeRanges(w, "  ", t)
	writeList(w, "caution", t.Cautions)
	return nil
}

// beyond is on which side of a limit it is dangerous.
func beyond(lower *float64) string {
	if lower != nil {
		return "below"
	}
	return "above"
}

func writeRanges(w io.Writer, indent string, q quantityTold) {
	if q.Maker != "" {
		fmt.Fprintf(w, "%sthe maker's first: %s\n", indent, q.Maker)
	}
	for _, l := range q.Limits {
		words := []string{}
		if l.Lower != nil {
			words = append(words, fmt.Sprintf("at least %g", *l.Lower))
		}
		if l.Upper != nil {
			words = append(words, fmt.Sprintf("at most %g", *l.Upper))
		}
		if len(l.ByTemperature) > 0 {
			words = append(words, "a least value by temperature")
		}
		if l.Dangerous != nil {
			words = append(words, fmt.Sprintf("dangerous %s %g", beyond(l.Lower), *l.Dangerous))
		}
		line := strings.TrimSpace(strings.Join(words, ", "))
		if l.Which != "" {
			line = l.Which + ": " + line
		}
		if l.Note != "" {
			line += " (" + l.Note + ")"
		}
		fmt.Fprintf(w, "%s%s [%s, as at %s]\n", indent, line, l.Source, l.AsAt)
	}
}

func writeCheck(w io.Writer, r checkResult) {
	fmt.Fprintf(w, "%s: %s\n\n", r.Verdict, r.Why)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	line := func(name, format string, values ...any) {
		fmt.Fprintf(table, "%s\t%s\n", name, strings.TrimSpace(fmt.Sprintf(format, values...)))
	}
	line("value", "%.6g %s", r.Mean, r.Unit)
	line("standard uncertainty", "%.3g %s", r.StandardUncertainty, r.Unit)
	if d := r.DegreesOfFreedom; d != nil {
		line("degrees of freedom", "%.3g", *d)
	}
	bound := func(name string, x *float64) {
		if x != nil {
			line(name, "%.6g %s", *x, r.Unit)
		}
	}
	bound("lower limit", r.Lower)
	bound("upper limit", r.Upper)
	chance := r.Chance
	if r.StandardUncertainty > 0 { // never quite certain
		chance = min(max(chance, 1e-9), 1-1e-9)
	}
	line("chance within the limits", "%s", percent(chance))
	bound("accept from", r.AcceptLow)
	bound("accept up to", r.AcceptHigh)
	if l := r.Limit; l != nil {
		told := slices.DeleteFunc([]string{l.Which, l.Note, l.Source + ", as at " + l.AsAt}, func(s string) bool { return s == "" })
		line("limit", "%s", strings.Join(told, "; "))
		bound("dangerous "+beyond(r.Lower), l.Dangerous)
	}
	if r.LimitSource != "" {
		line("limit from", "%s", r.LimitSource)
	}
	if u := r.Usual; u != nil {
		line("with what is usual", "%.6g +- %.3g %s, within with a chance of %s", u.Mean, u.SD, r.Unit, percent(u.WithinLimits))
		line("of all such parts", "%s bad and let pass, %s good and not let pass", percent(u.PassedBad), percent(u.RefusedGood))
	}
	table.Flush()
	writeList(w, "what would decide", r.Next)
	writeList(w, "caution", r.Cautions)
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}

func writeWear(w io.Writer, r wearResult) {
	fmt.Fprintf(w, "%s: %s\n", r.Verdict, r.Why)
	if r.LimitSource != "" {
		fmt.Fprintf(w, "\nlimit from %s\n", r.LimitSource)
	}
	writeList(w, "caution", r.Cautions)
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}
