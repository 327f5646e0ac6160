package faultmodel

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"wreckwright/casefile"
	"wreckwright/diagnose"
	"wreckwright/money/amount"
	"wreckwright/uncertain"
)

// What figures can be at all.
var (
	hourValueBounds = uncertain.Bounds{Min: 0, Max: 1e6}
	minutesBounds   = uncertain.Bounds{Min: 0, Max: 1e7}
	weightBounds    = uncertain.Bounds{Min: 0, Max: 1e12}
	readingBounds   = uncertain.Bounds{Min: -1e12, Max: 1e12}
	spreadBounds    = uncertain.Bounds{Min: 0, Max: 1e12}
)

// maxID is the longest ID, in characters.
const maxID = 80

// Read reads a fault model or case file. The error is a [*casefile.Error].
func Read(path string) (Model, error) {
	file, err := casefile.Read(path)
	if err != nil {
		return Model{}, err
	}
	return parse(file)
}

// Parse reads a fault model or case; name is used in messages. The error is a
// [*casefile.Error].
func Parse(name string, data []byte) (Model, error) {
	file, err := casefile.Parse(name, data)
	if err != nil {
		return Model{}, err
	}
	return parse(file)
}

func parse(file *casefile.File) (Model, error) {
	r := newReader(file)
	r.model()
	if err := file.Err(); err != nil {
		return Model{}, err
	}
	if r.m.Stop != "" && len(r.m.Case.Faults) == 0 {
		return r.m, nil
	}
	if err := r.m.Case.Check(); err != nil {
		return Model{}, r.locate(err)
	}
	return r.m, nil
}

// Locate turns a mistake of the engine, or one about a [Word], into one with
// file and line. The data are those that the model was read from; an error that
// is no [*diagnose.Mistake] is given back.
func Locate(name string, data []byte, err error) error {
	var wrong *diagnose.Mistake
	if !errors.As(err, &wrong) {
		return err
	}
	file, parseErr := casefile.Parse(name, data)
	if parseErr != nil {
		return parseErr
	}
	r := newReader(file)
	r.model()
	if parseErr := file.Err(); parseErr != nil {
		return parseErr
	}
	return r.locate(err)
}

// reader reads one file and remembers where each part stands.
type reader struct {
	file   *casefile.File
	root   *casefile.Mapping
	at     map[string]casefile.Value
	faults []string // IDs
	m      Model
}

func newReader(file *casefile.File) *reader {
	return &reader{file: file, root: file.Root(), at: map[string]casefile.Value{}}
}

// locate puts a mistake where its path stands, or the nearest part around it.
func (r *reader) locate(err error) error {
	var wrong *diagnose.Mistake
	if !errors.As(err, &wrong) {
		return err
	}
	problem, expected, ok := strings.Cut(wrong.What, "; expected ")
	if !ok {
		expected = "a result that one of the faults allows, or a fault such as other that does"
	}
	for path := wrong.Where; path != ""; path = parent(path) {
		if v, ok := r.at[path]; ok && v.Line() > 0 {
			v.Fail(problem, expected)
			return r.file.Err()
		}
	}
	r.root.Fail(problem, expected)
	return r.file.Err()
}

func parent(path string) string {
	return path[:max(0, strings.LastIndexByte(path, '.'))]
}

func join(parts ...string) string { return strings.Join(parts, ".") }

// under is the path of a key; the keys of the file itself have no path before
// them.
func under(path, key string) string {
	if path == "" {
		return key
	}
	return join(path, key)
}

// item is the path of an item of a list, counted from 1.
func item(path string, i int) string { return fmt.Sprintf("%s.%d", path, i+1) }

// model reads the whole file.
func (r *reader) model() {
	root, m := r.root, &r.m
	m.Title = r.text(root, "title", "")
	m.Zone = r.text(root, "zone", "")
	m.Asks = r.text(root, "asks", "")
	m.Basis = r.basis(root, "")
	m.Stop = r.text(root, "stop", "")
	m.Cautions = r.words(root, "cautions", "")
	c := &m.Case
	c.Symptom = root.Need("symptom").Text()
	c.Currency = readCurrency(root)
	c.HourValue = r.number(root, "hour_value", "", hourValueBounds)
	c.Several = 1
	if v, ok := root.May("several"); ok {
		c.Several = v.Whole(1, 2)
		r.at["several"] = v
	}
	r.readFaults()
	for _, v := range r.list("tests") {
		r.readTest(v)
	}
	for _, v := range r.list("repairs") {
		r.readRepair(v)
	}
	if v, ok := root.May("replace_all"); ok {
		r.readWhole(v)
	}
	for i, v := range r.list("evidence") {
		r.readEvidence(v, item("evidence", i))
	}
}

func readCurrency(root *casefile.Mapping) string {
	v := root.Need("currency")
	code := v.Text()
	if code != "" && !amount.KnownCurrency(code) {
		v.Fail(fmt.Sprintf("is %q", code), "a currency code of ISO 4217 such as EUR or GBP")
	}
	return code
}

func (r *reader) readFaults() {
	need := r.root.Need
	if r.m.Stop != "" {
		need = func(key string) casefile.Value { v, _ := r.root.May(key); return v }
	}
	list := need("faults")
	r.at["faults"] = list
	values := list.List()
	if list.IsList() && len(values) == 0 {
		list.Fail("is empty", "at least one fault")
	}
	bounds := weightBounds
	if r.m.Case.Several > 1 {
		bounds = uncertain.ChanceBounds
	}
	for _, v := range values {
		g := v.Mapping()
		id := r.id(g, v, "faults")
		path := join("faults", id)
		f := diagnose.Fault{ID: id, Name: r.text(g, "name", path), Prior: r.number(g, "prior", path, bounds)}
		r.m.Case.Faults = append(r.m.Case.Faults, f)
		r.m.Faults = append(r.m.Faults, FaultNote{Shared: r.text(g, "shared", path), Basis: r.basis(g, path)})
		r.faults = append(r.faults, f.ID)
	}
}

func (r *reader) readRepair(v casefile.Value) {
	g := v.Mapping()
	id := r.id(g, v, "repairs")
	path := join("repairs", id)
	rep := diagnose.Repair{ID: id, Name: r.text(g, "name", path)}
	rep.Cost, rep.Minutes = r.effort(g, path)
	note := RepairNote{How: r.text(g, "how", path), Basis: r.basis(g, path), Cautions: r.words(g, "cautions", path)}
	if kind, ok := g.May("kind"); ok {
		note.Kind = kind.Choice(RouteKinds...)
	}
	fixes := g.Need("fixes")
	r.at[join(path, "fixes")] = fixes
	cures := fixes.Mapping()
	rep.Fixes = make([]float64, len(r.faults))
	for i, fault := range r.faults {
		if chance, ok := cures.May(fault); ok {
			rep.Fixes[i] = chance.Number(uncertain.ChanceBounds)
			r.at[join(path, "fixes", fault)] = chance
		}
	}
	r.m.Case.Repairs = append(r.m.Case.Repairs, rep)
	r.m.Repairs = append(r.m.Repairs, note)
}

func (r *reader) readWhole(v casefile.Value) {
	g := v.Mapping()
	r.at["replace_all"] = v
	r.m.WholeName = r.text(g, "name", "replace_all")
	cost, minutes := r.effort(g, "replace_all")
	r.m.Case.ReplaceAll = &diagnose.ReplaceAll{Cost: cost, Minutes: minutes}
}

// list is the items behind a key of the file that may be left out.
func (r *reader) list(key string) []casefile.Value {
	v, ok := r.root.May(key)
	if !ok {
		return nil
	}
	r.at[key] = v
	return v.List()
}

// text is a line of text that may be left out.
func (r *reader) text(g *casefile.Mapping, key, path string) string {
	v, ok := g.May(key)
	if !ok {
		return ""
	}
	r.at[under(path, key)] = v
	return v.Text()
}

// words is a list of lines of text that may be left out.
func (r *reader) words(g *casefile.Mapping, key, path string) []string {
	v, ok := g.May(key)
	if !ok {
		return nil
	}
	path = under(path, key)
	var out []string
	for i, w := range v.List() {
		word := w.Text()
		if slices.Contains(out, word) {
			w.Fail(fmt.Sprintf("%q stands there already", word), "each word once")
		}
		out = append(out, word)
		r.at[item(path, i)] = w
	}
	return out
}

// sourceKey is a key of the register of sources, with the place after it.
var sourceKey = regexp.MustCompile(`^[A-Z][A-Z0-9_]+( .*)?$`)

func (r *reader) basis(g *casefile.Mapping, path string) string {
	basis := r.text(g, "basis", path)
	if basis == "" || basis == OwnEstimate || basis == CommonPractice || sourceKey.MatchString(basis) {
		return basis
	}
	r.at[under(path, "basis")].Fail(fmt.Sprintf("is %q", basis),
		OwnEstimate+", or "+CommonPractice+", or the key of a source in capitals with the place after it")
	return basis
}

// number is a figure that must be there.
func (r *reader) number(g *casefile.Mapping, key, path string, bounds uncertain.Bounds) float64 {
	v := g.Need(key)
	r.at[under(path, key)] = v
	return v.Number(bounds)
}

func (r *reader) effort(g *casefile.Mapping, path string) (cost, minutes float64) {
	return r.number(g, "cost", path, uncertain.MoneyBounds), r.number(g, "minutes", path, minutesBounds)
}

// id reads the ID of a fault, test or repair: short, and its own within the list.
func (r *reader) id(g *casefile.Mapping, whole casefile.Value, list string) string {
	v := g.Need("id")
	id := v.Text()
	path := join(list, id)
	switch _, taken := r.at[path]; {
	case id == "":
		return id
	case len([]rune(id)) > maxID:
		v.Fail("is longer than 80 characters", "a short word such as gas_loss")
	case taken:
		v.Fail(fmt.Sprintf("%q is given twice", id), "an id of its own for each of "+list)
	case id == diagnose.WholeUnit:
		v.Fail(fmt.Sprintf("%q means the whole unit", id), "another id")
	}
	r.at[path] = whole
	return id
}

// nameable reports whether a key can serve as the name of an outcome.
func nameable(key string) bool {
	return key != "" && strings.TrimSpace(key) == key && len([]rune(key)) <= maxID &&
		!strings.ContainsFunc(key, func(r rune) bool { return !unicode.IsPrint(r) })
}
