package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"

	"wreckwright/bench/noise"
	"wreckwright/bench/noise/track"
	"wreckwright/bench/recording"
	"wreckwright/casefile"
)

type noiseCommand struct {
	Recording string `arg:"" name:"recording" help:"Sound file: WAV, FLAC, MP3 or Ogg Vorbis, of a phone or an accelerometer."`

	RPM           *float64 `name:"rpm" placeholder:"N" xor:"speed" help:"Speed of the shaft or wheel, turns a minute."`
	SpeedKmh      *float64 `name:"speed-kmh" placeholder:"V" xor:"speed" help:"Road speed, with --rolling-radius-mm or --tyre."`
	Track         string   `name:"track" placeholder:"FILE" xor:"speed" help:"Speeds on the way, of a run-up or coast-down: CSV, GPX or NMEA, with --rolling-radius-mm or --tyre."`
	TrackStartS   *float64 `name:"track-start-s" placeholder:"S" help:"When the recording began, seconds after the track's first point; looked for where not given."`
	RollingRadius *float64 `name:"rolling-radius-mm" placeholder:"R" help:"Roll-out over some turns / (2 pi turns): surer than out of the tyre's size."`
	Tyre          string   `name:"tyre" placeholder:"SIZE" help:"Size of the tyre, such as 245/35R20: its rolling radius, and where tread and air in it are heard."`
	TreadBlocks   int      `name:"tread-blocks" placeholder:"N" help:"Blocks around the tread, counted; with --tyre. Not given: 60 to 80."`
	Bearing       string   `name:"bearing" placeholder:"n,d,D,angle" help:"Elements in a row, their diameter, pitch diameter, contact angle in degrees."`
	OuterTurns    bool     `name:"outer-turns" help:"The outer ring turns with the wheel."`
	Teeth         []int    `name:"teeth" placeholder:"Z" help:"Teeth of a gear on this shaft, such as the crown wheel's; several with commas."`
	AxleRatio     float64  `name:"axle-ratio" placeholder:"I" help:"Turns of the propeller shaft per turn of the wheel."`
	BlockS        float64  `name:"block-s" placeholder:"S" help:"Length of the blocks that are averaged, where the recording is joined from parts or the speed wavers."`
	JSON          bool     `name:"json" help:"Print one JSON object and nothing else."`
}

// Help stands beneath the command's help.
func (noiseCommand) Help() string {
	return "Before driving: check the hub for play with the wheel off the ground, the car on stands by its maker's procedure. A loose hub is not driven. " +
		"Record only on an empty, dry, straight road at moderate speed, with a helper holding the phone."
}

// Run listens to the recording and prints what makes the noise.
func (b noiseCommand) Run(ctx context.Context, out output) error {
	defer thrifty()()
	c, err := b.noiseCase()
	if err != nil {
		return b.inFile(err)
	}
	if err := b.read(ctx, &c); err != nil {
		return b.inFile(err)
	}
	if err := b.readTrack(ctx, &c); err != nil {
		return b.inFile(err)
	}
	result, err := noise.Examine(ctx, c)
	if err != nil {
		return b.inFile(err)
	}
	if b.JSON {
		return writeJSON(out.Result, result)
	}
	writeNoise(out.Result, result)
	return nil
}

// noiseCase reads the flags.
func (b noiseCommand) noiseCase() (noise.Case, error) {
	c := noise.Case{OuterTurns: b.OuterTurns, Teeth: b.Teeth, AxleRatio: b.AxleRatio, BlockS: b.BlockS, TreadBlocks: b.TreadBlocks}
	radius, err := b.radius(&c)
	if err != nil {
		return c, err
	}
	if c.ShaftHz, c.SpeedDoubt, err = b.speed(radius); err != nil {
		return c, err
	}
	if b.Bearing != "" {
		g, err := readGeometry(b.Bearing)
		if err != nil {
			return c, err
		}
		c.Bearing = &g
	}
	return c, nil
}

// radius is what the wheel rolls on, mm; 0: nothing was told of it.
func (b noiseCommand) radius(c *noise.Case) (float64, error) {
	radius := 0.0
	if b.Tyre != "" {
		t, err := noise.ParseTyre(b.Tyre)
		if err != nil {
			return 0, err
		}
		c.Tyre, radius = &t, t.RollingRadiusMm()
	} else if b.TreadBlocks != 0 {
		return 0, &noise.InputError{What: "tread", Problem: "blocks without a tyre", Expected: "--tyre beside --tread-blocks"}
	}
	if b.RollingRadius != nil {
		radius = *b.RollingRadius
		if !(radius >= 100 && radius <= 1000) {
			return 0, &noise.InputError{What: "rolling radius", Problem: fmt.Sprintf("%g mm", radius), Expected: "100 to 1000 mm"}
		}
	}
	return radius, nil
}

// speed gives the frequency of the shaft and how far it may be off.
func (b noiseCommand) speed(radius float64) (hz, doubt float64, err error) {
	switch {
	case b.RPM != nil:
		hz, doubt = *b.RPM/60, noise.TachoDoubt
	case b.SpeedKmh == nil && b.Track == "":
		return 0, 0, &noise.InputError{What: "shaft speed", Problem: "none given", Expected: "--rpm, or --speed-kmh or --track with --rolling-radius-mm or --tyre"}
	case radius == 0:
		return 0, 0, &noise.InputError{What: "rolling radius", Problem: "none given", Expected: "--rolling-radius-mm or --tyre beside --speed-kmh and --track"}
	case b.Track != "":
		return 0, noise.RoadDoubt, nil
	default:
		hz, doubt = noise.WheelHz(*b.SpeedKmh, radius), noise.RoadDoubt
	}
	if !(hz > 0) || math.IsInf(hz, 0) {
		said := fmt.Sprintf("%g turns a second", hz)
		if b.RPM != nil {
			said = fmt.Sprintf("%g rpm", *b.RPM)
		} else if b.SpeedKmh != nil {
			said = fmt.Sprintf("%g km/h", *b.SpeedKmh)
		}
		return 0, 0, &noise.InputError{What: "shaft speed", Problem: said, Expected: "a speed above 0"}
	}
	return hz, doubt, nil
}

// readTrack puts the speeds on the way into the case, laid beside the recording.
func (b noiseCommand) readTrack(ctx context.Context, c *noise.Case) error {
	if b.Track == "" {
		return nil
	}
	file, err := openReadings(b.Track)
	if err != nil {
		return err
	}
	defer file.Close()
	way, err := track.Read(file)
	var wrong *track.Error
	if errors.As(err, &wrong) {
		return &casefile.Error{File: b.Track, Line: wrong.Line, Problem: wrong.Problem, Expected: wrong.Expected}
	}
	if err != nil {
		return fmt.Errorf("%s: %w", b.Track, err)
	}
	radius, err := b.radius(c)
	if err != nil {
		return err
	}
	began := 0.0
	if b.TrackStartS != nil {
		began = *b.TrackStartS
	} else if began, err = beganAt(ctx, *c, way, radius); err != nil {
		return err
	}
	at, hz := way.Shaft(radius, began)
	c.Track = &noise.Track{AtS: at, ShaftHz: hz}
	return nil
}

// beganAt looks for when the recording began in the time of the track.
func beganAt(ctx context.Context, c noise.Case, way track.Track, radius float64) (float64, error) {
	at, hz := way.Shaft(radius, 0)
	c.Track = &noise.Track{AtS: at, ShaftHz: hz}
	found, err := noise.Began(ctx, c)
	if err == nil && !found.Clear {
		err = &noise.InputError{What: "speed track", Problem: found.Why, Expected: "--track-start-s, the seconds from the track's first point to the recording's beginning"}
	}
	return found.StartsS, err
}

// readGeometry reads n,d,D,angle.
func readGeometry(text string) (noise.Geometry, error) {
	bad := &noise.InputError{What: "bearing", Problem: strconv.Quote(text), Expected: "n,d,D,angle such as 14,12.7,60,36"}
	parts := strings.Split(text, ",")
	if len(parts) != 4 {
		return noise.Geometry{}, bad
	}
	n, err := strconv.Atoi(strings.TrimSpace(parts[0]))
	if err != nil {
		return noise.Geometry{}, bad
	}
	var v [3]float64
	for i := range v {
		if v[i], err = strconv.ParseFloat(strings.TrimSpace(parts[i+1]), 64); err != nil {
			return noise.Geometry{}, bad
		}
	}
	g := noise.Geometry{Elements: n, ElementDia: v[0], PitchDia: v[1], AngleDeg: v[2]}
	return g, g.Check()
}

// read decodes the recording into the case.
func (b noiseCommand) read(ctx context.Context, c *noise.Case) error {
	file, err := openReadings(b.Recording)
	if err != nil {
		return err
	}
	defer file.Close()
	sound, err := recording.Open(file)
	if err != nil {
		return err
	}
	c.Rate = sound.SampleRate()
	block := make([]float32, 1<<16)
	for {
		n, err := sound.Read(block)
		c.Samples = append(c.Samples, block[:n]...)
		switch {
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return err
		case ctx.Err() != nil:
			return ctx.Err()
		case len(c.Samples) > c.Rate*(noise.LongestS+1):
			return nil // too long, which the engine says
		}
	}
}

// inFile names the file of what is wrong.
func (b noiseCommand) inFile(err error) error {
	var wrong *recording.Error
	if errors.As(err, &wrong) {
		return listenCommand{Recording: b.Recording}.inFile(err)
	}
	var input *noise.InputError
	if errors.As(err, &input) {
		return &casefile.Error{File: b.Recording, Problem: input.What + ": " + input.Problem, Expected: input.Expected}
	}
	var done *casefile.Error
	if errors.As(err, &done) {
		return err
	}
	return fmt.Errorf("%s: %w", b.Recording, err)
}

func writeNoise(w io.Writer, r noise.Result) {
	fmt.Fprintf(w, "%s: %s\n\n", r.Verdict, r.Why)
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	stated := "stated"
	if r.Tracked {
		stated = "mean of the track"
	}
	fmt.Fprintf(table, "shaft, %s\t%.3f Hz\n", stated, r.ShaftHz)
	if r.HeardHz != nil {
		fmt.Fprintf(table, "shaft, heard\t%.3f Hz\n", *r.HeardHz)
	}
	for _, s := range []struct {
		name  string
		score float64
	}{
		{"outer race", r.Scores.OuterRace},
		{"inner race", r.Scores.InnerRace},
		{"rolling element", r.Scores.RollingElement},
		{"tyre", r.Scores.Tyre},
		{"driveline", r.Scores.Driveline},
	} {
		fmt.Fprintf(table, "%s\t%.2f of 1\n", s.name, s.score)
	}
	table.Flush()
	if len(r.Peaks) > 0 {
		fmt.Fprintln(w, "\nlines that stand out")
		table = tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
		fmt.Fprintln(table, "Hz\torder\tdB\tin\tsource\t")
		for _, p := range r.Peaks {
			fmt.Fprintf(table, "%.2f\t%.3f\t%.0f\t%s\t%s\t\n", p.Hz, p.Order, p.SNRdB, p.In, p.Source)
		}
		table.Flush()
	}
	writeList(w, "caution", r.Cautions)
	fmt.Fprintln(w, "\nworking")
	writeWorking(w, r.Working)
}
