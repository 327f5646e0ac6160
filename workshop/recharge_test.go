package workshop_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// All readings here are invented.

func timed(t *testing.T, list string, s workshop.UnitSettings) workshop.Recharged {
	t.Helper()
	taps, err := workshop.ReadTaps(list)
	if err != nil {
		t.Fatal(err)
	}
	r, err := workshop.TimedPump(taps, s)
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Cautions) == 0 || !strings.Contains(r.Cautions[0], "Never open a charged accumulator") {
		t.Error("the caution is missing")
	}
	return r
}

// figure is the figure of that name, or nil.
func figureOf(r workshop.Recharged, name string) *rebuild.EvidenceFigure {
	for i := range r.Figures {
		if r.Figures[i].Name == name {
			return &r.Figures[i]
		}
	}
	return nil
}

// TestStartsAreEnoughForTheInterval: t(0.975, 2) = 4.303 (Fisher and Yates, table
// III); 300, 310, 320 s have the mean 310 and the half width 4.303*10/sqrt(3).
func TestStartsAreEnoughForTheInterval(t *testing.T) {
	r := timed(t, "0:00\n5:00\n10:10\n15:30", workshop.UnitSettings{})
	mean := figureOf(r, "Mean interval")
	if r.Verdict != rebuild.VerdictPass || r.Causes != nil || mean == nil || mean.Value != 310 || math.Abs(*mean.Low-285.16) > 0.01 || math.Abs(*mean.High-334.84) > 0.01 || mean.Unit != "s" {
		t.Errorf("%+v", r)
	}
	r = timed(t, "0:00\n0:40", workshop.UnitSettings{})
	if r.Verdict != rebuild.VerdictCannotTell || !strings.Contains(r.Why, "3 are asked for") || len(r.Next) == 0 {
		t.Errorf("one interval: %s, %s", r.Verdict, r.Why)
	}
	// The same with the first run a fill from empty: its interval does not count.
	cold := timed(t, "0\n150\n450\n760\n1080", workshop.UnitSettings{ColdFill: true})
	if n := figureOf(cold, "Settled intervals"); n == nil || n.Value != 3 {
		t.Errorf("after a cold fill %+v", cold.Figures)
	}
}

// TestStopsTellMore: with the stops the engine weighs the causes.
func TestStopsTellMore(t *testing.T) {
	var list strings.Builder
	for i := range 6 {
		fmt.Fprintf(&list, "%d on\n%d off\n", 310*i+i%2, 310*i+8+i%2)
	}
	fmt.Fprintf(&list, "%d on\n", 310*6) // still running
	r := timed(t, list.String(), workshop.UnitSettings{})
	sum := 0.0
	for i, c := range r.Causes {
		sum += c.Chance
		if i > 0 && c.Chance > r.Causes[i-1].Chance {
			t.Error("the causes are not in order")
		}
	}
	if r.Result == nil || len(r.Causes) != 7 || math.Abs(sum-1) > 1e-9 || len(r.Cycles) != 7 {
		t.Errorf("%d runs, causes %+v", len(r.Cycles), r.Causes)
	}
	for _, f := range r.Figures {
		if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
			t.Errorf("figure %+v", f)
		}
	}
}

// TestMissedStopIsNoLongInterval: a start whose stop was not tapped still ends an
// interval; the unit that starts every 100 s must not pass for one of 200 s.
func TestMissedStopIsNoLongInterval(t *testing.T) {
	r := timed(t, "0 on\n5 off\n100 on\n105 off\n200 on\n300 on\n305 off\n400 on\n405 off", workshop.UnitSettings{})
	mean, n := figureOf(r, "Mean interval"), figureOf(r, "Settled intervals")
	if mean == nil || mean.Value != 100 || n.Value != 4 {
		t.Errorf("%+v", r.Figures)
	}
}

// TestAdviceNamesNoFlags: advice on a page names none of the command's flags.
func TestAdviceNamesNoFlags(t *testing.T) {
	var list strings.Builder
	for i := range 6 {
		fmt.Fprintf(&list, "%d on\n%d off\n", 60*i, 60*i+4)
	}
	r := timed(t, list.String(), workshop.UnitSettings{})
	if said := r.Why + strings.Join(r.Next, "; "); len(r.Next) == 0 || strings.Contains(said, "--") {
		t.Errorf("the page says %q", said)
	}
}

// TestReadingsCalledOutMakeALog: a fall by one bar every half minute and a rise
// within ten seconds.
func TestReadingsCalledOutMakeALog(t *testing.T) {
	var list strings.Builder
	at := 0
	for range 4 {
		for bar := 50; bar >= 40; bar-- {
			fmt.Fprintf(&list, "%d %d\n", at, bar)
			at += 30
		}
		for _, bar := range []int{42, 44, 46, 48} {
			at += 2
			fmt.Fprintf(&list, "%d %d\n", at, bar)
		}
		at += 2
	}
	r := timed(t, list.String(), workshop.UnitSettings{})
	if r.Result == nil || len(r.Cycles) < 3 || figureOf(r, "Cut-out") == nil {
		t.Errorf("%d recharges, %+v", len(r.Cycles), r.Figures)
	}
}

func TestReadingsThatSayNothing(t *testing.T) {
	cold := 400.0
	taps, _ := workshop.ReadTaps("0 on\n8 off\n300 on\n308 off")
	for field, f := range map[string]func() error{
		"readings":  func() error { _, err := workshop.TimedPump(nil, workshop.UnitSettings{}); return err },
		"ambient_c": func() error { _, err := workshop.TimedPump(taps, workshop.UnitSettings{AmbientC: &cold}); return err },
	} {
		var invalid *rebuild.Invalid
		if err := f(); !errors.As(err, &invalid) || invalid.Problems[0].Field != field || strings.Contains(err.Error(), "--") {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func TestLogIsRead(t *testing.T) {
	_, err := workshop.LoggedPump(t.Context(), strings.NewReader("time_s,pressure_bar\n0,50\n1,fifty\n"), "log.csv", workshop.UnitSettings{})
	var invalid *rebuild.Invalid
	if !errors.As(err, &invalid) || !strings.Contains(err.Error(), "log.csv:3") {
		t.Errorf("text in numbers: %v", err)
	}
	_, err = workshop.LoggedPump(t.Context(), strings.NewReader("time_s,pressure_bar\n0,50\n"), "log.csv", workshop.UnitSettings{PressureColumn: "p2"})
	if !errors.As(err, &invalid) || !strings.Contains(err.Error(), "no column \"p2\" for “Pressures”; expected one of time_s, pressure_bar") {
		t.Errorf("a column that is not there: %v", err)
	}
	if s := (workshop.UnitSettings{ColdFill: true, PressureUnit: "psi"}).JSON(); s != `{"cold_fill":true,"pressure_unit":"psi"}` {
		t.Errorf("settings %s", s)
	}
	if s := (workshop.UnitSettings{}).JSON(); s != "" {
		t.Errorf("no settings %q", s)
	}
}

// TestMissedStartIsNoLongInterval: a stop without its start tells of a start that
// was missed; the interval over it, twice as long, counts nowhere.
func TestMissedStartIsNoLongInterval(t *testing.T) {
	var list strings.Builder
	for i := range 7 {
		if i != 3 {
			fmt.Fprintf(&list, "%d on\n", 100*i)
		}
		fmt.Fprintf(&list, "%d off\n", 100*i+5)
	}
	r := timed(t, list.String(), workshop.UnitSettings{})
	mean, n := figureOf(r, "Mean interval"), figureOf(r, "Settled intervals")
	if mean == nil || math.Abs(mean.Value-100) > 1e-9 || n.Value < 3 || n.Value > 4 || r.Cycles[3].IntervalS != nil {
		t.Errorf("%+v", r.Figures)
	}
}

// TestOperatedCountsWithStopsToo: an interval in which something was operated
// does not count, whether stops were tapped or not.
func TestOperatedCountsWithStopsToo(t *testing.T) {
	for _, stops := range []bool{false, true} {
		var list strings.Builder
		for i := range 6 {
			fmt.Fprintf(&list, "%d on\n", 300*i)
			if stops {
				fmt.Fprintf(&list, "%d off\n", 300*i+6)
			}
			if i == 2 {
				fmt.Fprintf(&list, "%d used\n", 300*i+60)
			}
		}
		r := timed(t, list.String(), workshop.UnitSettings{})
		if n := figureOf(r, "Settled intervals"); n == nil || n.Value > 4 {
			t.Errorf("stops %t: %+v", stops, r.Figures)
		}
		if c := r.Cycles[3]; c.Static || c.Settled {
			t.Errorf("stops %t: the interval in which something was operated counts", stops)
		}
	}
}

// TestReasonsArePartedFromWhatFollows: one sentence first; what is listed as the
// next readings is not said twice.
func TestReasonsArePartedFromWhatFollows(t *testing.T) {
	r := timed(t, "0\n120\n250\n372\n503", workshop.UnitSettings{})
	if r.Verdict != "cannot tell" || !strings.HasSuffix(r.Reason(), "too near the two minutes of common practice to go by") || r.More() != "" || len(r.Next) == 0 {
		t.Errorf("%s: %q, %q, %q", r.Verdict, r.Reason(), r.More(), r.Next)
	}
	if first, more := workshop.PartReason(r.Why); first != r.Reason() || !strings.HasPrefix(more, "to tell: ") {
		t.Errorf("kept: %q, %q", first, more)
	}
	r = timed(t, "0 on\n3 off\n300 on\n303 off\n610 on\n613 off\n915 on\n918 off", workshop.UnitSettings{})
	if first, more := workshop.PartReason(r.Why); r.More() == "" || first != r.Reason() || !strings.HasPrefix(more, r.More()) {
		t.Errorf("%q, %q of %q", r.Reason(), r.More(), r.Why)
	}
}

// TestColdFillOfWholeRuns: the tick has its effect where stops were noted too.
func TestColdFillOfWholeRuns(t *testing.T) {
	list := "0 on\n6 off\n282 on\n286 off\n582 on\n586 off\n887 on\n891 off\n1188 on\n1192 off"
	for cold, want := range map[bool]float64{false: 4, true: 3} {
		r := timed(t, list, workshop.UnitSettings{ColdFill: cold})
		if n := figureOf(r, "Settled intervals"); n == nil || n.Value != want || r.Cycles[0].ColdFill != cold {
			t.Errorf("cold %t: %+v", cold, n)
		}
	}
}

// TestChancesArePartedFromFigures: chances are kept as figures in percent and come
// back as shares, the likeliest first.
func TestChancesArePartedFromFigures(t *testing.T) {
	figures, chances := workshop.PartChances([]rebuild.EvidenceFigure{
		{Name: "Chance: a", Value: 20, Unit: "%"}, {Name: "Leak", Value: 2}, {Name: "Chance: b", Value: 80, Unit: "%"},
	})
	if len(figures) != 1 || len(chances) != 2 || chances[0] != (workshop.CauseChance{Name: "b", Chance: 0.8}) {
		t.Errorf("%+v, %+v", figures, chances)
	}
}
