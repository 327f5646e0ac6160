package workshop_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"wreckwright/workshop"
)

func TestTapsAreRead(t *testing.T) {
	cases := []struct{ name, list, want string }{
		{"nothing", "\n  \n# the left car\n", ""},
		{"a stopwatch", "0:00\n4:10\n8:22.5\n", "0 on, 250 on, 502.5 on"},
		{"seconds, decimal comma", "10\n260,5 on\n266 off", "0 on, 250.5 on, 256 off"},
		{"a clock over midnight", "23:58:00\n0:02:10 off\n0:06:00 used", "0 on, 250 off, 480 used"},
		{"with the day", "2026-03-21T18:03:07.250Z\n2026-03-21T19:07:17.25+01:00 start", "0 on, 250 on"},
		{"a gauge called out", "0:00 on; \n0:06 stop\r\n0:10 50\n0:40 49,5\n1:20 shift # second gear", "0 on, 6 off, 10 50, 40 49.5, 80 used"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			taps, err := workshop.ReadTaps(c.list)
			if err != nil {
				t.Fatal(err)
			}
			var words []string
			for _, tap := range taps {
				what := map[workshop.TapKind]string{workshop.TapPumpOn: "on", workshop.TapPumpOff: "off", workshop.TapOperated: "used", workshop.TapReading: fmt.Sprint(tap.Bar)}
				words = append(words, fmt.Sprint(tap.AtS, " ", what[tap.Kind]))
			}
			if got := strings.Join(words, ", "); got != c.want {
				t.Errorf("got %s; want %s", got, c.want)
			}
		})
	}
	taps, err := workshop.ReadTaps("2026-03-21T18:03:07.250Z")
	if err != nil || !taps[0].At.Equal(time.Date(2026, 3, 21, 18, 3, 7, 250e6, time.UTC)) {
		t.Errorf("the moment is %v (%v)", taps, err)
	}
}

func TestTapsThatCannotBeRead(t *testing.T) {
	cases := []struct {
		list string
		line int
		says string
	}{
		{"0:00\nsoon", 2, `"soon" is no time`},
		{"0:00 on off", 1, "is no time and what happened then"},
		{"0:00 loud", 1, `"loud" is not known`},
		{"0:00\n12:61", 2, "is no time"},
		{"1:2:3:4", 1, "is no time"},
		{"0:00\n250", 2, "otherwise than the times above"},
		{"4:10\n4:09", 2, "before the line above"},
		{"2026-13-21T18:03:07Z", 1, "is no time"},
		{"0:00 4000", 1, "not known"},
		{"1e9", 1, "is no time"},
	}
	for _, c := range cases {
		var wrong *workshop.TapsError
		if _, err := workshop.ReadTaps(c.list); !errors.As(err, &wrong) || wrong.Line != c.line || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v, want line %d, %q", c.list, err, c.line, c.says)
		}
	}
}

func FuzzReadTaps(f *testing.F) {
	f.Add("0:00 on\n4:10 49,5\n")
	f.Add("2026-03-21T18:03:07.250Z off")
	f.Fuzz(func(t *testing.T, list string) {
		taps, err := workshop.ReadTaps(list)
		var wrong *workshop.TapsError
		if err != nil && !errors.As(err, &wrong) {
			t.Errorf("%q: %v (%T)", list, err, err)
		}
		for i, tap := range taps {
			if i > 0 && !(tap.AtS >= taps[i-1].AtS) {
				t.Errorf("%q: tap %d at %g is before the one above", list, i+1, tap.AtS)
			}
		}
	})
}
