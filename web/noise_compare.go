package web

import (
	"fmt"
	"html/template"
	"net/http"
	"strconv"

	"wreckwright/chart"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// noiseCompared is two recordings held against each other: before and after the work.
type noiseCompared struct {
	Frame
	Before, After *rebuild.Evidence
	Job           *rebuild.Job
	Compared      *comparison
	Sounds        []soundFile
	Lines         template.HTML
	Problem       string
}

func (s *Server) noiseCompareShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Before and after, by ear", "bench", rb)
	if err != nil {
		return err
	}
	page := noiseCompared{Frame: frame}
	var heard [2]workshop.Noised
	for i, side := range []string{"before", "after"} {
		e, err := recordedAt(r, rb, side)
		if err != nil {
			return err
		}
		settings, _ := workshop.ReadNoiseSettings(e)
		sound, way := workshop.NoiseFiles(e, settings)
		if sound == nil {
			return notFound(fmt.Sprintf("No recording hangs on %q.", e.Title))
		}
		played := soundOf(*sound)
		if played.Tag = "Before the work"; i == 1 {
			played.Tag = "After the work"
		}
		page.Sounds = append(page.Sounds, played)
		if i == 0 {
			page.Before = e
		} else {
			page.After = e
		}
		out, done, read, err := s.askNoise(r.Context(), sound, way, settings, false)
		if err != nil {
			f := &Form{}
			if err := f.takeWork(r, err); err != nil {
				return err
			}
			page.Problem = e.Title + ": " + f.Problems[0].Text
			continue
		}
		if !done {
			wait := &waitPage{Frame: frame, Name: sound.Name, Doing: "Listening", Size: sound.Size, Read: read, Action: "/bench/noise", Along: noisePage{Entry: benchForm{Form: noiseFormOf(e, settings)}}.Along()}
			return s.show(w, http.StatusAccepted, "bench_wait", wait)
		}
		heard[i] = out.Noised
	}
	if page.Problem == "" {
		page.Lines = overlaid(heard[0], heard[1])
	}
	if page.Compared = compareOne(rb, page.After); page.Compared != nil && page.Compared.Before.ID != page.Before.ID {
		page.Compared = &comparison{Job: rb.Job(page.After.JobID), Before: page.Before, After: page.After}
		page.Compared.fill()
	}
	page.Job = rb.Job(page.After.JobID)
	return s.show(w, http.StatusOK, "noise_compare", page)
}

// recordedAt is the recording that the address names.
func recordedAt(r *http.Request, rb *rebuild.Rebuild, side string) (*rebuild.Evidence, error) {
	id, err := strconv.ParseInt(r.URL.Query().Get(side), 10, 64)
	if err != nil {
		return nil, notFound("Say which two recordings are to be held against each other.")
	}
	e := rb.EvidenceAt(id)
	if e == nil {
		return nil, &rebuild.Missing{Kind: rebuild.KindEvidence, ID: id}
	}
	if s, ok := workshop.ReadNoiseSettings(e); !ok || len(s.Parts) > 0 {
		return nil, notFound(fmt.Sprintf("%q is not one recording.", e.Title))
	}
	return e, nil
}

// overlaid are both spectra over the turns of the shaft, so that another speed moves
// no line.
func overlaid(before, after workshop.Noised) template.HTML {
	lines := ringLinesOf(after)
	lines.Head = chart.Head{ID: "noise-before-after", Title: "Spectra of the envelope, before and after"}
	lines.Main.Name = "after the work"
	lines.Before = chart.SpectrumCurve{Name: "before the work", Step: before.Spectrum.StepOrder, OverDB: before.Spectrum.OverDB}
	if was := ringLinesOf(before); len(lines.Lanes) == 0 || heardLines(was) > heardLines(lines) {
		lines.Lanes = was.Lanes
		for i := range lines.Lanes {
			lines.Lanes[i].Name += ", before"
		}
	}
	lines.Top = max(lines.Top, before.Spectrum.TopOrder)
	return chart.NewLineSpectrum(lines).HTML()
}

func heardLines(s chart.LineSpectrum) int {
	n := 0
	for _, lane := range s.Lanes {
		for _, l := range lane.Lines {
			if l.Found {
				n++
			}
		}
	}
	return n
}
