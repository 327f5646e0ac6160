package web

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// noiseKept is a recording, or a road test, on the page of its evidence.
type noiseKept struct {
	Sounds   []soundFile
	Pictures string // address of its pictures; empty: of a road test
	Against  string // address that holds it against the other side of the work
	Parts    []workshop.NoisePart
	Said     *noiseRoadSaid // of a road test; nil: not worked out yet
	Later    bool           // it is being worked out
}

// soundFile is a recording to be played.
type soundFile struct{ Name, Href, Tag string }

// TagWords names what the car did.
func (noiseKept) TagWords(tag string) string { return tagWords(tag) }

func soundOf(a rebuild.Attachment) soundFile {
	return soundFile{Name: a.Name, Href: "/files/" + a.Hash}
}

// showNoise fills the page of a kept recording. What takes seconds is not waited for:
// the pictures stand on a page of their own.
func (s *Server) showNoise(r *http.Request, rb *rebuild.Rebuild, page *evidencePage) {
	page.Cautions = noiseCautions()
	settings, ok := workshop.ReadNoiseSettings(page.Evidence)
	if !ok {
		page.Anew = "what the instrument was told cannot be read"
		return
	}
	kept := &noiseKept{Pictures: noiseAgain(page.Base(), page.Evidence), Parts: settings.Parts}
	page.Noise = kept
	for _, a := range page.Evidence.Raw {
		if strings.HasPrefix(a.MediaType, "audio/") || a.MediaType == "application/ogg" {
			kept.Sounds = append(kept.Sounds, soundOf(a))
		}
	}
	if c := page.Against; c != nil && kept.Pictures != "" {
		kept.Against = fmt.Sprintf("%s/bench/noise/compare?before=%d&after=%d", page.Base(), c.Before.ID, c.After.ID)
	}
	if len(settings.Parts) == 0 {
		return
	}
	said, done, _, err := s.askDrive(r.Context(), settings, false)
	switch {
	case err != nil:
		page.Anew = err.Error()
	case done:
		kept.Said = s.newNoiseRoadSaid(rb, said)
	default:
		kept.Later = true
	}
}

// noiseStep enters what a kept road test decides into the trail of a case.
func (s *Server) noiseStep(w http.ResponseWriter, r *http.Request) error {
	rb, e, err := s.evidenceOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	settings, ok := workshop.ReadNoiseSettings(e)
	if !ok || len(settings.Parts) == 0 {
		return notFound("That measurement is no road test.")
	}
	said, _, _, err := s.askDrive(r.Context(), settings, true)
	if err != nil {
		return err
	}
	id := f.whole("case", "the case")
	err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		at := slices.IndexFunc(rb.Cases, func(k rebuild.Case) bool { return k.ID == id })
		if at < 0 {
			return rebuild.Change{}, &rebuild.Missing{Kind: rebuild.KindCase, ID: id}
		}
		k, what, err := s.workshop.EnterDrive(rb, &rb.Cases[at], said.Road, f.Value("test"), e.ID, s.now())
		if err != nil {
			return rebuild.Change{}, err
		}
		c, err := rb.EditCase(k)
		c.What = what
		return c, err
	}, func(store.Record) string { return casePath(rb, id) })
	if f.take(err) {
		return s.evidenceForm(w, r, http.StatusUnprocessableEntity, rb, e, f)
	}
	return err
}
