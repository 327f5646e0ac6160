package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"wreckwright/bench/codes"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// codesPage is what a reader of the control units showed.
type codesPage struct {
	Frame
	Entry   benchForm
	Said    *codesSaid
	Places  []Option // where the inspection is
	Earlier []Option // records to hold it against
	Keeping bool
}

// Trouble says above a list of problems what did not come about.
func (p codesPage) Trouble() string {
	if p.Keeping {
		return "Not kept yet:"
	}
	return "That cannot be read yet:"
}

// codesSaid is what the text says, with what may be done about each code.
type codesSaid struct {
	*workshop.CodesRead
	Lines    []codeLine
	Evidence *rebuild.Evidence // nil: not kept yet
	Against  *rebuild.Evidence // the earlier record; nil: none
	Record   *codes.Record
	Trouble  string // why it cannot be held against the earlier one
}

// codeLine is one code.
type codeLine struct {
	codes.Code
	Change  string           // new, still there; empty: nothing to hold it against
	Finding *rebuild.Finding // that was made of it; nil: none
	Case    string           // address that opens a case on it
}

func (s *Server) codesShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f := presetBench(r, rb)
	f.Set("place", rb.Car.Jurisdiction)
	if rb.Car.Year > 0 {
		f.Set("model_year", strconv.Itoa(rb.Car.Year))
	}
	if last := lastRecord(rb, nil); last != nil {
		f.Set("against", strconv.FormatInt(last.ID, 10))
	}
	page, err := s.codesPage(r, rb, f)
	if err != nil {
		return err
	}
	return s.show(w, http.StatusOK, "codes", page)
}

func (s *Server) codesPage(r *http.Request, rb *rebuild.Rebuild, f *Form) (codesPage, error) {
	frame, err := s.frame(r, "Fault codes and live values", "bench", rb)
	page := codesPage{Frame: frame, Entry: newBenchForm(rb, f), Places: inspectionPlaces()}
	page.Entry.Hint = "Which reader, engine cold or warm, which lamps were on"
	for i := range slices.Backward(rb.Evidence) {
		if e := &rb.Evidence[i]; e.Instrument == rebuild.InstrumentCodes {
			page.Earlier = append(page.Earlier, Option{strconv.FormatInt(e.ID, 10), e.Title + ", " + day(e.On)})
		}
	}
	if len(page.Earlier) > 0 {
		page.Earlier = append([]Option{{"", "None"}}, page.Earlier...)
	}
	return page, err
}

// inspectionPlaces are the jurisdictions, and parts of them with rules of their own.
func inspectionPlaces() []Option {
	list := []Option{{"", "Not said"}}
	for _, j := range knowledge.Jurisdictions() {
		list = append(list, Option{j.Key, capital(j.Name)})
		for _, rule := range knowledge.ReadinessRules() {
			value := j.Key + "|" + rule.Region
			if rule.Jurisdiction == j.Key && rule.Region != "" && !slices.ContainsFunc(list, func(o Option) bool { return o.Value == value }) {
				list = append(list, Option{value, capital(j.Name) + ", " + rule.Region})
			}
		}
	}
	return list
}

// lastRecord is the latest record of codes before another, or of all.
func lastRecord(rb *rebuild.Rebuild, before *rebuild.Evidence) *rebuild.Evidence {
	var last *rebuild.Evidence
	for i := range rb.Evidence {
		e := &rb.Evidence[i]
		if e.Instrument != rebuild.InstrumentCodes || before != nil && cmp.Or(strings.Compare(e.On, before.On), cmp.Compare(e.ID, before.ID)) >= 0 {
			continue
		}
		last = later(last, e)
	}
	return last
}

// codesMeasure reads the text, and keeps it as a record where that is asked for.
func (s *Server) codesMeasure(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	page, err := s.codesPage(r, rb, f)
	if err != nil {
		return err
	}
	page.Keeping = f.Value("do") == "keep"
	settings := f.readPlace()
	if f.Value("text") == "" {
		f.problem("text", "paste or type what the reader shows")
	}
	if len(f.Problems) == 0 {
		said, err := workshop.ReadCodes(f.Value("text"), settings)
		if err == nil {
			page.Said = s.codesSaid(r, rb, &said, rb.EvidenceAt(f.whole("against", "the earlier record")))
		} else if !f.take(err) {
			return err
		}
	}
	if page.Said != nil && page.Keeping && len(f.Problems) == 0 {
		e := page.Said.CodesRead.Evidence(settings)
		f.evidenceOn(&e, "Fault codes", s.today())
		done, err := s.keepText(w, r, rb, f, e, f.Value("text")+"\n", workshop.CodesName)
		if err != nil || done {
			return err
		}
	}
	return s.show(w, statusOf(f), "codes", page)
}

// readPlace reads where the inspection is.
func (f *Form) readPlace() workshop.CodesSettings {
	jurisdiction, region, _ := strings.Cut(f.Value("place"), "|")
	s := workshop.CodesSettings{Jurisdiction: jurisdiction, Region: region, ModelYear: int(f.whole("model_year", "the model year"))}
	if !slices.ContainsFunc(inspectionPlaces(), func(o Option) bool { return o.Value == f.Value("place") }) {
		f.problem("place", "choose where the inspection is")
	}
	if s.ModelYear != 0 && (s.ModelYear < 1900 || s.ModelYear > 2100) {
		f.problem("model_year", "the model year %d cannot be", s.ModelYear)
	}
	return s
}

// codesSaid puts beside each code what became of it.
func (s *Server) codesSaid(r *http.Request, rb *rebuild.Rebuild, said *workshop.CodesRead, against *rebuild.Evidence) *codesSaid {
	out := &codesSaid{CodesRead: said}
	if against != nil && against.Instrument == rebuild.InstrumentCodes {
		out.Against = against
		if before, err := s.workshop.CodesOf(r.Context(), against); err != nil {
			out.Trouble = err.Error()
		} else {
			record := said.Against(before)
			out.Record = &record
		}
	}
	for _, c := range said.Codes {
		line := codeLine{Code: c, Finding: findingOf(rb, c), Case: caseOnCode(rb, c)}
		if out.Record != nil {
			line.Change = "still there"
			if slices.Contains(out.Record.New, c.String()) {
				line.Change = "new"
			}
		}
		out.Lines = append(out.Lines, line)
	}
	return out
}

// codeZones is where a code of a system is looked for first.
var codeZones = map[string]string{"powertrain": "engine-bay", "chassis": "electrics", "body": "electrics", "network": "electrics"}

// findingWords are the words of a finding that is made of a code.
func findingWords(c codes.Code) string { return c.String() + ": " + c.Meaning }

// findingOf is the finding that was made of a code.
func findingOf(rb *rebuild.Rebuild, c codes.Code) *rebuild.Finding {
	for i := range rb.Findings {
		f := &rb.Findings[i]
		if f.HowFound == rebuild.FaultCode && (f.What == c.String() || strings.HasPrefix(f.What, c.String()+":") || strings.HasPrefix(f.What, c.String()+" ")) {
			return f
		}
	}
	return nil
}

func caseOnCode(rb *rebuild.Rebuild, c codes.Code) string {
	title := c.String()
	if c.Group != "" {
		title += ", " + c.Group
	}
	q := url.Values{"title": {title}}
	if found := findingOf(rb, c); found != nil {
		q.Set("finding", strconv.FormatInt(found.ID, 10))
	}
	return "/r/" + strconv.FormatInt(rb.ID, 10) + "/cases/new?" + q.Encode()
}
