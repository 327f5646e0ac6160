package track

import (
	"errors"
	"math"
	"strings"
	"testing"

	"wreckwright/outside"
)

func read(t *testing.T, text string) Track {
	t.Helper()
	got, err := Read(strings.NewReader(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return got
}

const gpxHead = `<?xml version="1.0" encoding="ISO-8859-1"?><gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1"><trk><trkseg>`

// TestForms reads the same three seconds in every form.
func TestForms(t *testing.T) {
	for name, text := range map[string]string{
		"seconds, km/h":     "time_s,speed_kmh\n10,36\n11,54\n12,72\n",
		"no names":          "10,36\n11,54\n12,72\n",
		"semicolon, commas": "t [s];Speed (m/s)\n10,0;10,0\n11,0;15,0\n12,0;20,0\n",
		"milliseconds":      "speed m/s,timestamp_ms,lat\n10,10000,1\n15,11000,1\n20,12000,1\n",
		"clock":             "Time,Speed km/h,note\n23:59:59,36,a\n00:00:00,54,b\n00:00:01,72,\"c, d\"\n",
		"date, gap in it":   "utc\tspeed_mps\n2026-03-01T10:00:00Z\t10\n2026-03-01T10:00:00.5Z\t\n2026-03-01T10:00:01Z\t15\n2026-03-01T10:00:02Z\t20\n",
		"GPX with speeds": gpxHead + `<trkpt lat="1" lon="2"><time>2026-03-01T10:00:00Z</time><speed>10</speed></trkpt>
			<trkpt lat="1" lon="2"><time>2026-03-01T10:00:01Z</time><extensions><x:a xmlns:x="u"><x:speed>15</x:speed></x:a></extensions></trkpt>
			<trkpt lat="1" lon="2"></trkpt>
			<trkpt lat="1" lon="2"><time>2026-03-01T10:00:02Z</time><speed>20</speed></trkpt></trkseg></trk></gpx>`,
	} {
		t.Run(name, func(t *testing.T) {
			got := read(t, text)
			for i, want := range []float64{10, 15, 20} {
				if len(got.Points) != 3 || math.Abs(got.Points[i].SpeedMS-want) > 1e-9 || math.Abs(got.Points[i].AtS-float64(i)) > 1e-6 {
					t.Fatalf("%+v, want 10, 15, 20 m/s at 0, 1, 2 s", got)
				}
			}
		})
	}
}

// TestAsPublished holds sentences, distances and units against their sources.
func TestAsPublished(t *testing.T) {
	rmc := read(t, "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\r\n$GPRMC,123520,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*60\r\n")
	quoted := read(t, "\"time, s\",\"speed \"\"true\"\" m/s\"\r\n0,1\r\n1,2\r\n")
	gpx := read(t, gpxHead+`<trkpt lat="48.0" lon="11"><time>2026-03-01T10:00:00Z</time></trkpt><trkpt lat="48.001" lon="11"><time>2026-03-01T10:00:04.5Z</time></trkpt></trkseg></trk></gpx>`)
	outside.Check(t, []outside.Case{
		{Source: "NMEA_0183", Where: "RMC", What: "the sentence that manuals print, 22.4 knots, m/s", Got: rmc.Points[0].SpeedMS, Want: 22.4 * 1852 / 3600, Tolerance: 1e-9, Why: "1852 m are a nautical mile, exact"},
		{Source: "NMEA_0183", Where: "RMC", What: "its year", Got: float64(rmc.Starts.Year()), Want: 1994, Tolerance: 0, Why: "exact"},
		{Source: "RFC_4180", Where: "section 2", What: "a quoted header with the separator and doubled quotes", Got: quoted.Points[1].SpeedMS, Want: 2, Tolerance: 0, Why: "exact"},
		{Source: "GPX_1_1", Where: "trkpt", What: "points with a time and no speed: those taken", Got: float64(len(gpx.Points)), Want: 2, Tolerance: 0, Why: "exact"},
		{Source: "GRS_80", Where: "mean radius R1", What: "a degree of latitude, m", Got: distanceM(place{lat: 48}, place{lat: 49}), Want: 111195.08, Tolerance: 0.01, Why: "printed to 0.01 m: 6371008.77 pi / 180"},
	})
	if v := gpx.Points[0].SpeedMS; math.Abs(v-111.19508/4.5) > 1e-4 || len(gpx.Notes) == 0 {
		t.Errorf("a thousandth of a degree in 4.5 s: %g m/s, notes %v", v, gpx.Notes)
	}
}

// TestMistakes name the line, what is wrong and what was expected.
func TestMistakes(t *testing.T) {
	for name, c := range map[string]struct {
		text, want string
		line       int
	}{
		"empty":         {" \n", "empty", 0},
		"no speed":      {"time_s,level\n1,2\n", "no column is a speed: time_s, level", 1},
		"no time":       {"place,speed_kmh\n1,2\n", "no column is a time", 1},
		"three numbers": {"1,2,3\n", "3 columns without a name", 1},
		"backwards":     {"time_s,speed_kmh\n1,20\n2,20\n1.5,20\n", "0.5 s backwards", 4},
		"too fast":      {"time_s,speed_kmh\n1,20\n2,900\n", "900 km/h", 3},
		"negative":      {"time_s,speed_kmh\n1,20\n2,-3\n", "-3 km/h", 3},
		"no number":     {"time_s,speed_kmh\n1,20\n2,fast\n", `"fast" is no number`, 3},
		"no moment":     {"time,speed_kmh\nnoon,20\n", `"noon" is no time`, 2},
		"one point":     {"time_s,speed_kmh\n1,20\n", "1 points with", 0},
		"same time":     {"time_s,speed_kmh\n1,20\n1,20\n", "same time", 0},
		"broken XML":    {gpxHead + `<trkpt lat="1" lon="2"><time>2026-03-01T10:00:00Z</time>`, "within a point", 1},
		"no GPX":        {"<html></html>", "0 points (trkpt)", 0},
		"latitude":      {gpxHead + `<trkpt lat="91" lon="2"/>`, `lat="91"`, 1},
		"no RMC":        {"$GPGGA,1,2\n", "none among the sentences", 0},
		"checksum":      {"$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6B\n", "1 broken", 0},
	} {
		_, err := Read(strings.NewReader(c.text))
		var wrong *Error
		if !errors.As(err, &wrong) || !strings.Contains(err.Error(), c.want) || wrong.Line != c.line || wrong.Expected == "" {
			t.Errorf("%s: %v, want %q in line %d", name, err, c.want, c.line)
		}
	}
}

// TestShaft counts times from the recording's beginning.
func TestShaft(t *testing.T) {
	at, hz := read(t, "time_s,speed_kmh\n0,100\n10,100\n").Shaft(307.9, 4)
	if at[0] != -4 || at[1] != 6 || math.Abs(hz[0]-14.358) > 1e-3 {
		t.Errorf("%v %v", at, hz)
	}
}

// FuzzRead: any bytes are a track with rising times and possible speeds, or one
// mistake with what was expected.
func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"time_s,speed_kmh\n1,20\n2,30\n", "1;2\n3;4\n", "a\tb\n", gpxHead + `<trkpt lat="1" lon="2"><time>2026-03-01T10:00:00Z</time></trkpt><trkpt lat="1" lon="2"><time>2026-03-01T10:00:09Z</time></trkpt></trkseg></trk></gpx>`,
		"$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\n", "$GPRMC,,,,,,,,,\n", "\"", "Time,Speed\n23:59:59,1\n00:00:01,2\n", "t,v\n1e308,1\n-1e308,2\n",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := Read(strings.NewReader(text))
		var wrong *Error
		if err != nil {
			if !errors.As(err, &wrong) || wrong.Expected == "" || wrong.Problem == "" {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		last := -1.0
		for _, p := range got.Points {
			if !(p.AtS > last && p.SpeedMS >= 0 && p.SpeedMS <= fastestMS) {
				t.Fatalf("%q: %+v", text, got.Points)
			}
			last = p.AtS
		}
		if len(got.Points) < 2 || got.DurationS() != last {
			t.Fatalf("%q: %+v", text, got)
		}
	})
}
