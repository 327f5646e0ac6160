package gaugelog

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/outside"
)

func TestDialects(t *testing.T) {
	for _, c := range []struct {
		name, text string
		o          Options
		times, bar []float64
	}{
		{"plain", "time_s,pressure_bar\n0,0\n0.5,26\n1.25,27.5\n", Options{}, []float64{0, 0.5, 1.25}, []float64{0, 26, 27.5}},
		{"windows line ends, byte order mark, no last line end", "\ufefftime_s,pressure_bar\r\n0,1\r\n1,2", Options{}, []float64{0, 1}, []float64{1, 2}},
		{"semicolons and decimal commas", "Zeit;Druck [bar]\n0,5;26,25\n1;27\n", Options{}, []float64{0.5, 1}, []float64{26.25, 27}},
		{"decimal commas that begin late", "time;pressure\n0;26\n1;26,5\n1,5;27\n", Options{}, []float64{0, 1, 1.5}, []float64{26, 26.5, 27}},
		{"quoted decimal commas between commas", "time,pressure\n\"0,5\",\"26,25\"\n\"1,0\",\"27,0\"\n", Options{}, []float64{0.5, 1}, []float64{26.25, 27}},
		{"tabs", "t\tp\n0\t1e1\n2\t-0.5\n", Options{}, []float64{0, 2}, []float64{10, -0.5}},
		{"notes above, units beneath", "Logger 3\nserial;0815\n\ntime;pressure\n;kPa\n0;5000\n1;4900\n", Options{}, []float64{0, 1}, []float64{50, 49}},
		{"psi in the header", "Time (ms),Pressure (psi)\n0,725\n500,580\n", Options{}, []float64{0, 0.5}, []float64{725 * 0.06894757293168361, 580 * 0.06894757293168361}},
		{"unit by the person", "time,pressure\n0,5\n1,4\n", Options{Unit: "mpa"}, []float64{0, 1}, []float64{50, 40}},
		{"absolute", "time,pressure bara\n0,1.01325\n1,51.01325\n", Options{}, []float64{0, 1}, []float64{0, 50}},
		{"minutes", "time min,bar\n0,1\n1.5,2\n", Options{}, []float64{0, 90}, []float64{1, 2}},
		{"dates", "timestamp,pressure\n2027-01-04T23:59:59.5Z,1\n2027-01-05T00:00:01Z,2\n", Options{}, []float64{0, 1.5}, []float64{1, 2}},
		{"dates with a zone and a blank", "timestamp,pressure\n2027-03-28 01:59:59+01:00,1\n2027-03-28 03:00:00+02:00,2\n", Options{}, []float64{0, 1}, []float64{1, 2}},
		{"day first", "time;bar\n28.02.2028 23:59:59;1\n29.02.2028 00:00:00;2\n", Options{}, []float64{0, 1}, []float64{1, 2}},
		{"date in a column of its own", "Date,Time,Pressure\n2027-01-04,23:59:59,1\n2027-01-05,00:00:01,2\n", Options{}, []float64{0, 2}, []float64{1, 2}},
		{"a clock past midnight", "time,bar\n23:59:59.5,1\n00:00:00.5,2\n", Options{}, []float64{0, 1}, []float64{1, 2}},
		{"milliseconds since 1970", "timestamp,bar\n1798761600000,1\n1798761600250,2\n", Options{}, []float64{0, 0.25}, []float64{1, 2}},
		{"missing values", "time,bar,x\n0,1,\n1,,\n2,NaN,\n3,n/a,\n4,5,\n", Options{}, []float64{0, 4}, []float64{1, 5}},
		{"stamps in whole seconds", "time,bar\n0,1\n0,2\n0,3\n0,4\n1,5\n1,6\n", Options{}, []float64{0, 0.25, 0.5, 0.75, 1, 1.5}, []float64{1, 2, 3, 4, 5, 6}},
		{"named columns", "a,b,c\n1,2,3\n2,3,4\n", Options{Time: "A", Pressure: "c"}, []float64{1, 2}, []float64{3, 4}},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.o.File = "log.csv"
			l, err := Read(t.Context(), strings.NewReader(c.text), c.o)
			if err != nil {
				t.Fatal(err)
			}
			for _, pair := range [][2][]float64{{l.TimeS, c.times}, {l.PressureBar, c.bar}} {
				if len(pair[0]) != len(pair[1]) {
					t.Fatalf("%v, want %v", pair[0], pair[1])
				}
				for i := range pair[0] {
					if math.Abs(pair[0][i]-pair[1][i]) > 1e-9 {
						t.Errorf("%v, want %v", pair[0], pair[1])
						break
					}
				}
			}
		})
	}
}

func TestMistakes(t *testing.T) {
	for _, c := range []struct {
		name, text string
		o          Options
		want       string
	}{
		{"empty", "", Options{}, "log.csv: the file is empty; expected a CSV file with a header and one reading a line"},
		{"header alone", "time,bar\n", Options{}, "log.csv:1: the file ends with its header; expected one reading a line beneath it"},
		{"no header", "0,1\n1,2\n", Options{}, "log.csv: no header with a column of times and one of pressures"},
		{"no pressure", "time,temperature\n0,1\n", Options{}, "log.csv:1: no column of pressures among time, temperature"},
		{"no time", "pressure,temperature\n0,1\n", Options{}, "log.csv:1: no column of times among pressure, temperature"},
		{"no such column", "time,bar\n0,1\n", Options{Pressure: "p2"}, `log.csv:1: no column "p2"; expected one of time, bar`},
		{"no such event column", "time,bar\n0,1\n", Options{Event: "e"}, `log.csv:1: no column "e"; expected`},
		{"text in a number", "time,bar\n0,1\n1,fifty\n", Options{}, `log.csv:3: column bar: "fifty" is no number; expected a pressure in bar, or an empty cell`},
		{"text in a time", "time,bar\n0,1\nsoon,2\n", Options{}, `log.csv:3: column time: "soon" is no time like the ones above`},
		{"backwards", "time,bar\n0,1\n2,1\n1.5,2\n", Options{}, `log.csv:4: column time: the clock runs backwards: "1.5" is 0.5 s before the row above`},
		{"unit", "time,bar\n0,1\n", Options{Unit: "furlong"}, `log.csv: "furlong" is no unit of pressure; expected bar, psi, kPa or MPa`},
		{"no pressure of a unit", "time,bar\n0,2000000\n", Options{}, `is no pressure of a hydraulic unit`},
		{"not text", "time,bar\x00\n", Options{}, "log.csv:1: this is not plain text in UTF-8"},
		{"spreadsheet", "PK\x03\x04\x00\x00time,bar\n", Options{}, "log.csv: this is no CSV but a spreadsheet's own file (XLSX, ODS) or another ZIP archive; expected a CSV file"},
		{"sound", "RIFF\x24\x00\x00\x00WAVEfmt ,time,bar\n1,2,3\n", Options{}, "log.csv: this is no CSV but a WAV sound file"},
		{"picture", "\x89PNG\r\n\x1a\ntime,bar\n0,1\n", Options{}, "log.csv: this is no CSV but a PNG picture"},
		{"infinite", "time,bar\n0,inf\n", Options{}, `log.csv:2: column bar: "inf" is no number`},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.o.File = "log.csv"
			_, err := Read(t.Context(), strings.NewReader(c.text), c.o)
			var wrong *Error
			if !errors.As(err, &wrong) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v; want %s", err, c.want)
			}
		})
	}
}

// TestUnitNotNamed: a log whose readings do not look like bar is not guessed at; one
// that names its unit, that is in bar by its size, or that may be a drained unit
// read to whole bar, is read. Invented readings.
func TestUnitNotNamed(t *testing.T) {
	for _, c := range []struct {
		name, header, unit string
		low, high, step    float64
		want               string
	}{
		{"gear unit in psi", "pressure", "", 580, 730, 1, "too high for bar; expected the unit in the header, as in pressure_psi"},
		{"the same, named", "pressure_psi", "", 580, 730, 1, ""},
		{"the same, given", "pressure", "psi", 580, 730, 1, ""},
		{"gear unit in kPa", "pressure", "", 4000, 5000, 100, "too high for bar"},
		{"gear unit in MPa", "pressure", "", 4, 5, 0.1, "too low for bar; expected the unit in the header, as in pressure_MPa"},
		{"brake unit in MPa", "pressure", "", 14, 18, 0.1, "too low for bar"},
		{"the same, given", "pressure", "bar", 14, 18, 0.1, ""},
		{"gear unit in bar", "pressure", "", 40, 50, 0.1, ""},
		{"brake unit in bar", "pressure", "", 140, 180, 0.5, ""},
		{"a pump that makes no pressure", "pressure", "", 0, 12, 1, ""},
		{"drained", "pressure", "", 0, 0.4, 0.1, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var text strings.Builder
			text.WriteString("time_s," + c.header + "\n")
			for i, p := 0, c.low; i < 100; i, p = i+1, p+c.step {
				if p > c.high {
					p = c.low
				}
				fmt.Fprintf(&text, "%d,%.1f\n", i, p)
			}
			_, err := Read(t.Context(), strings.NewReader(text.String()), Options{File: "log.csv", Unit: c.unit})
			if c.want == "" {
				if err != nil {
					t.Error(err)
				}
				return
			}
			var wrong *Error
			if !errors.As(err, &wrong) || !strings.Contains(err.Error(), c.want) || !slices.Contains(wrong.Mends, SettingUnit) {
				t.Errorf("%v; want %s", err, c.want)
			}
		})
	}
}

func TestMarks(t *testing.T) {
	l, err := Read(t.Context(), strings.NewReader("time,bar,event\n0,1,\n1,1,pump on\n2,1,pump on\n3,1,\n4,1,shift\n5,1,\n6,1,shift\n"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(l.Marks); got != "[{1 pump on 3} {4 shift 6} {6 shift 8}]" {
		t.Error(got)
	}
	l, err = Read(t.Context(), strings.NewReader("date;bar;pump relay\n2027-01-04 10:00:00;1;0\n2027-01-04 10:00:01;1;1\n2027-01-04 10:00:02;1;1\n2027-01-04 10:00:03;1;0\n"), Options{})
	if got := fmt.Sprint(l.Marks); err != nil || got != "[{0 pump off 2} {1 pump on 3} {3 pump off 5}]" {
		t.Error(got, err)
	}
	for text, want := range map[string]Kind{"pump on": PumpOn, "Pump started": PumpOn, "PUMP_OFF": PumpOff, "motor stop": PumpOff, "1st gear": Operated, "Upshift": Operated, "brake pedal": Operated} {
		if got, ok := KindOf(text); !ok || got != want {
			t.Errorf("%q: %v, %v", text, got, ok)
		}
	}
	if _, ok := KindOf("door shut"); ok {
		t.Error("a door is nothing of the unit")
	}
}

func TestRuns(t *testing.T) {
	runs, err := ReadRuns(strings.NewReader("pump_on_s;pump_off_s\n5,0;17,5\n255.9;259\n630;\n"), "runs.csv")
	if err != nil || fmt.Sprint(runs) != "[{5 17.5} {255.9 259}]" {
		t.Error(runs, err)
	}
	for text, want := range map[string]string{
		"":                                   "the file is empty",
		"fLaC\x00pump_on_s,pump_off_s":       "this is no CSV but a FLAC sound file",
		"a,b\n1,2\n":                         "no columns pump_on_s and pump_off_s",
		"pump_on_s,pump_off_s\n1,x\n":        `runs.csv:2: column pump_off_s: "x" is no number`,
		"pump_on_s,pump_off_s\n5,4\n":        "4 is not after pump_on_s (5)",
		"pump_on_s,pump_off_s\n1,4\n\n3,5\n": "runs.csv:4: column pump_on_s: 3 is before the run above ends (4)",
		"pump_on_s,pump_off_s\n1e99,1e100\n": "is no number",
		"pump_on_s,pump_off_s\n,4\n":         `column pump_on_s: "" is no number`,
		"pump_on_s,pump_off_s\n1,\n5,6\n":    "runs.csv:3: column pump_off_s: a run follows one that has no end",
	} {
		if _, err := ReadRuns(strings.NewReader(text), "runs.csv"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// TestStandards holds units, quoting and dates against their standards.
func TestStandards(t *testing.T) {
	cell := func(line string) string { return string(splitLine([]byte(line), ',', nil)[1]) }
	outside.CheckText(t, []outside.TextCase{
		{Source: "RFC_4180", Where: "section 2", What: "doubled quote", Got: cell(`"aaa","b""bb","ccc"`), Want: `b"bb`},
		{Source: "RFC_4180", Where: "section 2", What: "comma within quotes", Got: cell(`x,"b,b",ccc`), Want: `b,b`},
	})
	seconds := func(text string) float64 { v, _ := calendarSeconds([]byte(text)); return v }
	outside.Check(t, []outside.Case{
		{Source: "YARD_1959", Where: "psi", What: "1 psi in Pa", Got: barsIn["psi"] * 1e5, Want: 0.45359237 * 9.80665 / (0.0254 * 0.0254), Tolerance: 1e-9, Why: "floating point"},
		{Source: "SI_BROCHURE_9", Where: "bar", What: "1 MPa in bar", Got: barsIn["MPa"], Want: 10, Tolerance: 0, Why: "exact"},
		{Source: "SI_BROCHURE_9", Where: "bar", What: "1 kPa in bar", Got: barsIn["kPa"], Want: 0.01, Tolerance: 0, Why: "exact"},
		{Source: "ISO_2533", Where: "sea level", What: "atmosphere, bar", Got: atmosphereBar, Want: 1.01325, Tolerance: 0, Why: "by definition"},
		{Source: "ISO_8601", Where: "date and time", What: "a leap day passed", Got: seconds("2028-03-01T00:00:00Z") - seconds("2028-02-28T00:00:00Z"), Want: 172800, Tolerance: 0, Why: "exact"},
		{Source: "ISO_8601", Where: "date and time", What: "offset from UTC", Got: seconds("2027-01-04T10:00:00+02:00") - seconds("2027-01-04T08:00:00Z"), Want: 0, Tolerance: 0, Why: "exact"},
		{Source: "ISO_8601", Where: "date and time", What: "seconds of a day known to every machine", Got: seconds("2001-09-09T01:46:40Z"), Want: 1e9, Tolerance: 0, Why: "exact"},
	})
}

// TestRoundTrip: what is written in any dialect is read back.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		separator := rapid.SampledFrom([]string{",", ";", "\t", "|"}).Draw(t, "separator")
		comma := separator != "," && rapid.Bool().Draw(t, "comma")
		values := rapid.SliceOfN(rapid.Float64Range(-1, 300), 1, 30).Draw(t, "values")
		show := func(v float64) string {
			text := fmt.Sprintf("%.4f", v)
			if comma {
				text = strings.Replace(text, ".", ",", 1)
			}
			return text
		}
		var b strings.Builder
		fmt.Fprintf(&b, "time%spressure\n", separator)
		for i, v := range values {
			fmt.Fprintf(&b, "%s%s%s\n", show(0.3*float64(i)), separator, show(v))
		}
		l, err := Read(t.Context(), strings.NewReader(b.String()), Options{Unit: "bar"})
		if err != nil {
			t.Fatal(err)
		}
		for i, v := range values {
			if math.Abs(l.PressureBar[i]-v) > 6e-5 || math.Abs(l.TimeS[i]-0.3*float64(i)) > 6e-5 || int(l.Line[i]) != i+2 {
				t.Fatalf("row %d: %g s %g bar of line %d, wrote %g", i, l.TimeS[i], l.PressureBar[i], l.Line[i], v)
			}
		}
	})
}

// lines gives the same line for ever; after tells after how many bytes to stop.
type lines struct {
	header, line string
	given        int
	after        func(given int)
}

func (l *lines) Read(p []byte) (int, error) {
	n := copy(p, l.header)
	l.header = l.header[n:]
	for n+len(l.line) <= len(p) {
		n += copy(p[n:], l.line)
	}
	l.given += n
	if l.after != nil {
		l.after(l.given)
	}
	return n, nil
}

// TestTooLong: an endless log ends in a mistake, at a bounded length.
func TestTooLong(t *testing.T) {
	_, err := Read(t.Context(), &lines{header: "time,bar\n", line: "1,40\n"}, Options{File: "log.csv"})
	if want := "log.csv:6048002: the log is longer than 6048000 readings, a week at ten a second; expected a part of it"; err == nil || !strings.HasPrefix(err.Error(), want) {
		t.Errorf("%v, want %s", err, want)
	}
}

// TestNobodyWaits: soon after the context ends nothing more is read.
func TestNobodyWaits(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	at := 0
	from := &lines{header: "time,bar\n", line: "1,40\n", after: func(given int) {
		if given > 1<<20 && at == 0 {
			at = given
			stop()
		}
	}}
	var wrong *Error
	if _, err := Read(ctx, from, Options{}); !errors.Is(err, context.Canceled) || errors.As(err, &wrong) || from.given-at > 1<<18 {
		t.Errorf("%v, %d bytes read on", err, from.given-at)
	}
}

// FuzzRead: whatever the bytes, a log with rising times or one mistake.
func FuzzRead(f *testing.F) {
	for _, text := range []string{
		"time_s,pressure_bar\n0,0\n0.5,26\n", "Zeit;Druck\n0,5;26,25\n", "timestamp,psi,event\n2027-01-04T23:59:59.5Z,1,\"a \"\"b\"\n",
		"time,bar\n23:59:59,1\n00:00:01,\n00:00:01,3\n", "pump_on_s,pump_off_s\n1,2\n", "Date,Time,P\n1/2/27,1:2,3\n", "t|p\n|kPa\n1e3|2\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var wrong *Error
		if _, err := ReadRuns(strings.NewReader(text), "f"); err != nil && !errors.As(err, &wrong) {
			t.Fatal(err)
		}
		l, err := Read(t.Context(), strings.NewReader(text), Options{File: "f"})
		if err != nil {
			if !errors.As(err, &wrong) || wrong.Problem == "" || wrong.Expected == "" {
				t.Fatal(err)
			}
			return
		}
		for i := range l.TimeS {
			if math.IsNaN(l.TimeS[i]) || math.IsNaN(l.PressureBar[i]) || i > 0 && l.TimeS[i] < l.TimeS[i-1] {
				t.Fatalf("row %d: %v s, %v bar", i, l.TimeS[i], l.PressureBar[i])
			}
		}
	})
}

// BenchmarkRead is a million rows.
func BenchmarkRead(b *testing.B) {
	var text strings.Builder
	text.WriteString("time_s,pressure_bar\n")
	for i := range 1_000_000 {
		fmt.Fprintf(&text, "%d.%03d,%d\n", i/3, i%3*333, 40+i%10)
	}
	for b.Loop() {
		if _, err := Read(b.Context(), strings.NewReader(text.String()), Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
