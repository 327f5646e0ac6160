package faultmodel

import (
	"errors"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"wreckwright/diagnose"
)

// YAML writes the model in its canonical form: keys in one order, a line for
// each fault and for each row of chances. [Parse] reads the same model from it.
// The error says what of the model cannot stand in a file; a model that was
// parsed has none.
func (m Model) YAML() ([]byte, error) {
	if err := m.fits(); err != nil {
		return nil, err
	}
	c, w := m.Case, &writer{}
	w.texts("", pair{"title", m.Title}, pair{"zone", m.Zone}, pair{"symptom", c.Symptom}, pair{"asks", m.Asks})
	w.line("currency: " + quote(c.Currency))
	w.line("hour_value: " + figure(c.HourValue))
	w.line("several: " + strconv.Itoa(c.Several))
	w.texts("", pair{"basis", m.Basis}, pair{"stop", m.Stop})
	w.list("", "cautions", m.Cautions)
	m.writeFaults(w)
	m.writeTests(w)
	m.writeRepairs(w)
	if whole := c.ReplaceAll; whole != nil {
		w.line("replace_all: " + flow(append(nameOf(m.WholeName), "cost: "+figure(whole.Cost), "minutes: "+figure(whole.Minutes))))
	}
	m.writeEvidence(w)
	return []byte(w.String()), nil
}

// fits reports notes that do not belong to the parts of the case.
func (m Model) fits() error {
	c := m.Case
	if len(m.Faults) != len(c.Faults) || len(m.Tests) != len(c.Tests) || len(m.Repairs) != len(c.Repairs) {
		return errors.New("a fault model with notes for other parts than it has; expected one note for each fault, test and repair")
	}
	for _, t := range c.Tests {
		if len(t.Chance) != len(c.Faults) && len(t.Measured) != len(c.Faults) {
			return errors.New("the test " + t.ID + " has no row for some fault; expected one for each")
		}
	}
	for _, r := range c.Repairs {
		if len(r.Fixes) != len(c.Faults) {
			return errors.New("the repair " + r.ID + " does not say what it cures; expected a chance for each fault")
		}
	}
	return nil
}

func (m Model) writeFaults(w *writer) {
	if len(m.Case.Faults) > 0 {
		w.line("faults:")
	}
	for i, f := range m.Case.Faults {
		parts := append([]string{"id: " + quote(f.ID)}, nameOf(f.Name)...)
		parts = append(parts, "prior: "+figure(f.Prior))
		parts = append(parts, optional(pair{"shared", m.Faults[i].Shared}, pair{"basis", m.Faults[i].Basis})...)
		w.line("  - " + flow(parts))
	}
}

func (m Model) writeTests(w *writer) {
	if len(m.Case.Tests) > 0 {
		w.line("tests:")
	}
	for i, t := range m.Case.Tests {
		note := m.Tests[i]
		w.line("  - id: " + quote(t.ID))
		w.texts("    ", pair{"name", t.Name}, pair{"how", note.How})
		w.list("    ", "tools", note.Tools)
		w.list("    ", "cautions", note.Cautions)
		w.texts("    ", pair{"unit", note.Unit}, pair{"instrument", note.Instrument}, pair{"figure", note.Figure})
		w.line("    cost: " + figure(t.Cost))
		w.line("    minutes: " + figure(t.Minutes))
		if t.Repeatable {
			w.line("    repeatable: true")
		}
		m.writeTable(w, t)
		if t.Healthy != nil {
			w.line("    healthy: " + chances(t.Outcomes, t.Healthy))
		}
		if note.OutcomeNames != nil {
			w.line("    outcome_names: " + outcomeNames(t.Outcomes, note.OutcomeNames))
		}
		w.texts("    ", pair{"basis", note.Basis})
	}
}

// writeTable writes how a test comes out, a line for each fault.
func (m Model) writeTable(w *writer, t diagnose.Test) {
	if t.Measured == nil {
		w.line("    outcomes:")
		for f, row := range t.Chance {
			w.line("      " + quote(m.Case.Faults[f].ID) + ": " + chances(t.Outcomes, row))
		}
		return
	}
	w.line("    measured:")
	for f, d := range t.Measured {
		row := "{median: " + figure(d.Centre) + ", spread: " + figure(d.Spread) + "}"
		if d.Shape == diagnose.Normal {
			row = "{mean: " + figure(d.Centre) + ", sd: " + figure(d.Spread) + "}"
		}
		w.line("      " + quote(m.Case.Faults[f].ID) + ": " + row)
	}
}

func (m Model) writeRepairs(w *writer) {
	if len(m.Case.Repairs) > 0 {
		w.line("repairs:")
	}
	for i, r := range m.Case.Repairs {
		note := m.Repairs[i]
		w.line("  - id: " + quote(r.ID))
		w.texts("    ", pair{"name", r.Name}, pair{"how", note.How}, pair{"kind", note.Kind})
		w.list("    ", "cautions", note.Cautions)
		w.line("    cost: " + figure(r.Cost))
		w.line("    minutes: " + figure(r.Minutes))
		var cures []string
		for f, chance := range r.Fixes {
			if chance != 0 {
				cures = append(cures, quote(m.Case.Faults[f].ID)+": "+figure(chance))
			}
		}
		w.line("    fixes: " + flow(cures))
		w.texts("    ", pair{"basis", note.Basis})
	}
}

func (m Model) writeEvidence(w *writer) {
	if len(m.Case.Evidence) > 0 {
		w.line("evidence:")
	}
	for _, e := range m.Case.Evidence {
		var parts []string
		switch {
		case e.Test != "" && e.Value != nil:
			parts = []string{"test: " + quote(e.Test), "value: " + figure(*e.Value)}
			if e.ValueSD != 0 {
				parts = append(parts, "value_sd: "+figure(e.ValueSD))
			}
		case e.Test != "":
			parts = []string{"test: " + quote(e.Test), "outcome: " + quote(e.Outcome)}
		case e.Repair != "":
			parts = []string{"repair: " + quote(e.Repair), "cured: " + strconv.FormatBool(e.Cured)}
		default:
			parts = []string{"likelihood: " + chances(m.faultIDs(), e.Likelihood)}
		}
		w.line("  - " + flow(append(parts, optional(pair{"note", e.Note})...)))
	}
}

func (m Model) faultIDs() []string {
	ids := make([]string, 0, len(m.Case.Faults))
	for _, f := range m.Case.Faults {
		ids = append(ids, f.ID)
	}
	return ids
}

// writer collects lines.
type writer struct{ strings.Builder }

type pair struct{ key, text string }

func (w *writer) line(s string) { w.WriteString(s + "\n") }

// texts writes the pairs that have a text.
func (w *writer) texts(indent string, pairs ...pair) {
	for _, part := range optional(pairs...) {
		w.line(indent + part)
	}
}

func (w *writer) list(indent, key string, words []string) {
	if len(words) == 0 {
		return
	}
	quoted := make([]string, 0, len(words))
	for _, word := range words {
		quoted = append(quoted, quote(word))
	}
	w.line(indent + key + ": [" + strings.Join(quoted, ", ") + "]")
}

func optional(pairs ...pair) []string {
	var parts []string
	for _, p := range pairs {
		if p.text != "" {
			parts = append(parts, p.key+": "+quote(p.text))
		}
	}
	return parts
}

func nameOf(name string) []string { return optional(pair{"name", name}) }

func flow(parts []string) string { return "{" + strings.Join(parts, ", ") + "}" }

func chances(keys []string, values []float64) string {
	parts := make([]string, 0, len(keys))
	for i, key := range keys {
		parts = append(parts, quote(key)+": "+figure(values[i]))
	}
	return flow(parts)
}

func outcomeNames(keys, names []string) string {
	var pairs []string
	for i, key := range keys {
		if names[i] != "" {
			pairs = append(pairs, quote(key)+": "+quote(names[i]))
		}
	}
	return flow(pairs)
}

// figure is the shortest decimal that reads as the same number.
func figure(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// plain is a text that every reader of YAML takes for text without quotes, also
// within braces.
var plain = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_]*([ -][A-Za-z0-9_]+)*$`)

// taken are plain words that some readers of YAML take for something else.
var taken = []string{"true", "false", "null", "yes", "no", "on", "off", "y", "n", "nan", "inf", "infinity"}

// quote writes a text so that it is read as the same text.
func quote(s string) string {
	if plain.MatchString(s) && !slices.Contains(taken, strings.ToLower(s)) {
		return s
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
}
