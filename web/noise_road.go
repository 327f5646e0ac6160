package web

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strconv"

	"wreckwright/bench/noise"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// noiseRoadPage is a guided road test: its recordings, each tagged with a tap, and what
// they say together.
type noiseRoadPage struct {
	Frame
	Entry    benchForm // of keeping it
	Form     *Form     // of the next piece, and of the tyre
	Cautions []knowledge.Caution
	Before   []string
	Sheet    *rebuild.Sheet
	Settings workshop.NoiseSettings
	Said     *noiseRoadSaid // nil: nothing can be compared yet
	Wait     *waitPage
	Keeping  bool
	Most     int64
}

// noiseRoadLine is a road test that is being recorded.
type noiseRoadLine struct {
	*rebuild.Sheet
	Href  string
	Parts int
}

func noiseRoadLines(frame Frame, rb *rebuild.Rebuild) []noiseRoadLine {
	var list []noiseRoadLine
	for i := range rb.Sheets {
		sheet := &rb.Sheets[i]
		if sheet.Of != rebuild.InstrumentNoise {
			continue
		}
		line := noiseRoadLine{Sheet: sheet, Href: fmt.Sprintf("%s/bench/noise/road/%d", frame.Base(), sheet.ID)}
		if s, err := workshop.ReadDrive(sheet.Told); err == nil {
			line.Parts = len(s.Parts)
		}
		list = append(list, line)
	}
	return list
}

// Rate is what a browser turns a recording into.
func (noiseRoadPage) Rate() int { return noiseRate }

// Trouble says above a list of problems what did not come about.
func (p noiseRoadPage) Trouble() string {
	if p.Keeping {
		return "Not kept yet:"
	}
	return "Not entered:"
}

// At is the sheet's address.
func (p noiseRoadPage) At() string {
	return fmt.Sprintf("%s/bench/noise/road/%d", p.Base(), p.Sheet.ID)
}

// Tags are what the car did, with how many pieces there are of each.
func (p noiseRoadPage) Tags() []tagButton {
	var list []tagButton
	for _, o := range tagOptions() {
		b := tagButton{Option: o, Wanted: 1}
		if o.Value == string(noise.RoadWeaveLeft) || o.Value == string(noise.RoadWeaveRight) {
			b.Wanted = 3
		}
		for _, part := range p.Settings.Parts {
			if part.Tag == o.Value {
				b.Have++
			}
		}
		list = append(list, b)
	}
	return list
}

// tagButton is a tag to be tapped.
type tagButton struct {
	Option
	Have, Wanted int
}

// Places are where the phone may lie.
func (noiseRoadPage) Places() []Option { return cornerOptions("Its usual place") }

// TagWords and PlaceWords say a piece in words.
func (noiseRoadPage) TagWords(tag string) string { return tagWords(tag) }

// PlaceWords is where the phone lay.
func (noiseRoadPage) PlaceWords(place string) string { return workshop.PlaceWords(place) }

// Files are the recordings that were sent before, to cut more pieces out of.
func (p noiseRoadPage) Files() []Option {
	list := []Option{{"", "The file chosen above"}}
	for _, part := range p.Settings.Parts {
		if !slices.ContainsFunc(list, func(o Option) bool { return o.Value == part.File }) {
			list = append(list, Option{part.File, part.Name})
		}
	}
	return list
}

// Stretch says which piece of a recording it is; empty: all of it.
func (noiseRoadPage) Stretch(p workshop.NoisePart) string {
	switch {
	case p.ToS > 0:
		return trimNumber(p.FromS) + " to " + trimNumber(p.ToS) + " s"
	case p.FromS > 0:
		return "from " + trimNumber(p.FromS) + " s"
	}
	return ""
}

// noiseRoadBegin begins a road test's sheet.
func (s *Server) noiseRoadBegin(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	told := workshop.NoiseSettings{Speed: workshop.SpeedRoad}
	if last := lastNoise(rb); last != nil {
		told.Tyre, told.RollOutMm, told.RollTurns = last.Tyre, last.RollOutMm, last.RollTurns
	}
	sheet := rebuild.Sheet{Of: rebuild.InstrumentNoise, Title: "Road test by recording", JobID: f.whole("job", "the job"), Phase: rebuild.Phase(f.Value("phase")), Told: told.JSON()}
	err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddSheet(sheet) }, func(record store.Record) string {
		at := fmt.Sprintf("/r/%s/bench/noise", r.PathValue("rebuild"))
		if len(record.Edits) == 1 && record.Edits[0].After != nil {
			at += "/road/" + strconv.FormatInt(record.Edits[0].ID(), 10)
		}
		return at
	})
	if f.take(err) {
		return badRequest("%s", f.Problems[0].Text)
	}
	return err
}

func (s *Server) noiseRoadShow(w http.ResponseWriter, r *http.Request) error {
	page, err := s.noiseRoad(r, &Form{}, false)
	if err != nil {
		return err
	}
	if page.Wait != nil {
		return s.show(w, http.StatusAccepted, "bench_wait", page.Wait)
	}
	return s.show(w, http.StatusOK, "noise_road", page)
}

// noiseRoad is the page of the address, with what its pieces say where there are two;
// to the end where wait asks for that.
func (s *Server) noiseRoad(r *http.Request, f *Form, wait bool) (noiseRoadPage, error) {
	page := noiseRoadPage{Form: f, Cautions: noiseCautions(), Before: noise.RoadCautions(), Most: maxRecording}
	rb, err := s.rebuildOf(r)
	if err != nil {
		return page, err
	}
	if page.Sheet, err = sheetOf(r, rb, rebuild.InstrumentNoise); err != nil {
		return page, err
	}
	if page.Frame, err = s.frame(r, page.Sheet.Title, "bench", rb); err != nil {
		return page, err
	}
	if page.Settings, err = workshop.ReadDrive(page.Sheet.Told); err != nil {
		return page, err
	}
	page.preset(f)
	page.Entry = newBenchForm(rb, f)
	page.Entry.Hint = "Which road, wind, where the phone lay"
	if len(page.Settings.Parts) < 2 {
		return page, nil
	}
	heard, done, _, err := s.askDrive(r.Context(), page.Settings, wait)
	if err != nil {
		return page, f.takeWork(r, err)
	}
	if !done {
		page.Wait = &waitPage{
			Frame: page.Frame, Name: plural(len(page.Settings.Parts), "piece", "pieces"), Doing: "Listening",
			Action: fmt.Sprintf("/bench/noise/road/%d", page.Sheet.ID),
		}
		return page, nil
	}
	page.Said = s.newNoiseRoadSaid(rb, heard)
	return page, nil
}

// preset fills what was not typed: the tyre as it stands, the speed of the last
// piece, the job.
func (p *noiseRoadPage) preset(f *Form) {
	set := func(field, v string) {
		if f.Value(field) == "" && len(f.Problems) == 0 {
			f.Set(field, v)
		}
	}
	told := &Form{}
	told.setNoise(p.Settings)
	for _, field := range []string{"tyre", "roll_out_mm", "roll_turns"} {
		set(field, told.Value(field))
	}
	if n := len(p.Settings.Parts); n > 0 {
		last := p.Settings.Parts[n-1]
		set("part_kmh", trimNumber(last.SpeedKmh))
		set("place", last.Place)
	}
	if p.Sheet.JobID != 0 {
		set("job", strconv.FormatInt(p.Sheet.JobID, 10))
	}
	set("phase", string(p.Sheet.Phase))
}

// askDrive compares the pieces of a road test, or gives what was heard before.
func (s *Server) askDrive(ctx context.Context, settings workshop.NoiseSettings, wait bool) (workshop.Drive, bool, int64, error) {
	return s.drives.ask(ctx, settings.JSON(), wait, func(ctx context.Context, _ func(io.Reader) io.Reader) (workshop.Drive, error) {
		return s.workshop.DriveKept(ctx, settings)
	})
}

// noiseRoadSaid is what the pieces of a road test say together.
type noiseRoadSaid struct {
	workshop.Drive
	Cases []humCase
}

func (s *Server) newNoiseRoadSaid(rb *rebuild.Rebuild, heard workshop.Drive) *noiseRoadSaid {
	said := &noiseRoadSaid{Drive: heard}
	for _, k := range s.workshop.HumCases(rb) {
		if answers, ok := s.workshop.DriveSays(rb, k, heard.Road); ok {
			said.Cases = append(said.Cases, humCase{HumSaid: answers, Href: casePath(rb, k.ID)})
		}
	}
	return said
}

// TestWords names a comparison, CornerWords a corner.
func (noiseRoadSaid) TestWords(name string) string { return workshop.RoadTestWords(name) }

// CornerWords names a corner.
func (noiseRoadSaid) CornerWords(corner string) string { return capital(workshop.CornerWords(corner)) }

// TagWords names what the car did.
func (noiseRoadSaid) TagWords(tag noise.RoadTag) string { return tagWords(string(tag)) }
