package web

import (
	"cmp"
	"maps"
	"slices"
	"strconv"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
)

// entryForm is the form that a cost is entered or edited with, and what its
// fields choose from.
type entryForm struct {
	Form      *Form
	Kinds     []Option
	Jobs      []jobGroup
	Suppliers []string
	Had       []rebuild.Attachment // receipts that hang on it already
	New       bool
	ReadAs    string // how the amount was read, where another reading was possible
}

// jobGroup is a part of the list that a job is chosen from.
type jobGroup struct {
	Name string
	Jobs []Option
}

// entryGeneral is the choice of no job on purpose, where a job is chosen.
const entryGeneral = "general"

// entryKindWords are the kinds whose own name would leave a doubt.
var entryKindWords = map[rebuild.EntryKind]string{
	rebuild.EntryPurchase: "The car itself",
	rebuild.EntrySale:     "Part sold",
}

func entryKindLabel(k rebuild.EntryKind) string {
	if words, ok := entryKindWords[k]; ok {
		return words
	}
	return optionsOf([]rebuild.EntryKind{k})[0].Label
}

func entryKindOptions() []Option {
	options := make([]Option, len(rebuild.EntryKinds))
	for i, k := range rebuild.EntryKinds {
		options[i] = Option{string(k), entryKindLabel(k)}
	}
	return options
}

// jobGroups lists all jobs, those being worked on first: what is bought today is
// mostly for them.
func jobGroups(rb *rebuild.Rebuild) []jobGroup {
	byState := map[rebuild.JobState][]Option{}
	for i := range rb.Jobs {
		j := &rb.Jobs[i]
		byState[j.State] = append(byState[j.State], Option{strconv.FormatInt(j.ID, 10), j.Title})
	}
	var groups []jobGroup
	for _, state := range jobOrder {
		if len(byState[state]) > 0 {
			groups = append(groups, jobGroup{jobStateNames[state], byState[state]})
		}
	}
	return groups
}

// newEntryForm is the form around what is in f.
func newEntryForm(frame Frame, f *Form) entryForm {
	rb := frame.Rebuild
	return entryForm{
		Form: f, Kinds: entryKindOptions(), Jobs: jobGroups(rb), Suppliers: suppliersOf(rb),
		ReadAs: frame.readAs(f.Value("amount")),
	}
}

// readAs says how a typed sum was read, where its point or comma could be meant
// otherwise.
func (f Frame) readAs(text string) string {
	code := f.Rebuild.Car.Currency
	if !amount.Ambiguous(text, code) {
		return ""
	}
	sum, err := amount.Parse(text, code, amount.Guess)
	if err != nil {
		return ""
	}
	return "Read as " + f.Money(sum)
}

// mostSuppliers bounds the list that a supplier is picked from while typing.
const mostSuppliers = 150

// suppliersOf lists who was paid, the most often first.
func suppliersOf(rb *rebuild.Rebuild) []string {
	times := map[string]int{}
	for i := range rb.Entries {
		if name := rb.Entries[i].Supplier; name != "" {
			times[name]++
		}
	}
	names := slices.SortedFunc(maps.Keys(times), func(a, b string) int {
		return cmp.Or(cmp.Compare(times[b], times[a]), cmp.Compare(a, b))
	})
	return names[:min(len(names), mostSuppliers)]
}

// setEntry fills the form with an entry that exists. Sums are shown without
// their sign: the switch says which way the money went.
func (f *Form) setEntry(e *rebuild.Entry) {
	sum, tax := e.Amount, e.Tax
	if sum.Minor < 0 {
		f.Set("refund", "1")
		sum, tax = sum.Neg(), tax.Neg()
	}
	f.Set("amount", sum.Number())
	if !tax.IsZero() {
		f.Set("tax", tax.Number())
	}
	f.Set("on", e.On)
	f.Set("kind", string(e.Kind))
	f.Set("supplier", e.Supplier)
	f.Set("what", e.What)
	switch {
	case e.JobID != 0:
		f.Set("job", strconv.FormatInt(e.JobID, 10))
	case e.General:
		f.Set("job", entryGeneral)
	}
	f.setFiles(e.Receipts)
}

// readEntry reads the fields of an entry, all but its receipts, into e, whose
// kind as it was decides whether a sale has just become one.
func (f *Form) readEntry(e *rebuild.Entry, currency string) {
	kind := rebuild.EntryKind(f.Value("kind"))
	back := f.Has("refund", "1") || kind == rebuild.EntrySale && e.Kind != rebuild.EntrySale
	e.On, e.Kind = f.Value("on"), kind
	e.Supplier, e.What = f.Value("supplier"), f.Value("what")
	e.Amount = f.money("amount", "the amount", currency)
	e.Tax = f.money("tax", "the tax", currency)
	if e.Tax.Minor < 0 && e.Amount.Minor > 0 && !back {
		f.problem("tax", "the tax is below zero although the amount is not: write it without the sign")
	}
	if back && e.Amount.Minor > 0 {
		e.Amount = e.Amount.Neg()
	}
	if (e.Tax.Minor < 0) != (e.Amount.Minor < 0) {
		e.Tax = e.Tax.Neg()
	}
	f.readEntryJob(e)
}

// readEntryJob reads the choice of a job: a number, none yet, or none on purpose.
func (f *Form) readEntryJob(e *rebuild.Entry) {
	e.JobID, e.General = 0, false
	switch text := f.Value("job"); text {
	case "":
	case entryGeneral:
		e.General = true
	default:
		id, err := strconv.ParseInt(text, 10, 64)
		if err != nil || id <= 0 {
			f.problem("job", "there is no job %q", text)
			return
		}
		e.JobID = id
	}
}
