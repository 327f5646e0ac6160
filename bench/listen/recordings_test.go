package listen

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"wreckwright/bench/recording"
)

// recordings is where the recordings with truth lie: simulated garages with real
// speech and music in them, made by others with code of their own.
func recordings(t *testing.T) string {
	t.Helper()
	folder := os.Getenv("WRECKWRIGHT_DATA")
	if folder == "" {
		folder = filepath.Join("..", "..", "..", "shared", "data")
	}
	folder = filepath.Join(folder, "pump-audio")
	if _, err := os.Stat(folder); errors.Is(err, os.ErrNotExist) {
		t.Skipf("SKIPPED: no recordings with truth in %s; set WRECKWRIGHT_DATA to the folder that holds pump-audio", folder)
	}
	return folder
}

// TestRecordingsWithTruth holds runs against the truth beside each recording and
// prints how far off they are.
func TestRecordingsWithTruth(t *testing.T) {
	folder := recordings(t)
	files, err := filepath.Glob(filepath.Join(folder, "*.flac"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no recordings in %s (%v)", folder, err)
	}
	for _, name := range files {
		want := truth(t, name[:len(name)-len(".flac")]+"_truth.csv")
		file, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		sound, err := recording.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Hear(t.Context(), sound, Options{})
		if err != nil {
			t.Fatal(err)
		}
		hold(t, filepath.Base(name), got, want)
	}
}

func truth(t *testing.T, name string) []stretch {
	t.Helper()
	file, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []stretch
	for _, row := range rows[1:] {
		if row[0] != "pump" {
			continue
		}
		on, errOn := strconv.ParseFloat(row[1], 64)
		off, errOff := strconv.ParseFloat(row[2], 64)
		if err := errors.Join(errOn, errOff); err != nil {
			t.Fatal(err)
		}
		out = append(out, stretch{on, off})
	}
	return out
}

// hold counts misses and false runs; none are allowed in these recordings.
func hold(t *testing.T, name string, got Result, want []stretch) {
	t.Helper()
	var on, off []float64
	used := map[int]bool{}
	for _, w := range want {
		for i, r := range got.Runs {
			if !used[i] && r.OnS < w.off && r.OffS > w.on {
				used[i] = true
				on, off = append(on, r.OnS-w.on), append(off, r.OffS-w.off)
				break
			}
		}
	}
	misses, wrong := len(want)-len(on), len(got.Runs)-len(used)
	t.Logf("%s: %d runs, %d missed, %d false; start %s; end %s", name, len(want), misses, wrong, spread(on), spread(off))
	if misses+wrong > 0 {
		t.Errorf("%s: %d missed, %d false", name, misses, wrong)
	}
	for i := range on {
		if math.Abs(on[i]) > 0.2 || math.Abs(off[i]) > 0.2 {
			t.Errorf("%s: run %d off by %+.3f s at its start, %+.3f s at its end", name, i+1, on[i], off[i])
		}
	}
}

func spread(off []float64) string {
	mean, square, most := 0.0, 0.0, 0.0
	for _, v := range off {
		mean, square, most = mean+v, square+v*v, max(most, math.Abs(v))
	}
	n := max(1, float64(len(off)))
	return fmt.Sprintf("mean %+.3f s, rms %.3f, most %.3f", mean/n, math.Sqrt(square/n), most)
}

// BenchmarkHear listens to 20 minutes of an invented recording of 44.1 kHz.
func BenchmarkHear(b *testing.B) {
	g := newGarage(44100, 1200, 1)
	g.room(0.002, 0.01)
	for at := 30.0; at < 1190; at += 95 {
		g.sounds(gear(54), at, at+6)
	}
	s := g.record()
	b.ReportAllocs()
	for b.Loop() {
		s.at = 0
		if r, err := Hear(b.Context(), s, Options{}); err != nil || len(r.Runs) != 13 {
			b.Fatal(err, len(r.Runs))
		}
	}
}

// TestRecordingsWithoutTheirPumps cuts every run out of the recordings: what is left,
// 20 minutes of real speech and music, has no pump.
func TestRecordingsWithoutTheirPumps(t *testing.T) {
	folder := recordings(t)
	files, err := filepath.Glob(filepath.Join(folder, "*.flac"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no recordings in %s (%v)", folder, err)
	}
	for _, name := range files {
		file, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		sound, err := recording.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		left := &without{Source: sound, runs: truth(t, name[:len(name)-len(".flac")]+"_truth.csv")}
		got, err := Hear(t.Context(), left, Options{})
		if err != nil || len(got.Runs) > 0 {
			t.Errorf("%s without its pump: %s, %v", filepath.Base(name), brief(got), err)
		}
	}
}

// without leaves stretches of a source out.
type without struct {
	Source
	runs []stretch
	at   int
}

func (w *without) Read(block []float32) (int, error) {
	n, err := w.Source.Read(block)
	kept := 0
	for _, v := range block[:n] {
		at := float64(w.at) / float64(w.SampleRate())
		w.at++
		if !slices.ContainsFunc(w.runs, func(r stretch) bool { return at > r.on-0.1 && at < r.off+0.3 }) {
			block[kept] = v
			kept++
		}
	}
	return kept, err
}
