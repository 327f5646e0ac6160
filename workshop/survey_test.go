package workshop

import (
	"bytes"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/bench/survey"
	"wreckwright/rebuild"
)

// carLists are the lists of the body that the engine is tested with.
func carLists(t testing.TB) SurveyFiles {
	t.Helper()
	read := func(name string) string {
		text, err := os.ReadFile(filepath.Join("..", "bench", "survey", "testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	return SurveyFiles{Distances: read("car1_dist.csv"), Heights: read("car1_heights.csv"), Nominal: read("car1_nominal.csv"), Pairs: read("car1_pairs.csv")}
}

func carSurvey(t testing.TB) BodySurvey {
	t.Helper()
	b, err := BodySurvey{}.ImportSurvey(carLists(t))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// A survey kept as JSON says what the engine says of the same lists.
func TestASurveySaysWhatTheEngineSays(t *testing.T) {
	b := carSurvey(t)
	out, err := SurveyOf([]byte(b.JSON()))
	if err != nil {
		t.Fatal(err)
	}
	c, err := carLists(t).read()
	if err != nil {
		t.Fatal(err)
	}
	want, err := survey.Examine(c)
	if err != nil {
		t.Fatal(err)
	}
	if out.Why != strings.ReplaceAll(want.Why, "+-", "±") || string(out.Verdict) != want.Verdict || !reflect.DeepEqual(out.Result.Moved, want.Moved) || !reflect.DeepEqual(out.Result.Points, want.Points) {
		t.Errorf("%s: %s; the engine: %s: %s", out.Verdict, out.Why, want.Verdict, want.Why)
	}
	e := out.Evidence()
	e.On = "2026-03-01"
	if err := e.Validate(); err != nil {
		t.Error(err)
	}
	lead := out.Leading()
	if len(lead) != 3 || lead[0].Value != want.Moved[0].SizeMm || *lead[0].Low >= lead[0].Value {
		t.Errorf("leading figures %+v", lead)
	}
}

func TestASurveyIsWorkedOutAgain(t *testing.T) {
	b := carSurvey(t)
	out, err := b.Examine()
	if err != nil {
		t.Fatal(err)
	}
	e := out.Evidence()
	e.Raw = []rebuild.Attachment{{Name: SurveyName, Hash: "h"}}
	again, err := Again(t.Context(), &e, func(string) (io.ReadCloser, error) {
		return io.NopCloser(bytes.NewReader([]byte(b.JSON()))), nil
	})
	if err != nil || !reflect.DeepEqual(again, KeptResult(&e)) {
		t.Errorf("%v: %+v", err, again)
	}
}

// What is exported is taken in again alike.
func TestSurveyListsThereAndBack(t *testing.T) {
	b := carSurvey(t)
	back, err := BodySurvey{}.ImportSurvey(b.Export())
	if err != nil {
		t.Fatal(err)
	}
	if b.Export() != back.Export() {
		t.Error("the lists differ")
	}
	for _, r := range back.Readings {
		if r.Mm <= 0 {
			t.Errorf("%+v", r)
		}
	}
}

func TestAWrongListNamesItsLine(t *testing.T) {
	for _, c := range []struct {
		files       SurveyFiles
		field, says string
	}{
		{SurveyFiles{Distances: "from,to,mm\nA,B,12x\n"}, "distances", `distances, line 2: "12x" is no number`},
		{SurveyFiles{Heights: "point,mm\n,5\n"}, "heights", "line 2: the name of a point is missing"},
		{SurveyFiles{Nominal: "point,x\n"}, "nominal", "line 1: the first line"},
		{SurveyFiles{Pairs: "left,right\nA,A\n"}, "mirror", "A cannot mirror A"},
		{SurveyFiles{Distances: "from,to,mm\nA,B,-5\n"}, "mm", "A to B: -5 mm; expected above 0"},
		{SurveyFiles{Distances: "from,to,mm\nA,A,5\n"}, "to", "A to itself"},
	} {
		_, err := BodySurvey{}.ImportSurvey(c.files)
		wantsProblem(t, err, c.field, c.says)
	}
	_, err := NewQuickSurvey().ImportSurvey(SurveyFiles{})
	wantsProblem(t, err, "distances", "a quick survey takes no lists")
}

func wantsProblem(t *testing.T, err error, field, says string) {
	t.Helper()
	var invalid *rebuild.Invalid
	if !errors.As(err, &invalid) {
		t.Fatalf("%v; want %q at %s", err, says, field)
	}
	if p := invalid.Problems[0]; p.Field != field || !strings.Contains(p.Text, says) {
		t.Errorf("%s: %q; want %q at %s", p.Field, p.Text, says, field)
	}
}

// Points without a place get the one that the readings give them.
func TestImportedPointsFindTheirPlace(t *testing.T) {
	lists := carLists(t)
	lists.Nominal = ""
	b, err := BodySurvey{}.ImportSurvey(lists)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range b.Points {
		if p.At == (BodyPlace{}) {
			t.Errorf("%s is nowhere", p.ID)
		}
	}
	if l, r := b.Point("L01"), b.Point("R01"); l.At.YMm <= r.At.YMm {
		t.Error("left is right")
	}
}

// The engine's mistakes stand at the reading that they are about.
func TestMistakesOfASurveyNameTheReading(t *testing.T) {
	square := "from,to,mm\nA,B,1000\nB,C,1000\nC,D,1000\nD,A,1000\nA,C,1414.2\nB,D,1414.2\n"
	for _, c := range []struct{ distances, field, says string }{
		{"from,to,mm\nA,B,1000\n", "readings", "reading 1: A has distances to 1 point only"},
		{strings.Replace(square, "A,C,1414.2", "A,C,2414.2", 1), "readings", "reading 5: A to C is 2414.2 mm, longer than by way of B: 1000 + 1000 mm (readings 1 and 2)"},
		{"from,to,mm\nA,B,100\nA,C,200\nA,D,300\nB,C,100\nB,D,200\nC,D,100\n", "readings", "all points lie in one line"},
		{square + "B,A,1010\n", "readings", "A to B was read 1000 and 1010 mm: read it a third time"},
		{"from,to,mm\n", "readings", "there are no distances"},
	} {
		b, err := BodySurvey{}.ImportSurvey(SurveyFiles{Distances: c.distances})
		if err != nil {
			t.Fatal(err)
		}
		_, err = b.Examine()
		wantsProblem(t, err, c.field, c.says)
	}
}

// A second reading that differs asks for a third; the two that agree stand.
func TestAThirdReadingDecides(t *testing.T) {
	b := NewBodySurvey("short")
	line := TapeLine{ReadDistance, "L1", "R1"}
	for i, c := range []struct {
		mm       float64
		from, to string
		again    bool
		standing int
	}{
		{962, "L1", "R1", false, 1},
		{972, "R1", "L1", true, 2},
		{971, "L1", "R1", false, 2},
		{970.5, "L1", "R1", false, 3},
	} {
		heard, err := b.Add(TapeReading{TapeLine: TapeLine{ReadDistance, c.from, c.to}, Mm: c.mm})
		if err != nil {
			t.Fatal(err)
		}
		if (heard.Again != nil) != c.again || len(b.at(line)) != c.standing {
			t.Errorf("reading %d: %+v, %d stand", i+1, heard, len(b.at(line)))
		}
	}
	if !b.Readings[0].Aside {
		t.Error("the odd one stands")
	}
	for range 2 {
		b.TakeBack()
	}
	if !b.Disputed(line) || b.Readings[0].Aside {
		t.Error("with two that differ neither is aside")
	}
}

// Levels turned round count with the other sign.
func TestALevelTurnedRound(t *testing.T) {
	b := NewBodySurvey("short")
	for _, r := range []TapeReading{{TapeLine: TapeLine{ReadLevel, "L1", "L2"}, Mm: -200}, {TapeLine: TapeLine{ReadLevel, "L2", "L1"}, Mm: 201}} {
		if heard, err := b.Add(r); err != nil || heard.Again != nil {
			t.Errorf("%+v %v", heard, err)
		}
	}
	if heard, _ := b.Add(TapeReading{TapeLine: TapeLine{ReadLevel, "L2", "L1"}, Mm: -200}); heard.Again == nil && !b.Readings[2].Aside {
		t.Error("a wrong sign goes unnoticed")
	}
}

func TestAReadingThatCannotBe(t *testing.T) {
	b := NewBodySurvey("short")
	for _, c := range []struct {
		r           TapeReading
		field, says string
	}{
		{TapeReading{TapeLine: TapeLine{ReadDistance, "L1", "X9"}, Mm: 5}, "to", "X9 is no point of this survey; expected one of L1, R1"},
		{TapeReading{TapeLine: TapeLine{ReadDistance, "", "L1"}, Mm: 5}, "from", "nothing is no point"},
		{TapeReading{TapeLine: TapeLine{ReadDistance, "L1", "L1"}, Mm: 5}, "to", "L1 to itself"},
		{TapeReading{TapeLine: TapeLine{ReadDistance, "L1", "R1"}}, "mm", "L1 to R1: 0 mm; expected above 0"},
		{TapeReading{TapeLine: TapeLine{ReadDistance, "L1", "R1"}, Mm: math.NaN()}, "mm", "NaN"},
		{TapeReading{TapeLine: TapeLine{ReadHeight, "L1", ""}, Mm: 1e6}, "mm", "height of L1: 1e+06 mm; expected at most"},
		{TapeReading{TapeLine: TapeLine{"weight", "L1", ""}, Mm: 1}, "kind", "nothing that is read here"},
	} {
		_, err := b.Add(c.r)
		wantsProblem(t, err, c.field, c.says)
	}
	if len(b.Readings) != 0 {
		t.Error("a refused reading is kept")
	}
	heard, err := b.Add(TapeReading{TapeLine: TapeLine{ReadDistance, "L1", "R1"}, Mm: 96})
	if err != nil || heard.Again == nil || !strings.Contains(heard.Why, "about 960 mm") {
		t.Errorf("a lost digit: %+v %v", heard, err)
	}
}

func TestFiveLines(t *testing.T) {
	b := NewQuickSurvey()
	for line, mm := range map[survey.QuickLine]float64{
		survey.CrossFront: 840, survey.CrossMiddle: 1460, survey.CrossRear: 1060, survey.DiagonalFromLeft: 2815, survey.DiagonalFromRight: 2801,
	} {
		for range 2 { // once proves nothing
			if _, err := b.Add(TapeReading{TapeLine: TapeLine{Kind: ReadDistance, From: string(line)}, Mm: mm}); err != nil {
				t.Fatal(err)
			}
		}
	}
	out, err := ExamineSurvey(b.JSON())
	if err != nil || out.Quick == nil || out.Verdict != rebuild.VerdictFail || len(out.Quick.CannotSee) == 0 {
		t.Errorf("%+v %v", out, err)
	}
	e := out.Evidence()
	e.On = "2026-03-01"
	if err := e.Validate(); err != nil {
		t.Error(err)
	}
	_, err = b.Add(TapeReading{TapeLine: TapeLine{Kind: ReadDistance, From: "nowhere"}, Mm: 5})
	wantsProblem(t, err, "mm", "there is no line")
}

// Whatever is read and taken back: at most what stands is disputed, readings are
// never lost, and the JSON comes back alike.
func TestReadingsAreNeverLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := NewBodySurvey("quick")
		added := 0
		for range rapid.IntRange(1, 30).Draw(t, "n") {
			if rapid.IntRange(0, 4).Draw(t, "do") == 0 {
				if _, ok := b.TakeBack(); ok {
					added--
				}
				continue
			}
			ends := rapid.Permutation(b.ids()).Draw(t, "ends")
			r := TapeReading{TapeLine: TapeLine{ReadDistance, ends[0], ends[1]}, Mm: rapid.Float64Range(900, 910).Draw(t, "mm")}
			heard, err := b.Add(r)
			if err != nil {
				t.Fatal(err)
			}
			added++
			if b.Disputed(r.TapeLine) && heard.Again == nil {
				t.Fatal("a dispute goes unsaid")
			}
		}
		if len(b.Readings) != added {
			t.Fatalf("%d readings of %d", len(b.Readings), added)
		}
		back, err := ReadBodySurvey(b.JSON())
		if err != nil || back.JSON() != b.JSON() {
			t.Fatalf("%v: comes back otherwise", err)
		}
	})
}

func FuzzReadBodySurvey(f *testing.F) {
	f.Add(NewBodySurvey("short").JSON())
	f.Add(`{"points":[{"id":"A","at":{"x":1,"y":2,"z":3},"mirror":"A"}],"readings":[{"kind":"distance","from":"A","to":"B","mm":1}]}`)
	f.Add(`{"mode":"quick","points":null,"readings":[{"kind":"distance","from":"cross-front","mm":1e308}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		b, err := ReadBodySurvey(text)
		if err != nil {
			return
		}
		if len(b.Readings) > 60 || len(b.Points) > 20 {
			return // the engine's own fuzzing does the rest
		}
		var invalid *rebuild.Invalid
		if out, err := b.Examine(); err != nil && !errors.As(err, &invalid) {
			t.Fatal(err)
		} else if err == nil && out.Verdict == "" {
			t.Fatal("no verdict")
		}
	})
}

// Marks on the floor that were measured to are told to the engine: without heights
// they alone say which way is up.
func TestMarksOnTheFloorAreTold(t *testing.T) {
	b := NewBodySurvey("short")
	for _, id := range []string{"M1", "M2"} {
		if err := b.AddPoint(BodyPoint{ID: id, Floor: true}, false); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := b.Add(TapeReading{TapeLine: TapeLine{ReadDistance, "L1", "M1"}, Mm: 700}); err != nil {
		t.Fatal(err)
	}
	if floor := b.Case().Floor; !reflect.DeepEqual(floor, []string{"M1"}) {
		t.Errorf("told %v", floor)
	}
}

// Readings that contradict one another say nothing of what moved: no figure and no
// sentence may read as if the body were straight.
func TestAContradictionIsNoCleanBody(t *testing.T) {
	b := carSurvey(t)
	for i := range b.Readings {
		if b.Readings[i].Kind == ReadDistance {
			b.Readings[i].Mm += 6 * math.Sin(float64(7*i*i))
		}
	}
	said, err := b.Examine()
	if err != nil {
		t.Fatal(err)
	}
	if !SurveyContradicts(*said.Result) {
		t.Fatalf("not contradictory: %s", said.Why)
	}
	for _, f := range said.Figures {
		if f.Name == figureLargestMove || f.Name == figureBeyond || strings.HasSuffix(f.Name, ", displaced") {
			t.Errorf("%s is told as %g", f.Name, f.Value)
		}
	}
	told := (&telling{BuildFile: &BuildFile{}}).surveyBlocks(said)
	if told[0].Body.Untold == "" || told[len(told)-1].Table == nil {
		t.Errorf("the build file says %+v", told[0].Body)
	}
	for _, row := range told[len(told)-1].Table.Rows {
		if row[4] != survey.CannotTell {
			t.Errorf("%v", row)
		}
	}
}

// What a survey did not rest on stands in the build file, a reading that a third put
// aside among it.
func TestWhatWasLeftOutStands(t *testing.T) {
	b := carSurvey(t)
	first := b.Readings[0]
	for _, off := range []float64{25, 0.5} {
		r := first
		r.Mm += off
		if _, err := b.Add(r); err != nil {
			t.Fatal(err)
		}
	}
	said, err := b.Examine()
	if err != nil {
		t.Fatal(err)
	}
	list := strings.Join((&telling{BuildFile: &BuildFile{}}).leftOut(said), "\n")
	for _, says := range []string{"L06 to R07: reads 12", first.Words() + ", ", "two other readings of the line contradict it"} {
		if !strings.Contains(list, says) {
			t.Errorf("%q is not in %s", says, list)
		}
	}
	for _, f := range said.Figures {
		if f.Name == "Readings put aside by a third" && f.Value == 1 {
			return
		}
	}
	t.Errorf("no figure tells it: %+v", said.Figures)
}

// The maker's places entered late leave the list as it was printed.
func TestMakersPlacesLeaveTheList(t *testing.T) {
	b := NewBodySurvey("short")
	before := walkOf(b)
	places := map[string]BodyPlace{}
	for i, p := range b.Points {
		at := p.At
		at.XMm, at.YMm = at.XMm+float64(17*i%90), at.YMm*1.05
		places[p.ID] = at
	}
	if err := b.TakeNominal(places, "drawing", 1); err != nil {
		t.Fatal(err)
	}
	after := walkOf(b)
	for i, l := range before.Lines {
		if after.Lines[i].TapeLine != l.TapeLine {
			t.Fatalf("line %d was %s and is %s", i+1, l.Words(), after.Lines[i].Words())
		}
	}
}

// A point that is told as moved beyond chance does not have a displacement that may
// be none.
func TestADisplacementAgreesWithItsChance(t *testing.T) {
	said, err := carSurvey(t).Examine()
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range said.Result.Moved {
		for _, f := range said.Figures {
			if f.Name == m.ID+", displaced" && m.Significance < 0.001 && *f.Low <= 0 {
				t.Errorf("%s: %g, %g to %g", f.Name, f.Value, *f.Low, *f.High)
			}
		}
	}
}
