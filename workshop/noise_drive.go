package workshop

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"wreckwright/bench/noise"
	"wreckwright/rebuild"
)

// Drive is a guided road test: pieces of recordings, each with what the car did.
type Drive struct {
	Settings NoiseSettings
	Road     noise.Road
	Corners  []CornerChance // nil: nothing is said of them
	Verdict  rebuild.Verdict
	Why      string
	Figures  []rebuild.EvidenceFigure
	Engine   string
}

// How much of a road test is taken.
const (
	MostNoiseParts = 24
	mostDriveS     = 900 // in all pieces, so that the memory holds them
)

// ReadDrive reads a road test as its measuring sheet keeps it.
func ReadDrive(told string) (NoiseSettings, error) {
	s := NoiseSettings{Speed: SpeedRoad}
	if told == "" {
		return s, nil
	}
	read, ok := ReadNoiseSettings(&rebuild.Evidence{Instrument: rebuild.InstrumentNoise, Settings: told})
	if !ok {
		return s, fmt.Errorf("the road test on this sheet cannot be read")
	}
	return read, nil
}

// PlaceWords is where the phone lay, in words.
func PlaceWords(place string) string {
	if place == "" {
		return "usual place"
	}
	return CornerWords(place)
}

// CheckPart says what of a piece cannot be.
func CheckPart(p NoisePart) error {
	switch {
	case !slices.Contains(noise.RoadTags, noise.RoadTag(p.Tag)):
		return invalidAt("tag", "tap what the car did while it was recorded")
	case p.Place != "" && !slices.Contains(noise.Corners, p.Place):
		return invalidAt("place", fmt.Sprintf("there is no corner %q", p.Place))
	case !(p.SpeedKmh > 0 && p.SpeedKmh <= 300):
		return invalidAt("part_kmh", "the speed of a piece must be above 0, at most 300 km/h")
	case p.FromS < 0 || p.ToS < 0 || p.ToS != 0 && p.ToS < p.FromS+2:
		return invalidAt("to_s", "a piece must be 2 s long at least")
	}
	return nil
}

// CheckWheel says what of the wheel cannot be.
func (s NoiseSettings) CheckWheel() error {
	_, err := s.radiusMm()
	return noiseMistake(err)
}

// HearDrive compares the pieces of a road test; open gives a recording by its
// hash. A mistake is [*rebuild.Invalid].
func HearDrive(ctx context.Context, s NoiseSettings, open func(hash string) (io.ReadCloser, error)) (Drive, error) {
	out := Drive{Settings: s, Verdict: rebuild.VerdictCannotTell, Engine: noiseEngine}
	radius, err := s.radiusMm()
	if err != nil {
		return out, noiseMistake(err)
	}
	parts, err := s.pieces(ctx, radius, open)
	if err != nil {
		return out, err
	}
	if out.Road, err = noise.HearRoad(ctx, parts); err != nil {
		return out, noiseMistake(err)
	}
	out.Corners = RoadCorners(out.Road)
	out.Figures = RoadFigures(out.Road)
	out.Why = driveWhy(out.Road)
	return out, nil
}

// pieces cuts the recordings. One that holds several pieces is read once.
func (s NoiseSettings) pieces(ctx context.Context, radiusMm float64, open func(hash string) (io.ReadCloser, error)) ([]noise.RoadPart, error) {
	type sound struct {
		samples []float32
		rate    int
	}
	read := map[string]sound{}
	var list []noise.RoadPart
	whole := 0.0
	for i, p := range s.Parts {
		if err := CheckPart(p); err != nil {
			return nil, err
		}
		heard, known := read[p.File]
		if !known {
			content, err := open(p.File)
			if err != nil {
				return nil, err
			}
			heard.samples, heard.rate, err = decode(ctx, content)
			content.Close()
			if err != nil {
				return nil, atPiece(i, p, noiseMistake(err))
			}
			read[p.File] = heard
			if whole += float64(len(heard.samples)) / float64(heard.rate); whole > mostDriveS {
				return nil, invalidAt("file", "the recordings are longer than 15 minutes together: cut them")
			}
		}
		from, to := int(p.FromS*float64(heard.rate)), len(heard.samples)
		if p.ToS > 0 {
			to = min(to, int(p.ToS*float64(heard.rate)))
		}
		if from >= to {
			return nil, atPiece(i, p, invalidAt("file", fmt.Sprintf("it begins at %s s and the recording is %.1f s long", plainNumber(p.FromS), float64(len(heard.samples))/float64(heard.rate))))
		}
		list = append(list, noise.RoadPart{
			Tag: noise.RoadTag(p.Tag), Place: p.Place, Samples: heard.samples[from:to], Rate: heard.rate, ShaftHz: noise.WheelHz(p.SpeedKmh, radiusMm),
		})
	}
	return list, nil
}

// atPiece names the piece that a mistake is in.
func atPiece(i int, p NoisePart, err error) error {
	wrong, ok := err.(*rebuild.Invalid)
	if !ok || len(wrong.Problems) == 0 {
		return err
	}
	return invalidAt("file", fmt.Sprintf("piece %d (%s, %s): %s", i+1, p.Tag, p.Name, wrong.Problems[0].Text))
}

// driveWhy is what the comparisons come to, in one text.
func driveWhy(road noise.Road) string {
	var said []string
	for _, t := range road.Tests {
		if t.Outcome != "" || len(t.Likely) > 0 {
			said = append(said, RoadTestWords(t.Name)+": "+t.Why)
		}
	}
	if len(said) == 0 {
		return "the pieces hold nothing to compare yet; it takes two of different kinds, such as weaves to both sides"
	}
	return "a road test points, it condemns no part; " + strings.Join(said, "; ")
}

// roadTestWords name the comparisons.
var roadTestWords = map[string]string{
	noise.TestWeave: "Weaving", noise.TestSurface: "Other surface", noise.TestNeutral: "In neutral",
	noise.TestTorque: "Pulling and foot off", noise.TestPlace: "Corner by corner",
}

// RoadTestWords is the name of a comparison.
func RoadTestWords(name string) string {
	if words, ok := roadTestWords[name]; ok {
		return words
	}
	return name
}

// Evidence is the measurement to be kept, all but its files and what it belongs to.
func (out Drive) Evidence() rebuild.Evidence {
	return rebuild.Evidence{
		Instrument: rebuild.InstrumentNoise, Title: "Road test by recording", Verdict: out.Verdict, Why: out.Why,
		Figures: out.Figures, Engine: out.Engine, Settings: out.Settings.JSON(),
	}
}

// Leading are the figures that a person looks at first.
func (out Drive) Leading() []rebuild.EvidenceFigure { return leadingNoise(out.Figures) }
