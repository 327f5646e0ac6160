package workshop

import (
	"fmt"
	"math"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
)

// flip says one thing that would change the advice, in words: "X would come first
// if the price of Y were above 90; it is 140". An empty phrase where the model has
// no such input.
func (q *question) flip(f diagnose.Flip, a *diagnose.Advice) Phrase {
	in, ok := q.input(f.Input)
	if !ok {
		return Phrase{}
	}
	way := in.more
	if f.Beyond == diagnose.Below {
		way = in.less
	}
	if math.Abs(f.FlipsAt-f.Now) <= hairsBreadth*math.Abs(f.Now) {
		return phrase("%s costs as good as the same on average; it would come first if %s "+in.little(f.Beyond)+" the %s it is now.",
			named(q.actionName(f.To)), named(in.what), in.show(f.Now, a))
	}
	return phrase("%s would come first if %s "+way+" %s; now it is %s.",
		named(q.actionName(f.To)), named(in.what), in.show(f.FlipsAt, a), in.show(f.Now, a))
}

// hairsBreadth is the share of a figure below which a move is not told in numbers.
const hairsBreadth = 0.005

// little words the least move to one side.
func (in input) little(side diagnose.Side) string {
	switch {
	case in.kind == Chance && side == diagnose.Above:
		return "were any likelier than"
	case in.kind == Chance:
		return "were any less likely than"
	case side == diagnose.Above:
		return "were any more than"
	}
	return "were any less than"
}

// input is a figure of the case that a person can doubt.
type input struct {
	what       string // "the price of “Look”"
	more, less string // "were above", "were below"
	kind       FigureKind
}

func (in input) show(v float64, a *diagnose.Advice) Figure {
	switch in.kind {
	case Chance:
		return chance(in.what, v)
	case Hours:
		if v < 90 {
			return named(fmt.Sprintf("%.0f min", v))
		}
		return inHours(in.what, v/60)
	}
	return money(in.what, v, a.Currency)
}

// input finds an input of the case by its path.
func (q *question) input(path string) (input, bool) {
	named, ok := q.model.Input(path)
	in := input{what: named.What, more: "were above", less: "were below", kind: Money}
	switch named.Measure {
	case faultmodel.Chance:
		in.more, in.less, in.kind = "were likelier than", "were less likely than", Chance
	case faultmodel.Minutes:
		in.kind = Hours
	}
	return in, ok
}

func quoted(name string) string { return "“" + name + "”" }

func (q *question) faultQuoted(f int) string {
	if f < 0 {
		return ""
	}
	return quoted(q.model.FaultName(f))
}

// actionName is what an action of the engine is called.
func (q *question) actionName(a diagnose.Action) string {
	switch a.Kind {
	case diagnose.KindTest:
		if at := testAt(&q.model.Case, a.ID); at >= 0 {
			return quoted(q.model.TestName(at))
		}
	case diagnose.KindRepair:
		if at := repairAt(&q.model.Case, a.ID); at >= 0 {
			return quoted(q.model.RepairName(at))
		}
	case diagnose.KindReplace:
		return quoted(q.model.UnitName())
	}
	return a.ID
}
