package workshop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"wreckwright/bench/codes"
	"wreckwright/rebuild"
)

// figureCodes is the name of the figure that counts the codes of a record.
const figureCodes = "Fault codes"

// CodesName is what the text of a reader is called when it is kept.
const CodesName = "codes.txt"

// CodesSettings is where the car goes to its inspection.
type CodesSettings struct {
	Jurisdiction string `json:"jurisdiction,omitempty"`
	Region       string `json:"region,omitempty"`
	ModelYear    int    `json:"model_year,omitempty"`
}

// JSON is how the settings are kept with a record.
func (s CodesSettings) JSON() string {
	text, err := json.Marshal(s)
	if err != nil || string(text) == "{}" {
		return ""
	}
	return string(text)
}

// ReadCodesSettings reads the settings of a record; false where they are of
// another instrument.
func ReadCodesSettings(e *rebuild.Evidence) (CodesSettings, bool) {
	var s CodesSettings
	if e.Instrument != rebuild.InstrumentCodes {
		return s, false
	}
	if e.Settings == "" {
		return s, true
	}
	return s, json.Unmarshal([]byte(e.Settings), &s) == nil
}

// CodesRead is what the text of a reader says, as it is kept.
type CodesRead struct {
	codes.Result
	Verdict rebuild.Verdict
	Why     string
	Figures []rebuild.EvidenceFigure
}

// ReadCodes reads what a reader showed. The verdict is whether the car is ready
// for the inspection of its emissions: a pass wants self-tests that will do, the
// lamp off and no code left, so that no record passes the work on a fault of
// which a code still stands. Codes alone cannot tell.
func ReadCodes(text string, s CodesSettings) (CodesRead, error) {
	r, err := codes.Read(text, codes.Place{Jurisdiction: s.Jurisdiction, Region: s.Region, ModelYear: s.ModelYear}, CodeTables())
	var wrong *codes.InputError
	if errors.As(err, &wrong) {
		return CodesRead{}, invalidAt("text", wrong.Error())
	}
	if err != nil {
		return CodesRead{}, err
	}
	out := CodesRead{Result: r}
	out.judge()
	out.figures()
	return out, nil
}

func (c *CodesRead) judge() {
	names := codeNames(c.Codes)
	stand := c.stand(names)
	counted := slices.ContainsFunc(c.Statuses, func(s codes.Status) bool { return s.Codes > 0 })
	switch {
	case c.Ready == nil:
		c.Verdict = rebuild.VerdictCannotTell
		c.Why = "the state of the self-tests was not read, so nobody can tell whether it is ready for an inspection; on record: " + stand
	case c.Result.Verdict == codes.Pass && (len(names) > 0 || counted):
		c.Verdict = rebuild.VerdictCannotTell
		c.Why = "the self-tests would do, but there is still something on record: " + stand + "; " + c.Ready.Why
	default:
		c.Verdict = rebuild.Verdict(c.Result.Verdict)
		c.Why = c.Ready.Why + "; on record: " + stand
	}
	c.Why = cutTo(c.Why, 3900)
}

// stand says which codes are on record, as far as that was asked for.
func (c *CodesRead) stand(names []string) string {
	said := "no fault code"
	switch {
	case len(names) > 0:
		said = countedCodes(len(names)) + " (" + strings.Join(names, ", ") + ")"
	case len(c.Answered) == 0:
		said = "no fault code was asked for"
	}
	for _, s := range c.Statuses {
		if s.Codes > len(names) {
			said += ", but the control unit counts " + countedCodes(s.Codes)
		}
	}
	return said
}

func countedCodes(n int) string {
	if n == 1 {
		return "1 fault code"
	}
	return fmt.Sprintf("%d fault codes", n)
}

func cutTo(text string, most int) string {
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}

func codeNames(list []codes.Code) []string {
	names := make([]string, len(list))
	for i, c := range list {
		names[i] = c.String()
	}
	return names
}

// mostValues is how many live values are kept as figures; all are in the text.
const mostValues = 80

func (c *CodesRead) figures() {
	if len(c.Answered) > 0 {
		c.Figures = []rebuild.EvidenceFigure{{Name: figureCodes, Value: float64(len(c.Codes))}}
	}
	if c.Ready != nil {
		c.Figures = append(c.Figures, rebuild.EvidenceFigure{Name: "Self-tests not complete", Value: float64(len(c.Ready.Incomplete))})
	}
	for _, a := range c.told() {
		if len(c.Figures) < mostValues {
			c.Figures = append(c.Figures, a.figure())
		}
	}
	for _, v := range c.Values {
		name := capitalFirst(v.Name)
		if v.From != "" {
			name += ", from " + v.From
		}
		if len(c.Figures) < mostValues && !slices.ContainsFunc(c.Figures, func(f rebuild.EvidenceFigure) bool { return f.Name == name }) {
			c.Figures = append(c.Figures, rebuild.EvidenceFigure{Name: name, Value: v.Value, Unit: v.Unit})
		}
	}
}

// Evidence is the record to be kept, all but its files and what it belongs to.
func (c CodesRead) Evidence(s CodesSettings) rebuild.Evidence {
	return rebuild.Evidence{
		Instrument: rebuild.InstrumentCodes, Title: "Fault codes", Verdict: c.Verdict, Why: c.Why,
		Figures: c.Figures, Engine: c.Engine, Settings: s.JSON(),
	}
}

// Against holds the codes against those of an earlier record.
func (c CodesRead) Against(before CodesRead) codes.Record {
	return codes.Compare(before.Codes, c.Codes)
}

// CodesOf reads a record anew from the text that was kept with it.
func (w *Workshop) CodesOf(ctx context.Context, e *rebuild.Evidence) (CodesRead, error) {
	s, ok := ReadCodesSettings(e)
	text, err := w.keptText(ctx, e, CodesName)
	if !ok || err != nil {
		return CodesRead{}, fmt.Errorf("the record %q cannot be read anew: %w", e.Title, errors.Join(err, notUnderstood(ok)))
	}
	return ReadCodes(text, s)
}

// CheckOf works a check out anew from the readings that were kept with it.
func (w *Workshop) CheckOf(ctx context.Context, e *rebuild.Evidence) (Checked, error) {
	s, ok := ReadCheckSettings(e)
	text, err := w.keptText(ctx, e, ReadingsName)
	if !ok || err != nil {
		return Checked{}, fmt.Errorf("the check %q cannot be worked out anew: %w", e.Title, errors.Join(err, notUnderstood(ok)))
	}
	return ExamineCheck(text, s)
}

func notUnderstood(ok bool) error {
	if ok {
		return nil
	}
	return errors.New("what it was told is not understood")
}

// keptText is the text of that name among the files of a measurement.
func (w *Workshop) keptText(ctx context.Context, e *rebuild.Evidence, name string) (string, error) {
	i := slices.IndexFunc(e.Raw, func(a rebuild.Attachment) bool { return a.Name == name })
	if i < 0 {
		return "", fmt.Errorf("no file %s hangs on it", name)
	}
	file, _, err := w.book.OpenFile(ctx, e.Raw[i].Hash)
	if err != nil {
		return "", err
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, codes.MostBytes+1))
	return string(text), err
}
