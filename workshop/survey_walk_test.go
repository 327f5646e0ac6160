package workshop

import (
	"strings"
	"testing"

	"wreckwright/bench/survey"
)

// listed remembers lists as the workshop does: choosing one takes a while.
var listed contents[survey.Tape]

func walkOf(b BodySurvey) SurveyWalk {
	return b.walk(func(s survey.Sketch) (survey.Tape, error) {
		return listed.get(s, func() (survey.Tape, error) { return survey.TapeList(s) })
	})
}

// Following the list to its end fixes most points with 95 % and asks for nothing more;
// for those that it does not fix further lines are proposed.
func TestFollowingTheList(t *testing.T) {
	for _, set := range []string{"whole", "short"} {
		for _, heights := range []string{HeightsByPlane, HeightsByTube} {
			b := NewBodySurvey(set)
			b.Heights = heights
			steps := 0
			walk := walkOf(b)
			if walk.Trouble != "" || walk.Next == nil || walk.Fixed != 0 {
				t.Fatalf("%s, %s at the start: %q, %d fixed", set, heights, walk.Trouble, walk.Fixed)
			}
			for ; walk.Next != nil; walk = walkOf(b) {
				next := walk.Next.TapeLine
				p := b.Point(next.From).At
				mm := p.ZMm
				if next.Kind != ReadHeight {
					mm = p.to(b.Point(next.To).At)
				}
				if next.Kind == ReadLevel {
					mm = b.Point(next.To).At.ZMm - p.ZMm
				}
				if heard, err := b.Add(TapeReading{TapeLine: next, Mm: mm}); err != nil || heard.Again != nil {
					t.Fatalf("%+v: %+v %v", next, heard, err)
				}
				if steps++; steps > 400 {
					t.Fatal("the list has no end")
				}
			}
			if walk.Fixed < walk.Of*4/5 || walk.Fixed < walk.Of && len(walk.Further) == 0 || walk.Of != len(b.Points) || walk.Read != walk.Wanted || steps != walk.Wanted {
				t.Errorf("%s, %s: %d of %d fixed, %d of %d read", set, heights, walk.Fixed, walk.Of, walk.Read, walk.Wanted)
			}
			out, err := b.Examine()
			if err != nil {
				t.Fatal(err)
			}
			if out.Result.Dimensions != 3 || len(out.Result.Blunders) > 0 || len(out.Result.Moved) > 0 || out.Verdict == "fail" {
				t.Errorf("%s, %s: a straight body: %s: %s", set, heights, out.Verdict, out.Why)
			}
		}
	}
}

// Skipped lines are not asked for; a contradiction comes before all others.
func TestWhatComesNext(t *testing.T) {
	b := NewBodySurvey("short")
	first := walkOf(b).Next.TapeLine
	if err := b.Skip(first); err != nil {
		t.Fatal(err)
	}
	second := walkOf(b).Next.TapeLine
	if second.same(first) {
		t.Error("a skipped line comes next")
	}
	about, _ := b.About(second)
	for _, off := range []float64{0, 12} {
		if _, err := b.Add(TapeReading{TapeLine: second, Mm: about.Mm + off}); err != nil {
			t.Fatal(err)
		}
	}
	if walk := walkOf(b); !walk.Next.Disputed || !walk.Next.same(second) {
		t.Errorf("%+v comes before the contradiction", walk.Next)
	}
	if _, err := b.Add(TapeReading{TapeLine: first, Mm: 500}); err != nil || b.skipped(first) {
		t.Error("a line that was read after all is still skipped")
	}
	for _, l := range walkOf(b).After(5) {
		if l.same(second) {
			t.Error("the next line comes after itself")
		}
	}
}

func TestTheQuickWalk(t *testing.T) {
	b := NewQuickSurvey()
	walk := walkOf(b)
	if walk.Wanted != 10 || len(walk.Lines) != len(survey.QuickLines) || walk.Next.From != string(survey.CrossFront) {
		t.Errorf("%+v", walk)
	}
	if !strings.HasPrefix(b.Say(walk.Next.TapeLine), "across the front") {
		t.Errorf("announced as %q", b.Say(walk.Next.TapeLine))
	}
}

func TestNoListWithoutPoints(t *testing.T) {
	walk := walkOf(BodySurvey{Points: NewBodySurvey("quick").Points[:2]})
	if !strings.Contains(walk.Trouble, "four points or more") || walk.Next != nil {
		t.Errorf("%+v", walk)
	}
}
