package main

import (
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"text/tabwriter"

	"wreckwright/bench/bond"
	"wreckwright/casefile"
	"wreckwright/workshop"
)

type bondCommand struct {
	Case string `arg:"" optional:"" name:"case.yaml" help:"Case file: what it holds, the parts, the adhesive, preparation and temperatures; or the flags."`

	Holds          string    `name:"holds" placeholder:"WORDS" help:"What the bond holds."`
	SafetyCritical bool      `name:"safety-critical" help:"Somebody's safety hangs on it: refused, with the reason."`
	Layout         string    `name:"layout" placeholder:"KIND" help:"single (a strap or patch on one side, where not given) or double (a splint on both sides)."`
	LoadN          float64   `name:"load-n" placeholder:"N" help:"Load along the lap."`
	WidthMm        float64   `name:"width-mm" placeholder:"MM" help:"Width of the lap."`
	OverlapMm      float64   `name:"overlap-mm" placeholder:"MM" help:"Length of the lap along the load."`
	BondMm         float64   `name:"bond-mm" placeholder:"MM" help:"Thickness of the adhesive."`
	ModulusGPa     []float64 `name:"modulus-gpa" placeholder:"E,E" help:"Young's modulus of the parts: one for both, or the first (outer) and the second (inner)."`
	ThicknessMm    []float64 `name:"thickness-mm" placeholder:"T,T" help:"Thickness of the parts, in the same order."`
	ExpansionPerK  []float64 `name:"expansion-per-k" placeholder:"A,A" help:"Thermal expansion of the parts, such as 23e-6,12e-6; needs --stress-free-c."`
	Adhesive       string    `name:"adhesive" placeholder:"KIND" help:"epoxy, methacrylate or polyurethane."`
	ShearMPa       float64   `name:"shear-strength-mpa" placeholder:"MPA" help:"Lap shear strength of the adhesive's sheet."`
	ModulusMPa     float64   `name:"shear-modulus-mpa" placeholder:"MPA" help:"Shear modulus of the adhesive."`
	Preparation    string    `name:"preparation" placeholder:"KEY" help:"as-found, degreased, abraded or primed."`
	Service        string    `name:"service" placeholder:"KEY" help:"trial, dry or wet."`
	HottestC       *float64  `name:"hottest-c" placeholder:"C" help:"Hottest that it gets."`
	ColdestC       *float64  `name:"coldest-c" placeholder:"C" help:"Coldest that it gets, for thermal stress."`
	StressFreeC    *float64  `name:"stress-free-c" placeholder:"C" help:"Temperature at which the bond sets."`
	Factor         *float64  `name:"factor" placeholder:"X" help:"Factor of safety, 2 where not given."`
	SheetHours     *float64  `name:"sheet-hours" placeholder:"H" help:"Full cure of the sheet; with --sheet-c and --workshop-c."`
	SheetC         *float64  `name:"sheet-c" placeholder:"C" help:"Temperature of that cure."`
	LeastC         *float64  `name:"least-c" placeholder:"C" help:"Least temperature of the sheet."`
	MostC          *float64  `name:"most-c" placeholder:"C" help:"Most temperature of the sheet."`
	WorkshopC      *float64  `name:"workshop-c" placeholder:"C" help:"Temperature of the workshop."`

	JSON bool `name:"json" help:"Print one JSON object and nothing else."`
}

// Help stands beneath the command's help.
func (bondCommand) Help() string {
	return "Only for what may fall off without hurting anybody. Anything on which somebody's safety hangs is refused."
}

// Run reckons the bond and prints it.
func (b bondCommand) Run(out output) error {
	result, err := b.examine()
	if err != nil {
		return err
	}
	if b.JSON {
		return writeJSON(out.Result, result)
	}
	writeBond(out.Result, result)
	return nil
}

func (b bondCommand) examine() (bond.Result, error) {
	if b.Case == "" {
		return b.byFlags()
	}
	if !reflect.DeepEqual(b, bondCommand{Case: b.Case, JSON: b.JSON}) {
		return bond.Result{}, misuse{errors.New("bench bond: a case file and flags of the case are both given; expected one of the two")}
	}
	file, err := casefile.Read(b.Case)
	if err != nil {
		return bond.Result{}, err
	}
	read := bondFile{places: map[string]casefile.Value{}}
	c := read.readCase(file.Root())
	if err := file.Err(); err != nil {
		return bond.Result{}, err
	}
	result, err := bond.Examine(c, workshop.BondTables())
	var wrong *bond.InputError
	if !errors.As(err, &wrong) {
		return result, err
	}
	place, ok := read.places[wrong.Where]
	if !ok {
		return result, &casefile.Error{File: b.Case, Key: wrong.Where, Problem: wrong.Problem, Expected: wrong.Expected}
	}
	place.Fail(wrong.Problem, wrong.Expected)
	return result, file.Err()
}

// byFlags takes the case from the flags.
func (b bondCommand) byFlags() (bond.Result, error) {
	c := bond.Case{
		Holds: b.Holds, SafetyCritical: b.SafetyCritical, Layout: bond.Layout(b.Layout),
		LoadN: b.LoadN, WidthMm: b.WidthMm, OverlapMm: b.OverlapMm, BondMm: b.BondMm,
		Adhesive:    bond.Adhesive{Kind: b.Adhesive, ShearMPa: b.ShearMPa, ShearGPa: b.ModulusMPa / 1000},
		Preparation: b.Preparation, Service: b.Service, ColdestC: b.ColdestC, StressFreeC: b.StressFreeC,
	}
	if b.HottestC == nil {
		return bond.Result{}, misuse{errors.New("--hottest-c: is missing; expected the hottest that the bond gets")}
	}
	c.HottestC = *b.HottestC
	if b.Factor != nil {
		c.Factor = *b.Factor
		if c.Factor == 0 {
			return bond.Result{}, misuse{errors.New("--factor: 0 is impossible; expected " + bond.BoundOf("factor").String())}
		}
	}
	if err := b.readParts(&c); err != nil {
		return bond.Result{}, err
	}
	var err error
	if c.Cure, err = b.cure(); err != nil {
		return bond.Result{}, err
	}
	result, err := bond.Examine(c, workshop.BondTables())
	return result, flaggedBond(err)
}

// readParts takes the two parts of the flags.
func (b bondCommand) readParts(c *bond.Case) error {
	for _, pair := range []struct {
		flag          string
		given         []float64
		first, second *float64
	}{
		{"--modulus-gpa", b.ModulusGPa, &c.First.ModulusGPa, &c.Second.ModulusGPa},
		{"--thickness-mm", b.ThicknessMm, &c.First.ThicknessMm, &c.Second.ThicknessMm},
	} {
		if len(pair.given) == 0 || len(pair.given) > 2 {
			return misuse{fmt.Errorf("%s: %s given; expected one for both parts or two divided by a comma", pair.flag, countOf(len(pair.given), "number"))}
		}
		*pair.first, *pair.second = pair.given[0], pair.given[len(pair.given)-1]
	}
	switch len(b.ExpansionPerK) {
	case 0:
	case 2:
		c.First.ExpansionPerK, c.Second.ExpansionPerK = &b.ExpansionPerK[0], &b.ExpansionPerK[1]
	default:
		return misuse{fmt.Errorf("--expansion-per-k: %s given; expected two divided by a comma", countOf(len(b.ExpansionPerK), "number"))}
	}
	return nil
}

// cure is the cure of the flags; nil where none is asked for.
func (b bondCommand) cure() (*bond.Cure, error) {
	given := 0
	for _, x := range []*float64{b.SheetHours, b.SheetC, b.WorkshopC} {
		if x != nil {
			given++
		}
	}
	switch given {
	case 0:
		return nil, nil
	case 3:
		return &bond.Cure{SheetHours: *b.SheetHours, SheetC: *b.SheetC, WorkshopC: *b.WorkshopC, LeastC: b.LeastC, MostC: b.MostC}, nil
	}
	return nil, misuse{errors.New("--sheet-hours, --sheet-c, --workshop-c: not all of them are given; expected all three or none")}
}

// flaggedBond names the flag of a mistake.
func flaggedBond(err error) error {
	var wrong *bond.InputError
	if !errors.As(err, &wrong) {
		return err
	}
	key := wrong.Where[strings.LastIndexByte(wrong.Where, '.')+1:]
	name, ok := map[string]string{"kind": "adhesive", "adherends": "expansion-per-k"}[key]
	if !ok {
		name = strings.ReplaceAll(key, "_", "-")
	}
	return fmt.Errorf("--%s: %w", name, &bond.InputError{Problem: wrong.Problem, Expected: wrong.Expected})
}

func writeBond(w io.Writer, r bond.Result) {
	fmt.Fprintf(w, "%s: %s\n\n", r.Verdict, r.Why)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(table, "shear\taverage %.4g MPa\tpeak %.4g MPa (%.3g times)\n", r.AverageMPa, r.PeakMPa, r.Ratio)
	fmt.Fprintf(table, "at the ends\t%.4g MPa\t%.4g MPa\n", r.EndsMPa[0], r.EndsMPa[1])
	if r.WorstC != nil {
		fmt.Fprintf(table, "of it by heat\t%.4g MPa\tat %.3g °C\n", r.ThermalMPa, *r.WorstC)
	}
	fmt.Fprintf(table, "allowed\t%.4g MPa\tmargin %.3g\n", r.AllowableMPa, r.Margin)
	for _, k := range r.KnockDowns {
		fmt.Fprintf(table, "  %s\t%.3g of the strength is left\t\n", k.Name, k.Share)
	}
	fmt.Fprintf(table, "overlap\t%.3g mm give 95 %% of what any length can\tbeyond %.3g mm nothing is gained\n", r.EnoughMm, r.NoMoreMm)
	if r.NeededMm != nil {
		fmt.Fprintf(table, "overlap for this load\t%.3g mm\t\n", *r.NeededMm)
	}
	fmt.Fprintf(table, "most load\t%.4g N\t\n", r.MostN)
	if c := r.Cure; c != nil && c.Cures {
		fmt.Fprintf(table, "cure\t%.3g h\t(%.3g to %.3g), %s\n", c.Hours, c.LowHours, c.HighHours, c.Why)
	}
	table.Flush()
	writeList(w, "caution", r.Cautions)
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}
