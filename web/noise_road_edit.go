package web

import (
	"cmp"
	"net/http"
	"slices"

	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// noiseRoadEdit adds a piece to a road test, takes one out, or says on what the wheels
// roll.
func (s *Server) noiseRoadEdit(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	if f.Value("stop") != "" {
		return s.noiseRoadStop(w, r)
	}
	var edit func(*workshop.NoiseSettings) error
	switch {
	case f.Value("out") != "":
		edit = f.pieceOut()
	case f.Value("do") == "tyre":
		edit = f.rollsOn()
	default:
		if edit, err = s.pieceIn(r, f); err != nil {
			return err
		}
	}
	if len(f.Problems) == 0 {
		err = s.changeDrive(w, r, edit)
		if !f.take(err) {
			return err
		}
	}
	page, err := s.noiseRoad(r, f, true)
	if err != nil {
		return err
	}
	return s.show(w, http.StatusUnprocessableEntity, "noise_road", page)
}

// changeDrive changes what the sheet holds now. A piece that is added goes behind
// whatever another phone added meanwhile.
func (s *Server) changeDrive(w http.ResponseWriter, r *http.Request, edit func(*workshop.NoiseSettings) error) error {
	id, err := pathNumber(r, "sheet")
	if err != nil {
		return err
	}
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		now := rb.Sheet(id)
		if now == nil || now.Of != rebuild.InstrumentNoise {
			return rebuild.Change{}, &rebuild.Missing{Kind: rebuild.KindSheet, ID: id}
		}
		sheet := *now
		told, err := workshop.ReadDrive(sheet.Told)
		if err != nil {
			return rebuild.Change{}, err
		}
		if err := edit(&told); err != nil {
			return rebuild.Change{}, err
		}
		sheet.Told = told.JSON()
		return rb.EditSheet(sheet)
	}, func(store.Record) string { return r.URL.Path })
}

// noiseRoadStop calls the listening back.
func (s *Server) noiseRoadStop(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	sheet, err := sheetOf(r, rb, rebuild.InstrumentNoise)
	if err != nil {
		return err
	}
	if told, err := workshop.ReadDrive(sheet.Told); err == nil {
		s.drives.stop(told.JSON())
	}
	return s.goOn(w, r, "/r/"+r.PathValue("rebuild")+"/bench/noise")
}

// pieceIn reads a piece: a file that is sent, or a stretch of one sent before.
func (s *Server) pieceIn(r *http.Request, f *Form) (func(*workshop.NoiseSettings) error, error) {
	part := workshop.NoisePart{
		Tag: f.Value("tag"), Place: f.Value("place"), SpeedKmh: f.number("part_kmh", "the speed"),
		FromS: f.number("from_s", "the beginning"), ToS: f.number("to_s", "the end"), File: f.Value("from_file"),
	}
	files, err := s.uploadsUpTo(r, f, "file", maxRecording)
	if err != nil {
		return nil, err
	}
	switch {
	case len(files) > 0:
		part.File, part.Name = files[0].Hash, files[0].Name
	case part.File == "" && len(f.Problems) == 0:
		f.problem("file", "choose the recording first, then tap what the car did")
	}
	if len(f.Problems) == 0 {
		f.take(workshop.CheckPart(part))
	}
	return func(told *workshop.NoiseSettings) error {
		if part.Name == "" {
			at := slices.IndexFunc(told.Parts, func(p workshop.NoisePart) bool { return p.File == part.File })
			if at < 0 {
				return invalid("file", "that recording is not on this road test: choose the file")
			}
			part.Name = told.Parts[at].Name
		}
		if len(told.Parts) >= workshop.MostNoiseParts {
			return invalid("file", "a road test holds 24 pieces at most: take one out first")
		}
		told.Parts = append(told.Parts, part)
		return nil
	}, nil
}

// pieceOut takes one piece out: the one that was seen, wherever it stands now.
func (f *Form) pieceOut() func(*workshop.NoiseSettings) error {
	place, seen := f.whole("out", "the piece"), f.Value("out_is")
	return func(told *workshop.NoiseSettings) error {
		at := int(place) - 1
		if at < 0 || at >= len(told.Parts) || pieceMark(told.Parts[at]) != seen {
			return invalid("file", "that piece has moved or is gone: look again")
		}
		told.Parts = slices.Delete(told.Parts, at, at+1)
		return nil
	}
}

// pieceMark tells one piece from another.
func pieceMark(p workshop.NoisePart) string {
	return p.File[:min(len(p.File), 12)] + "-" + p.Tag + "-" + trimNumber(p.FromS)
}

// Mark is that, for the form that takes a piece out.
func (noiseRoadPage) Mark(p workshop.NoisePart) string { return pieceMark(p) }

// rollsOn reads on what the wheels roll.
func (f *Form) rollsOn() func(*workshop.NoiseSettings) error {
	tyre, out, turns := f.Value("tyre"), f.number("roll_out_mm", "how far it rolls"), f.number("roll_turns", "the turns")
	return func(told *workshop.NoiseSettings) error {
		told.Tyre, told.RollOutMm, told.RollTurns = tyre, out, turns
		return told.CheckWheel()
	}
}

func invalid(field, text string) error {
	return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: field, Text: text}}}
}

// noiseRoadKeep keeps a road test as evidence; its sheet stays until it is deleted.
func (s *Server) noiseRoadKeep(w http.ResponseWriter, r *http.Request) error {
	f, err := readForm(r)
	if err != nil {
		return err
	}
	page, err := s.noiseRoad(r, f, true)
	if err != nil {
		return err
	}
	page.Keeping = true
	if page.Said == nil && len(f.Problems) == 0 {
		f.problem("file", "record two pieces at least: there is nothing to compare yet")
	}
	if page.Said != nil {
		e := page.Said.Evidence()
		title := e.Title
		f.readBelongs(&e)
		e.Title, e.On = cmp.Or(e.Title, title), cmp.Or(e.On, s.today())
		for _, p := range page.Settings.Parts {
			if slices.ContainsFunc(e.Raw, func(a rebuild.Attachment) bool { return a.Hash == p.File }) {
				continue
			}
			raw, err := s.rawFile(r, p.File, p.Name, "recording")
			if err != nil {
				return err
			}
			e.Raw = append(e.Raw, *raw)
		}
		if len(e.Settings) > 4000 {
			f.problem("file", "there are more pieces than one measurement can say: take some out")
		}
		if done, err := s.keepEvidence(w, r, f, e); err != nil || done {
			return err
		}
	}
	return s.show(w, http.StatusUnprocessableEntity, "noise_road", page)
}
