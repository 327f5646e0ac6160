package workshop

import (
	"context"
	"fmt"
	"io"
	"slices"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// noisedAgain listens to a recording anew, or to all pieces of a road test.
func noisedAgain(ctx context.Context, e *rebuild.Evidence, open func(hash string) (io.ReadCloser, error)) (buildfile.Result, error) {
	s, ok := ReadNoiseSettings(e)
	if !ok {
		return buildfile.Result{}, fmt.Errorf("%w: what the instrument was told cannot be read", ErrNotAgain)
	}
	if len(s.Parts) > 0 {
		out, err := HearDrive(ctx, s, open)
		return resultAgain(out.Verdict, out.Why, out.Engine, out.Figures), err
	}
	out, err := noiseKept(ctx, e, s, open)
	return resultAgain(out.Verdict, out.Why, out.Engine, out.Figures), err
}

// noiseKept works out a recording that was kept.
func noiseKept(ctx context.Context, e *rebuild.Evidence, s NoiseSettings, open func(hash string) (io.ReadCloser, error)) (Noised, error) {
	raw, way := NoiseFiles(e, s)
	if raw == nil {
		return Noised{}, fmt.Errorf("%w: no recording hangs on it", ErrNotAgain)
	}
	sound, err := open(raw.Hash)
	if err != nil {
		return Noised{}, err
	}
	defer sound.Close()
	if way == nil {
		return ExamineNoise(ctx, sound, nil, s)
	}
	speeds, err := open(way.Hash)
	if err != nil {
		return Noised{}, err
	}
	defer speeds.Close()
	return ExamineNoise(ctx, sound, speeds, s)
}

// NoiseFiles are the recording and the file of speeds among the raw readings; nil
// where there is none.
func NoiseFiles(e *rebuild.Evidence, s NoiseSettings) (sound, way *rebuild.Attachment) {
	if i := slices.IndexFunc(e.Raw, func(a rebuild.Attachment) bool { return s.Speed == SpeedTrack && a.Name == s.TrackFile }); i >= 0 {
		way = &e.Raw[i]
	}
	for i := range e.Raw {
		if &e.Raw[i] != way {
			return &e.Raw[i], way
		}
	}
	return nil, way
}

// NoiseKept works out anew a recording that was kept.
func (w *Workshop) NoiseKept(ctx context.Context, e *rebuild.Evidence) (Noised, error) {
	s, ok := ReadNoiseSettings(e)
	if !ok || len(s.Parts) > 0 {
		return Noised{}, fmt.Errorf("the recording %q cannot be worked out anew", e.Title)
	}
	return noiseKept(ctx, e, s, func(hash string) (io.ReadCloser, error) {
		content, _, err := w.book.OpenFile(ctx, hash)
		return content, err
	})
}

// DriveKept hears a road test; open files are the book's.
func (w *Workshop) DriveKept(ctx context.Context, s NoiseSettings) (Drive, error) {
	return HearDrive(ctx, s, func(hash string) (io.ReadCloser, error) {
		content, _, err := w.book.OpenFile(ctx, hash)
		return content, err
	})
}
