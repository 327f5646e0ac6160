package ledger

import (
	"cmp"
	"slices"
	"strings"
)

// Item is a ledger entry as search sees it.
type Item struct {
	ID       int64
	On       string // ISO date
	Minor    int64  // amount in minor units
	Kind     string
	Supplier string
	What     string
	JobID    int64
	JobTitle string
	General  bool // belongs to no job on purpose
	Receipts int
}

// Index is a ledger made ready for searching. It is never altered; make a new
// one when the ledger changes.
type Index struct {
	items   []Item   // by date, then number
	texts   []string // what the words are looked for in, lower case
	balance []int64  // sum up to and with each item
}

// NewIndex sorts the items and adds them up.
func NewIndex(items []Item) *Index {
	x := &Index{items: make([]Item, len(items))}
	for i, at := range byDate(items) {
		x.items[i] = items[at]
	}
	x.texts = make([]string, len(x.items))
	x.balance = make([]int64, len(x.items))
	var sum int64
	for i, it := range x.items {
		sum += it.Minor
		x.balance[i] = sum
		x.texts[i] = strings.ToLower(strings.Join([]string{it.Supplier, it.What, it.Kind, it.JobTitle}, "\n"))
	}
	return x
}

// byDate gives the places of the items in the order of their dates, then
// numbers. Places are sorted, not the items, which are large.
func byDate(items []Item) []int {
	order := make([]int, len(items))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(strings.Compare(items[a].On, items[b].On), cmp.Compare(items[a].ID, items[b].ID))
	})
	return order
}

// Which narrows a yes-or-no trait of entries.
type Which string

// The choices.
const (
	Any     Which = ""
	With    Which = "with"
	Without Which = "without"
)

// Filter picks entries; the zero value picks all. From, To, Least and Most are
// inclusive.
type Filter struct {
	Words       string // each must occur in supplier, purpose, kind or job; "-word" must not
	Kinds       []string
	JobID       int64 // 0: any
	Job         Which // with or without a job
	Receipt     Which
	From, To    string // ISO dates
	Least, Most *int64 // minor units
	OldestFirst bool
}

// Match is an entry found.
type Match struct {
	Item
	Balance int64 // of the whole ledger after it, whatever the filter
}

// Page is one page of matches.
type Page struct {
	Matches []Match
	Found   int   // in all
	Sum     int64 // of all found, minor units
	Number  int   // this page, from 1
	Pages   int
}

// Len is the number of entries.
func (x *Index) Len() int { return len(x.items) }

// Search gives one page of the entries that the filter picks, the latest first
// unless asked otherwise. Numbers beyond the last page give the last; size is
// held between 1 and 100,000.
func (x *Index) Search(f Filter, number, size int) Page {
	size = min(max(size, 1), 100_000)
	found, sum := x.pick(f)
	p := Page{Found: len(found), Sum: sum, Pages: max(1, (len(found)+size-1)/size)}
	p.Number = min(max(number, 1), p.Pages)
	first := (p.Number - 1) * size
	for i := first; i < min(first+size, len(found)); i++ {
		at := found[i]
		if !f.OldestFirst {
			at = found[len(found)-1-i]
		}
		p.Matches = append(p.Matches, Match{x.items[at], x.balance[at]})
	}
	return p
}

// pick lists the places of what the filter picks, oldest first.
func (x *Index) pick(f Filter) (found []int32, sum int64) {
	words := strings.Fields(strings.ToLower(f.Words))
	first, last := x.span(f.From, f.To)
	for i := first; i < last; i++ {
		if x.passes(i, f) && hasWords(x.texts[i], words) {
			found = append(found, int32(i))
			sum += x.items[i].Minor
		}
	}
	return found, sum
}

// span is the stretch of items between two dates.
func (x *Index) span(from, to string) (first, last int) {
	before := func(it Item, on string) int { return strings.Compare(it.On, on) }
	last = len(x.items)
	if from != "" {
		first, _ = slices.BinarySearchFunc(x.items, from, before)
	}
	if to != "" {
		last, _ = slices.BinarySearchFunc(x.items, to+"\x7f", before)
	}
	return first, max(first, last)
}

func (x *Index) passes(i int, f Filter) bool {
	it := &x.items[i]
	return (len(f.Kinds) == 0 || slices.Contains(f.Kinds, it.Kind)) &&
		(f.JobID == 0 || f.JobID == it.JobID) &&
		is(f.Job, it.JobID != 0) && is(f.Receipt, it.Receipts > 0) &&
		(f.Least == nil || it.Minor >= *f.Least) && (f.Most == nil || it.Minor <= *f.Most)
}

func is(w Which, has bool) bool { return w == Any || (w == With) == has }

func hasWords(text string, words []string) bool {
	for _, w := range words {
		not, unwanted := strings.CutPrefix(w, "-")
		if unwanted && not != "" {
			if strings.Contains(text, not) {
				return false
			}
		} else if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

// Day is how the ledger stands at the end of a day on which something was
// entered.
type Day struct {
	On      string
	Balance int64 // minor units
}

// Days lists the days with entries, oldest first.
func (x *Index) Days() []Day {
	var days []Day
	for i := range x.items {
		if n := len(days); n > 0 && days[n-1].On == x.items[i].On {
			days[n-1].Balance = x.balance[i]
			continue
		}
		days = append(days, Day{x.items[i].On, x.balance[i]})
	}
	return days
}
