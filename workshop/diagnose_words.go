package workshop

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/diagnose"
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
	if f.FlipsAt < f.Now {
		way = in.less
	}
	return phrase("%s would come first if %s "+way+" %s; now it is %s.",
		named(q.actionName(f.To)), named(in.what), in.show(f.FlipsAt, a), in.show(f.Now, a))
}

// input is a figure of the case that a person can doubt.
type input struct {
	what       string // "the price of “Look”"
	more, less string // "were above", "were below"
	kind       FigureKind
	unit       string // of a plain number
}

// The ways in which an input may be other than it is.
var (
	amountInput = input{more: "were above", less: "were below"}
	chanceInput = input{more: "were likelier than", less: "were less likely than", kind: Chance}
)

func (in input) of(what string, kind FigureKind) input {
	in.what, in.kind = what, kind
	return in
}

func (in input) show(v float64, a *diagnose.Advice) Figure {
	switch in.kind {
	case Money:
		return money(in.what, v, a.Currency)
	case Chance:
		return chance(in.what, v)
	case Hours:
		if v < 90 {
			return named(fmt.Sprintf("%.0f min", v))
		}
		return inHours(in.what, v/60)
	}
	return named(strings.TrimSpace(fmt.Sprintf("%.3g ", v) + in.unit))
}

// input finds an input of the case by its path.
func (q *question) input(path string) (input, bool) {
	part := strings.Split(path, ".")
	switch {
	case path == "hour_value":
		return amountInput.of("the worth of an own hour", Money), true
	case len(part) == 2 && part[0] == "replace_all":
		return aspect(part[1], quoted(q.model.UnitName()))
	case len(part) < 3:
		return input{}, false
	case part[0] == "faults":
		if f := faultAt(&q.model.Case, part[1]); f >= 0 {
			return chanceInput.of(quoted(q.model.FaultName(f))+", before anything is tried,", Chance), true
		}
	case part[0] == "repairs":
		return q.repairInput(part)
	case part[0] == "tests":
		return q.testInput(part)
	}
	return input{}, false
}

func quoted(name string) string { return "“" + name + "”" }

// aspect is a cost or a time of something.
func aspect(key, of string) (input, bool) {
	switch key {
	case "cost":
		return amountInput.of("the price of "+of, Money), true
	case "minutes":
		return amountInput.of("the time for "+of, Hours), true
	}
	return input{}, false
}

func (q *question) repairInput(part []string) (input, bool) {
	at := repairAt(&q.model.Case, part[1])
	if at < 0 {
		return input{}, false
	}
	name := quoted(q.model.RepairName(at))
	if len(part) == 4 && part[2] == "fixes" {
		f := faultAt(&q.model.Case, part[3])
		return chanceInput.of("a cure of "+q.faultQuoted(f)+" by "+name, Chance), f >= 0
	}
	return aspect(part[2], name)
}

func (q *question) faultQuoted(f int) string {
	if f < 0 {
		return ""
	}
	return quoted(q.model.FaultName(f))
}

func (q *question) testInput(part []string) (input, bool) {
	at := testAt(&q.model.Case, part[1])
	if at < 0 {
		return input{}, false
	}
	name := quoted(q.model.TestName(at))
	if len(part) < 4 {
		return aspect(part[2], name)
	}
	f := faultAt(&q.model.Case, part[3])
	if part[2] != "outcomes" || len(part) != 5 {
		in := amountInput.of(name+" with "+q.faultQuoted(f), "")
		in.unit = q.model.Tests[at].Unit
		return in, f >= 0
	}
	o := slices.Index(q.model.Case.Tests[at].Outcomes, part[4])
	if f < 0 || o < 0 {
		return input{}, false
	}
	return chanceInput.of(quoted(q.model.OutcomeName(at, o))+" in "+name+", with "+q.faultQuoted(f)+",", Chance), true
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
