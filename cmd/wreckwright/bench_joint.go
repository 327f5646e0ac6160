package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"wreckwright/bench/joint"
	"wreckwright/workshop"
)

type jointCommand struct {
	Thread []string `arg:"" name:"thread" help:"Thread with the strength class of the bolt: \"M10x1.25-10.9\", \"3/8-16 UNC grade 5\"."`

	TorqueNm    *float64 `name:"torque-nm" placeholder:"N·M" xor:"torque" help:"Torque that the wrench is set to."`
	TorqueLbfFt *float64 `name:"torque-lbf-ft" placeholder:"T" xor:"torque" help:"The same in lbf·ft."`
	TorqueLbfIn *float64 `name:"torque-lbf-in" placeholder:"T" xor:"torque" help:"The same in lbf·in."`
	TorqueKgfM  *float64 `name:"torque-kgf-m" placeholder:"T" xor:"torque" help:"The same in kgf·m."`
	TorqueKgfCm *float64 `name:"torque-kgf-cm" placeholder:"T" xor:"torque" help:"The same in kgf·cm."`
	PreloadKN   *float64 `name:"preload-kn" placeholder:"KN" xor:"preload" help:"Preload wanted, in place of a torque."`
	PreloadLbf  *float64 `name:"preload-lbf" placeholder:"LBF" xor:"preload" help:"The same in lbf."`
	ProofShare  *float64 `name:"proof-share" placeholder:"SHARE" help:"Share of the proof force to aim at, 0.75 where not given; without torque and preload it gives the torque."`

	Friction     *float64 `name:"friction" placeholder:"MU" help:"Friction of thread and head, 0.04 to 0.5."`
	HeadFriction *float64 `name:"head-friction" placeholder:"MU" help:"Friction under the head, where it differs."`
	NutFactor    *float64 `name:"nut-factor" placeholder:"K" help:"K of torque = K x diameter x preload, in place of friction."`
	Finish       string   `name:"finish" placeholder:"KEY" help:"Finish with a published nut factor, in place of friction: black, zinc, lubricated, anti-seize and others."`
	Lubricant    string   `name:"lubricant" placeholder:"KEY" help:"State of threads and faces: oiled (where not given), grease, wax, dry, zinc, rusty, stainless-oiled, stainless-dry."`
	Method       string   `name:"method" placeholder:"KEY" help:"Way of tightening: wrench (where not given), tested, angle, yield, stretch, driver, impact."`
	Head         string   `name:"head" placeholder:"KIND" help:"Kind of head or nut: hex (where not given), flange, socket, cone."`
	Flange       bool     `name:"flange" help:"The same as --head flange."`
	Nut          string   `name:"nut" placeholder:"CLASS" help:"Class of the nut: 8, 10, 12, grade 5, 70 and others."`
	PrevailingNm float64  `name:"prevailing-nm" placeholder:"N·M" help:"Running torque of a lock nut, measured."`

	AngleDeg     float64  `name:"angle-deg" placeholder:"DEG" help:"Angle turned on after the torque; needs --grip-mm."`
	NewBolt      bool     `name:"new-bolt" help:"The maker turns this bolt past yield, and it is new."`
	GripMm       float64  `name:"grip-mm" placeholder:"MM" xor:"grip" help:"Thickness of what is clamped."`
	GripIn       float64  `name:"grip-in" placeholder:"IN" xor:"grip" help:"The same in inches."`
	Material     string   `name:"material" placeholder:"KEY" help:"What is clamped: steel (where not given), steel-hard, aluminium, aluminium-cast, iron, magnesium, titanium, composite."`
	BoltKNMm     *float64 `name:"bolt-kn-mm" placeholder:"K" help:"Stiffness of the bolt, in place of the one worked out."`
	MemberKNMm   *float64 `name:"member-kn-mm" placeholder:"K" help:"Stiffness of what is clamped."`
	EngagementMm float64  `name:"engagement-mm" placeholder:"MM" xor:"engagement" help:"Length of thread in a tapped hole; needs --into."`
	EngagementIn float64  `name:"engagement-in" placeholder:"IN" xor:"engagement" help:"The same in inches."`
	Into         string   `name:"into" placeholder:"KEY" help:"What the hole is tapped in, as with --material."`
	WrenchNm     float64  `name:"wrench-nm" placeholder:"N·M" help:"Largest torque of the wrench."`
	Studs        int      `name:"studs" placeholder:"N" help:"Studs of a wheel: tells the order of tightening."`
	LoadKN       *float64 `name:"load-kn" placeholder:"KN" help:"Outer load along the bolt; needs --grip-mm."`

	JSON bool `name:"json" help:"Print one JSON object and nothing else."`
}

// Help stands beneath the command's help.
func (jointCommand) Help() string {
	return "The maker's torque, angle and procedure stand above what is reckoned here. Hub nuts, brakes, steering and restraints: the maker's figure only."
}

// Run reckons the joint and prints it.
func (b jointCommand) Run(out output) error {
	c, err := b.readCase()
	if err != nil {
		return err
	}
	result, err := joint.Examine(c, workshop.JointTables())
	if err != nil {
		return b.flagged(err)
	}
	if b.JSON {
		return writeJSON(out.Result, result)
	}
	writeJoint(out.Result, result)
	return nil
}

func (b jointCommand) readCase() (joint.Case, error) {
	c := joint.Case{
		Thread: strings.Join(b.Thread, " "), Nut: b.Nut, PreloadKN: b.PreloadKN,
		Friction: b.Friction, HeadFriction: b.HeadFriction, NutFactor: b.NutFactor, Finish: b.Finish,
		Surface: b.Lubricant, Method: b.Method, Head: b.Head, PrevailingNm: b.PrevailingNm,
		AngleDeg: b.AngleDeg, NewBolt: b.NewBolt, GripMm: b.GripMm, Material: b.Material, BoltKNMm: b.BoltKNMm, MemberKNMm: b.MemberKNMm,
		EngagementMm: b.EngagementMm, Into: b.Into, WrenchNm: b.WrenchNm, Studs: b.Studs, LoadKN: b.LoadKN,
	}
	b.inOtherUnits(&c)
	if b.Flange {
		if b.Head != "" && b.Head != "flange" {
			return c, misuse{errors.New("--flange: --head says " + b.Head + "; expected one of the two")}
		}
		c.Head = "flange"
	}
	if b.ProofShare != nil {
		if *b.ProofShare == 0 {
			return c, misuse{errors.New("--proof-share: 0 clamps nothing; expected 0.1 to 1")}
		}
		c.ProofShare = *b.ProofShare
	}
	return c, nil
}

// inOtherUnits takes what was given in one of several units.
func (b jointCommand) inOtherUnits(c *joint.Case) {
	for _, t := range []struct {
		given *float64
		unit  joint.Unit
	}{
		{b.TorqueNm, joint.NewtonMetre},
		{b.TorqueLbfFt, joint.LbfFoot},
		{b.TorqueLbfIn, joint.LbfInch},
		{b.TorqueKgfM, joint.KgfMetre},
		{b.TorqueKgfCm, joint.KgfCm},
	} {
		if t.given != nil {
			c.TorqueNm = new(t.unit.ToNm(*t.given))
		}
	}
	if b.GripIn != 0 {
		c.GripMm = 25.4 * b.GripIn
	}
	if b.EngagementIn != 0 {
		c.EngagementMm = 25.4 * b.EngagementIn
	}
	if b.PreloadLbf != nil {
		c.PreloadKN = new(*b.PreloadLbf * joint.LbfN / 1000)
	}
}

// flagged names the flag of a mistake.
func (b jointCommand) flagged(err error) error {
	var mistake *joint.InputError
	if !errors.As(err, &mistake) {
		return fmt.Errorf("bench joint: %w", err)
	}
	flag := map[joint.Input]string{
		joint.InThread: "", joint.InTorque: b.torqueFlag(), joint.InPreload: oneOfFlags("--preload-kn: ", "--preload-lbf: ", b.PreloadLbf != nil), joint.InPrevailing: "--prevailing-nm: ",
		joint.InAngle: "--angle-deg: ", joint.InGrip: oneOfFlags("--grip-mm: ", "--grip-in: ", b.GripIn != 0), joint.InEngagement: oneOfFlags("--engagement-mm: ", "--engagement-in: ", b.EngagementIn != 0), joint.InLoad: "--load-kn: ",
		joint.InWrench: "--wrench-nm: ", joint.InStiffness: "--bolt-kn-mm, --member-kn-mm: ",
	}
	name, ok := flag[mistake.Input]
	if !ok {
		name = "--" + strings.ReplaceAll(string(mistake.Input), "_", "-") + ": "
	}
	return fmt.Errorf("%s%w", name, err)
}

// oneOfFlags is the flag by which a figure was given that has two.
func oneOfFlags(usual, other string, given bool) string {
	if given {
		return other
	}
	return usual
}

// torqueFlag is the flag by which the torque was given.
func (b jointCommand) torqueFlag() string {
	switch {
	case b.TorqueLbfFt != nil:
		return "--torque-lbf-ft: "
	case b.TorqueLbfIn != nil:
		return "--torque-lbf-in: "
	case b.TorqueKgfM != nil:
		return "--torque-kgf-m: "
	case b.TorqueKgfCm != nil:
		return "--torque-kgf-cm: "
	}
	return "--torque-nm: "
}

func writeJoint(w io.Writer, r joint.Result) {
	fmt.Fprintf(w, "%s: %s\n\n", r.Verdict, r.Why)
	writeJointFigures(w, r)
	writeConditions(w, r)
	writeList(w, "caution", r.Cautions)
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}

func writeJointFigures(w io.Writer, r joint.Result) {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	line := func(name, unit string, s joint.Spread) {
		fmt.Fprintf(table, "%s\t%.4g %s\t(%.4g to %.4g)\n", name, s.Value, unit, s.Low, s.High)
	}
	fmt.Fprintf(table, "%s\tpitch %.4g mm\tstress area %.4g mm2\n", r.Designation, r.PitchMm, r.StressArea)
	fmt.Fprintf(table, "strength\tproof %.4g kN\tyield %.4g kN, tears at %.4g kN\n", r.ProofKN, r.YieldKN, r.TensileKN)
	line("torque", "N·m", r.Torque)
	fmt.Fprintf(table, "\t%.4g lbf·ft\t(%.4g lbf·in, %.4g kgf·m)\n", r.TorqueIn.LbfFt, r.TorqueIn.LbfIn, r.TorqueIn.KgfM)
	if a := r.Angle; a != nil {
		line("preload of the torque", "kN", a.SnugKN)
		fmt.Fprintf(table, "angle\t%.4g degrees\t%.3g kN a degree (at most %.3g), yields at %.4g\n", a.AngleDeg, a.KNPerDeg, a.MostKNPerDeg, a.YieldsAtDeg)
	}
	line("preload", "kN", r.Preload)
	line("share of the proof force", "", r.Shares)
	line("use of yield while turning", "", r.Utilisation)
	line("friction", "", r.Friction)
	line("nut factor", "", r.NutFactor)
	if r.MostNm > 0 {
		fmt.Fprintf(table, "most torque\t%.4g N·m\t(%.4g lbf·ft)\n", r.MostNm, joint.LbfFoot.FromNm(r.MostNm))
	}
	if a := r.Aim; a != nil {
		fmt.Fprintf(table, "aim: %.3g of the proof force\t%.4g N·m\t(%.4g lbf·ft)\n", a.ProofShare, a.TorqueNm, a.LbfFt)
	}
	writeJointMore(table, r)
	table.Flush()
}

func writeJointMore(w io.Writer, r joint.Result) {
	if g := r.Engagement; g != nil {
		fmt.Fprintf(w, "thread in %s\tstrips at %.4g kN\t(%.3g mm would let the bolt break first)\n", g.Into, g.StripsKN, g.EnoughMm)
	}
	if b := r.Pressure; b != nil {
		fmt.Fprintf(w, "pressure under the head\t%.3g MPa\t(%s bears %.3g)\n", b.PressureMPa, b.Material, b.LimitMPa)
	}
	if wheel := r.Wheel; wheel != nil {
		fmt.Fprintf(w, "order of the wheel's nuts\t%s\tagain after %g to %g km (common practice)\n", strings.Trim(fmt.Sprint(wheel.Order), "[]"), wheel.RetorqueKm[0], wheel.RetorqueKm[1])
	}
	if l := r.Load; l != nil {
		fmt.Fprintf(w, "under %.4g kN\tbolt %.4g kN\tclamp left %.4g kN (opens at %.4g)\n", l.LoadKN, l.BoltKN, l.MemberKN, l.SeparatesKN)
	}
}

func writeConditions(w io.Writer, r joint.Result) {
	if len(r.Conditions) == 0 {
		return
	}
	fmt.Fprintln(w, "\nthe same torque on other surfaces")
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, c := range r.Conditions {
		fmt.Fprintf(table, "  %s\t%.3g\t%.3g kN\t%.0f %% of proof\t%s\n", c.Name, c.Friction, c.PreloadKN, 100*c.ProofShare, c.State)
	}
	table.Flush()
}
