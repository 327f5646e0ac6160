package workshop

import (
	"context"
	"slices"
	"strings"

	"wreckwright/money/ledger"
	"wreckwright/rebuild"
)

// Entries is the ledger made ready for searching.
func (w *Workshop) Entries(ctx context.Context, r *rebuild.Rebuild) (*ledger.Index, error) {
	return w.entries.get(ctx, w.life, r, "", func(context.Context) (*ledger.Index, error) {
		return ledger.NewIndex(ledgerItems(r)), nil
	})
}

func ledgerItems(r *rebuild.Rebuild) []ledger.Item {
	items := make([]ledger.Item, len(r.Entries))
	for i := range r.Entries {
		e := &r.Entries[i]
		items[i] = ledger.Item{
			ID: e.ID, On: e.On, Minor: e.Amount.Minor, Kind: string(e.Kind), Supplier: e.Supplier, What: e.What,
			JobID: e.JobID, General: e.General, Receipts: len(e.Receipts),
		}
		if j := r.Job(e.JobID); j != nil {
			items[i].JobTitle = j.Title
		}
	}
	return items
}

// ReadBills previews a file or a paste for this rebuild's ledger. o carries what
// the person chose; currency, kinds, today and the present entries are filled in
// here. Nothing is saved.
func (w *Workshop) ReadBills(r *rebuild.Rebuild, data []byte, o ledger.Options) (ledger.Preview, error) {
	o.Currency, o.Today, o.Kinds = r.Car.Currency, w.today(), nil
	for _, k := range rebuild.EntryKinds {
		o.Kinds = append(o.Kinds, string(k))
	}
	o.Existing = make([]ledger.Line, len(r.Entries))
	for i := range r.Entries {
		e := &r.Entries[i]
		o.Existing[i] = ledger.Line{ID: e.ID, On: e.On, Amount: e.Amount, Tax: e.Tax, Kind: string(e.Kind), Supplier: e.Supplier, What: e.What}
	}
	return ledger.Read(data, o)
}

// EntryOf is a previewed row as a ledger entry. A kind that the row does not say
// is guessed from its words; its job is the one of that title or number, else
// none.
func EntryOf(r *rebuild.Rebuild, line ledger.Line) rebuild.Entry {
	e := rebuild.Entry{
		On: line.On, Amount: line.Amount, Tax: line.Tax, Kind: rebuild.EntryKind(line.Kind),
		Supplier: line.Supplier, What: line.What, JobID: jobNamed(r, line.Job),
	}
	if e.Kind == "" {
		e.Kind = GuessKind(line.Supplier+" "+line.What, line.Amount.Minor < 0)
	}
	return e
}

// jobNamed finds the one job with that title, in any case; 0 where none or
// several have it.
func jobNamed(r *rebuild.Rebuild, title string) int64 {
	if title == "" {
		return 0
	}
	found := int64(0)
	for i := range r.Jobs {
		if !strings.EqualFold(r.Jobs[i].Title, title) {
			continue
		}
		if found != 0 {
			return 0
		}
		found = r.Jobs[i].ID
	}
	return found
}

// kindWords are words by which a kind of cost is guessed.
// common practice, no source
var kindWords = []struct {
	kind  rebuild.EntryKind
	words []string
}{
	{rebuild.EntryTransport, []string{"delivery", "shipping", "carriage", "courier", "transport", "recovery", "postage", "ferry", "trailer"}},
	{rebuild.EntryFee, []string{"fee", "fees", "auction", "registration", "inspection", "licence", "license", "test"}},
	{rebuild.EntryStorage, []string{"storage", "rent"}},
	{rebuild.EntryOutside, []string{"labour", "labor", "machining", "welding", "painting", "respray", "alignment", "blasting", "plating"}},
	{rebuild.EntryTool, []string{"tool", "tools", "socket", "spanner", "jack", "gauge", "puller", "drill", "grinder"}},
	{rebuild.EntryConsumable, []string{"fluid", "oil", "grease", "cleaner", "sealant", "primer", "paint", "sandpaper", "abrasive", "tape", "bolts", "screws", "washers", "gloves", "coolant", "thinner"}},
}

// GuessKind takes the first kind of which a word occurs; a sale where money came
// back with nothing else known; else a part.
func GuessKind(text string, moneyBack bool) rebuild.EntryKind {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !('a' <= r && r <= 'z') })
	for _, k := range kindWords {
		for _, w := range k.words {
			if slices.Contains(words, w) {
				return k.kind
			}
		}
	}
	if moneyBack && (slices.Contains(words, "sold") || slices.Contains(words, "sale")) {
		return rebuild.EntrySale
	}
	return rebuild.EntryPart
}
