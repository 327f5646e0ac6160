package ledger

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// invented is a ledger of n made-up entries.
func invented(n int) []Item {
	kinds := []string{"part", "tool", "fee"}
	words := []string{"Hose clip", "Brake pipe", "Primer", "Wishbone bush"}
	items := make([]Item, n)
	for i := range items {
		items[i] = Item{
			ID: int64(i + 1), On: fmt.Sprintf("20%02d-%02d-%02d", 20+i*7%7, 1+i*5%12, 1+i*11%28),
			Minor: int64(i*37%50000 - 2000), Kind: kinds[i%3], Supplier: fmt.Sprintf("Supplier %d", i%40),
			What: words[i%4], JobID: int64(i % 50), JobTitle: fmt.Sprintf("job %d", i%50), Receipts: i % 2,
		}
	}
	return items
}

func TestSearch(t *testing.T) {
	x := NewIndex([]Item{
		{ID: 3, On: "2026-03-03", Minor: 300, Kind: "part", What: "Brake pipe", JobID: 9, JobTitle: "Front brakes"},
		{ID: 1, On: "2026-03-01", Minor: 1000, Kind: "fee", Supplier: "Auction", What: "Buyer's fee", General: true, Receipts: 1},
		{ID: 2, On: "2026-03-02", Minor: -200, Kind: "sale", What: "Bent door"},
		{ID: 4, On: "2026-03-03", Minor: 50, Kind: "consumable", What: "Brake cleaner"},
	})
	least, most := int64(0), int64(300)
	tests := []struct {
		name string
		f    Filter
		want []int64
		sum  int64
	}{
		{"all, latest first", Filter{}, []int64{4, 3, 2, 1}, 1150},
		{"oldest first", Filter{OldestFirst: true}, []int64{1, 2, 3, 4}, 1150},
		{"a word in any case", Filter{Words: "BRAKE"}, []int64{4, 3}, 350},
		{"word of the job", Filter{Words: "front brake"}, []int64{3}, 300},
		{"without a word", Filter{Words: "brake -pipe"}, []int64{4}, 50},
		{"kinds", Filter{Kinds: []string{"fee", "sale"}}, []int64{2, 1}, 800},
		{"job", Filter{JobID: 9}, []int64{3}, 300},
		{"no job", Filter{Job: Without}, []int64{4, 2, 1}, 850},
		{"receipt", Filter{Receipt: With}, []int64{1}, 1000},
		{"dates, both ends in", Filter{From: "2026-03-02", To: "2026-03-03"}, []int64{4, 3, 2}, 150},
		{"one day", Filter{From: "2026-03-02", To: "2026-03-02"}, []int64{2}, -200},
		{"from after to", Filter{From: "2026-03-03", To: "2026-03-01"}, nil, 0},
		{"sums", Filter{Least: &least, Most: &most}, []int64{4, 3}, 350},
	}
	for _, tt := range tests {
		p := x.Search(tt.f, 1, 10)
		var got []int64
		for _, m := range p.Matches {
			got = append(got, m.ID)
		}
		if !slices.Equal(got, tt.want) || p.Sum != tt.sum || p.Found != len(tt.want) {
			t.Errorf("%s: %v sum %d, want %v sum %d", tt.name, got, p.Sum, tt.want, tt.sum)
		}
	}
	if m := x.Search(Filter{}, 1, 10).Matches; m[0].Balance != 1150 || m[3].Balance != 1000 {
		t.Errorf("balances %+v", m)
	}
	if p := x.Search(Filter{}, 99, 3); p.Number != 2 || p.Pages != 2 || len(p.Matches) != 1 {
		t.Errorf("beyond the last page: %+v", p)
	}
}

// Pages put together are everything, once, in order; the last balance is the sum.
func TestPagesCoverEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		items := invented(rapid.IntRange(0, 200).Draw(t, "entries"))
		size := rapid.IntRange(1, 70).Draw(t, "size")
		x := NewIndex(items)
		var sum int64
		seen := map[int64]bool{}
		first := x.Search(Filter{OldestFirst: true}, 1, size)
		for n := 1; n <= first.Pages; n++ {
			for _, m := range x.Search(Filter{OldestFirst: true}, n, size).Matches {
				sum += m.Minor
				if seen[m.ID] || m.Balance != sum {
					t.Fatalf("entry %d twice or balance %d, want %d", m.ID, m.Balance, sum)
				}
				seen[m.ID] = true
			}
		}
		if len(seen) != len(items) || first.Sum != sum {
			t.Fatalf("%d of %d entries, sum %d, want %d", len(seen), len(items), sum, first.Sum)
		}
	})
}

func BenchmarkSearch20000(b *testing.B) {
	x := NewIndex(invented(20000))
	for b.Loop() {
		x.Search(Filter{Words: "wishbone bush", Kinds: []string{"part"}}, 3, 50)
	}
}

func BenchmarkIndex20000(b *testing.B) {
	items := invented(20000)
	for b.Loop() {
		NewIndex(items)
	}
}

func BenchmarkRead5000(b *testing.B) {
	var text []byte
	for i := range MaxRows {
		text = fmt.Appendf(text, "%02d/03/2026\tHarbour Spares\tHose %d\t%d.40\n", 1+i%28, i, i)
	}
	for b.Loop() {
		if _, err := Read(text, Options{Currency: "GBP"}); err != nil {
			b.Fatal(err)
		}
	}
}
