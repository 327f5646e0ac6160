package workshop

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// ErrNotAgain is the error of a measurement that cannot be worked out again.
var ErrNotAgain = errors.New("it cannot be worked out again")

// byEarMark ends the name of the engine where the readings were heard in a
// recording.
const byEarMark = ", by ear"

// Again works out a measurement anew from its raw readings; open gives a file by
// its hash. [ErrNotAgain] says why that cannot be.
func Again(ctx context.Context, e *rebuild.Evidence, open func(hash string) (io.ReadCloser, error)) (buildfile.Result, error) {
	switch e.Instrument {
	case rebuild.InstrumentRecharge:
		return rechargedAgain(ctx, e, open)
	case rebuild.InstrumentCheck:
		s, ok := ReadCheckSettings(e)
		text, err := textAgain(e, ReadingsName, ok, open)
		if err != nil {
			return buildfile.Result{}, err
		}
		out, err := ExamineCheck(text, s)
		return resultAgain(out.Verdict, out.Why, out.Engine, out.Figures), err
	case rebuild.InstrumentCodes:
		s, ok := ReadCodesSettings(e)
		text, err := textAgain(e, CodesName, ok, open)
		if err != nil {
			return buildfile.Result{}, err
		}
		out, err := ReadCodes(text, s)
		return resultAgain(out.Verdict, out.Why, out.Engine, out.Figures), err
	case rebuild.InstrumentSurvey, rebuild.InstrumentQuickSurvey:
		text, err := textAgain(e, SurveyName, true, open)
		if err != nil {
			return buildfile.Result{}, err
		}
		out, err := ExamineSurvey(text)
		return resultAgain(out.Verdict, out.Why, out.Engine, out.Figures), err
	case rebuild.InstrumentAngles:
		s, ok := ReadAnglesSettings(e)
		text, err := textAgain(e, AnglesName, ok, open)
		if err != nil {
			return buildfile.Result{}, err
		}
		out, err := ExamineAngles(text, s)
		return resultAgain(out.Verdict, out.Why, out.Engine, out.Figures), err
	case rebuild.InstrumentNoise:
		return noisedAgain(ctx, e, open)
	}
	return buildfile.Result{}, fmt.Errorf("%w: this program does not know how to read %q anew", ErrNotAgain, e.Instrument)
}

func resultAgain(verdict rebuild.Verdict, why, engine string, figures []rebuild.EvidenceFigure) buildfile.Result {
	return buildfile.Result{Verdict: string(verdict), Why: why, Engine: engine, Figures: plainFigures(figures)}
}

// mostAgain bounds a text of readings that is taken into memory.
const mostAgain = 8 << 20

// textAgain is the text of that name among the raw readings.
func textAgain(e *rebuild.Evidence, name string, understood bool, open func(hash string) (io.ReadCloser, error)) (string, error) {
	i := slices.IndexFunc(e.Raw, func(a rebuild.Attachment) bool { return a.Name == name })
	switch {
	case !understood:
		return "", fmt.Errorf("%w: what the instrument was told cannot be read", ErrNotAgain)
	case i < 0:
		return "", fmt.Errorf("%w: no file %s hangs on it", ErrNotAgain, name)
	}
	content, err := open(e.Raw[i].Hash)
	if err != nil {
		return "", err
	}
	defer content.Close()
	text, err := io.ReadAll(io.LimitReader(content, mostAgain))
	return string(text), err
}

// rechargedAgain reads the times and pressures of a hydraulic power unit anew.
func rechargedAgain(ctx context.Context, e *rebuild.Evidence, open func(hash string) (io.ReadCloser, error)) (buildfile.Result, error) {
	if len(e.Raw) != 1 {
		return buildfile.Result{}, fmt.Errorf("%w: %d files of raw readings hang on it, where one is expected", ErrNotAgain, len(e.Raw))
	}
	settings, ok := ReadUnitSettings(e.Settings)
	if !ok {
		return buildfile.Result{}, fmt.Errorf("%w: what the instrument was told cannot be read", ErrNotAgain)
	}
	content, err := open(e.Raw[0].Hash)
	if err != nil {
		return buildfile.Result{}, err
	}
	defer content.Close()
	said, err := readAgain(ctx, e.Raw[0], content, settings)
	if err != nil {
		return buildfile.Result{}, err
	}
	return resultAgain(said.Verdict, said.Why, said.Engine, said.Figures), nil
}

// tapsName is what a list of taps is called when it is kept.
const tapsName = "taps.txt"

func readAgain(ctx context.Context, raw rebuild.Attachment, content io.Reader, s UnitSettings) (Recharged, error) {
	switch {
	case raw.Name == tapsName:
		list, err := io.ReadAll(io.LimitReader(content, mostAgain))
		if err != nil {
			return Recharged{}, err
		}
		taps, err := ReadTaps(string(list))
		if err != nil {
			return Recharged{}, err
		}
		return TimedPump(taps, s)
	case strings.HasPrefix(raw.MediaType, "text/"):
		return LoggedPump(ctx, content, raw.Name, s)
	}
	heard, err := HearPump(ctx, content, s)
	if err != nil {
		return Recharged{}, err
	}
	if heard.Said == nil {
		return Recharged{}, errors.New("no start of the pump is heard in the recording")
	}
	heard.Said.Engine += byEarMark
	return *heard.Said, nil
}

// KeptResult is what was kept with a measurement.
func KeptResult(e *rebuild.Evidence) buildfile.Result {
	return buildfile.Result{Verdict: string(e.Verdict), Why: e.Why, Engine: e.Engine, Figures: plainFigures(e.Figures)}
}

func plainFigures(list []rebuild.EvidenceFigure) []buildfile.Figure {
	figures := make([]buildfile.Figure, len(list))
	for i, f := range list {
		figures[i] = buildfile.Figure{Name: f.Name, Unit: f.Unit, Value: f.Value, Low: f.Low, High: f.High}
	}
	return figures
}
