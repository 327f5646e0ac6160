package chart

import (
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Expected marks are written by hand from the calendar.
func TestTimeTicksByHand(t *testing.T) {
	for _, c := range []struct {
		from, to string
		most     int
		want     []string
	}{
		{"2026-01-12", "2026-05-03", 6, []string{"Feb 2026", "Mar", "Apr", "May"}},
		{"2026-01-01", "2026-03-01", 6, []string{"Jan 2026", "Feb", "Mar"}},
		{"2025-10-20", "2026-03-20", 6, []string{"Nov 2025", "Dec", "Jan 2026", "Feb", "Mar"}},
		{"2025-10-20", "2026-08-20", 5, []string{"Nov 2025", "Jan 2026", "Mar", "May", "Jul"}},
		{"2025-10-20", "2027-02-20", 5, []string{"Jan 2026", "Apr", "Jul", "Oct", "Jan 2027"}},
		{"2024-02-27", "2024-03-04", 3, []string{"27 Feb 2024", "29 Feb", "2 Mar", "4 Mar"}},
		{"2026-05-03", "2026-01-12", 6, nil},
	} {
		var got []string
		for _, tick := range TimeTicks(day(c.from), day(c.to), c.most, MonthNames{}) {
			name := tick.Name
			if tick.Year != "" {
				name += " " + tick.Year
			}
			got = append(got, name)
		}
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s to %s in %d: %q, want %q", c.from, c.to, c.most, got, c.want)
		}
	}
}

func TestTimeTicksHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := day("1990-01-01").AddDate(0, 0, rapid.IntRange(0, 20000).Draw(t, "from"))
		to := from.AddDate(0, 0, rapid.IntRange(0, 20000).Draw(t, "days"))
		most := rapid.IntRange(1, 20).Draw(t, "most")
		ticks := TimeTicks(from, to, most, MonthNames{})
		if len(ticks) > most+1 {
			t.Fatalf("%d ticks, at most %d wanted", len(ticks), most+1)
		}
		for i, k := range ticks {
			if k.At.Before(from) || k.At.After(to) {
				t.Fatalf("tick %v outside %v..%v", k.At, from, to)
			}
			if i > 0 && !k.At.After(ticks[i-1].At) {
				t.Fatal("ticks do not rise")
			}
		}
	})
}

func TestMonthNamesOfThePage(t *testing.T) {
	names := MonthNames{2: "März"}
	got := TimeTicks(day("2026-03-01"), day("2026-04-02"), 4, names)
	if len(got) != 2 || got[0].Name != "März" || got[1].Name != "Apr" {
		t.Errorf("ticks %v, want März and Apr", got)
	}
}

func TestDayOfDropsTheClock(t *testing.T) {
	late := time.Date(2026, 3, 29, 23, 59, 0, 0, time.FixedZone("east", 2*3600))
	if got := dayOf(late).Format(isoDate); got != "2026-03-29" {
		t.Errorf("the day of %v is %s, want 2026-03-29", late, got)
	}
}
