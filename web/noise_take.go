package web

import (
	"cmp"
	"errors"
	"fmt"
	"mime/multipart"
	"net/http"

	"wreckwright/bench/noise/track"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// noiseTake keeps the files that are sent and goes on to what is heard in them.
func (s *Server) noiseTake(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	if f.Value("stop") != "" {
		return s.noiseStop(w, r, f)
	}
	files, err := s.uploadsUpTo(r, f, "file", maxRecording)
	if err != nil {
		return err
	}
	if len(files) > 0 {
		f.Set("recording", files[0].Hash)
		f.Set("name", files[0].Name)
	} else if f.Value("recording") == "" && len(f.Problems) == 0 {
		f.problem("file", "choose the recording: a quarter of a minute at one speed, or a run-up with a file of speeds")
	}
	if err := s.takeWay(r, f); err != nil {
		return err
	}
	if len(f.Problems) == 0 {
		return s.goOn(w, r, noiseAddress("/r/"+r.PathValue("rebuild"), f))
	}
	problems := f.Problems
	f.Problems = nil
	kept := f.Value("recording")
	f.Set("recording", "") // what is wrong comes first
	page, err := s.noise(r, rb, f, true)
	if err != nil {
		return err
	}
	f.Set("recording", kept)
	f.Problems = append(problems, f.Problems...)
	if kept != "" {
		if page.Recording, err = s.rawFile(r, kept, f.Value("name"), "recording"); err != nil {
			return err
		}
	}
	return s.show(w, http.StatusUnprocessableEntity, "noise", page)
}

// noiseStop calls the listening back.
func (s *Server) noiseStop(w http.ResponseWriter, r *http.Request, f *Form) error {
	sound := &rebuild.Attachment{Hash: f.Value("recording")}
	var way *rebuild.Attachment
	if hash := f.Value("way"); hash != "" {
		way = &rebuild.Attachment{Hash: hash}
	}
	s.noises.stop(noiseKey(sound, way, f.readNoise()))
	return s.goOn(w, r, "/r/"+r.PathValue("rebuild")+"/bench/noise"+jobQuery(f))
}

// takeWay keeps the file of speeds, where one is sent that can be read.
func (s *Server) takeWay(r *http.Request, f *Form) error {
	if r.MultipartForm == nil {
		return nil
	}
	for _, header := range r.MultipartForm.File["track"] {
		if header.Filename == "" {
			continue
		}
		var wrong *track.Error
		err := readable(header)
		switch {
		case errors.As(err, &wrong):
			f.problem("track", "the file %q: %v", header.Filename, wrong)
			return nil
		case err != nil:
			return err
		}
		kept, err := s.keepFile(r, header, track.LargestBytes)
		if err != nil {
			return fmt.Errorf("keeping %q: %w", header.Filename, err)
		}
		f.Set("way", kept.Hash)
		f.Set("way_name", kept.Name)
		f.Set("speed", workshop.SpeedTrack)
	}
	return nil
}

// readable reports what is wrong with a file of speeds.
func readable(header *multipart.FileHeader) error {
	file, err := header.Open()
	if err != nil {
		return err
	}
	defer file.Close()
	_, err = track.Read(file)
	return err
}

// noiseSave keeps what was heard as evidence.
func (s *Server) noiseSave(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	page, err := s.noise(r, rb, f, true)
	if err != nil {
		return err
	}
	page.Keeping = true
	switch {
	case page.Recording == nil:
		f.problem("file", "choose the recording first")
	case page.Heard != nil:
		e := page.Heard.Evidence()
		title := e.Title
		f.readBelongs(&e)
		e.Title, e.On = cmp.Or(e.Title, title), cmp.Or(e.On, s.today())
		e.Raw = []rebuild.Attachment{*page.Recording}
		if page.Way != nil && page.Heard.Settings.Speed == workshop.SpeedTrack {
			e.Raw = append(e.Raw, *page.Way)
		}
		if done, err := s.keepEvidence(w, r, f, e); err != nil || done {
			return err
		}
	}
	return s.show(w, http.StatusUnprocessableEntity, "noise", page)
}
