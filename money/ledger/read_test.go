package ledger

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"wreckwright/money/amount"
)

var kinds = []string{"part", "consumable", "outside work", "tool", "fee", "transport"}

// ask reads with GBP and the known kinds.
func ask(t *testing.T, text string, change func(*Options)) Preview {
	t.Helper()
	o := Options{Currency: "GBP", Kinds: kinds, Today: "2026-06-30"}
	if change != nil {
		change(&o)
	}
	p, err := Read([]byte(text), o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// show writes a row as the table below expects it.
func show(r Row) string {
	switch {
	case r.LeftOut != "":
		return "left out: " + r.LeftOut
	case len(r.Problems) > 0:
		return "problem: " + r.Problems[0].Text
	}
	s := fmt.Sprintf("%s %s %s|%s", r.Line.On, r.Line.Amount.Number(), r.Line.Supplier, r.Line.What)
	if r.Line.Tax.Minor != 0 {
		s += " tax " + r.Line.Tax.Number()
	}
	if r.Line.Kind != "" {
		s += " " + r.Line.Kind
	}
	if r.Line.Job != "" {
		s += " @" + r.Line.Job
	}
	return s
}

// Invented bills throughout.
func TestRead(t *testing.T) {
	tests := []struct {
		name, text string
		want       []string
	}{
		{"tabs with header", "Date\tSupplier\tWhat\tAmount\tVAT\tKind\tJob\n21/03/2026\tHarbour Spares\tUpright\t£320.00\t53.33\tParts\tFL upright\n", []string{
			"2026-03-21 320.00 Harbour Spares|Upright tax 53.33 part @FL upright",
		}},
		{"commas, quotes, a line break in a cell", "date,description,amount\r\n2026-03-21,\"hose, 5\"\" long\r\nblack\",\"1,234.50\"\r\n", []string{
			`2026-03-21 1234.50 |hose, 5" long black`,
		}},
		{"semicolons, decimal comma, mark", "\ufeffDatum;Betrag;Lieferant\n21.03.26;1.234,50;Werkhof\n22.03.26;-12,00;Werkhof\n23.03.26;7,5;Werkhof\n", []string{
			"2026-03-21 1234.50 Werkhof|", "2026-03-22 -12.00 Werkhof|", "2026-03-23 7.50 Werkhof|",
		}},
		{"no header", "2026-03-21,Bolts and washers M10,12.40\n2026-03-22,Brake fluid,9.99\n", []string{
			"2026-03-21 12.40 |Bolts and washers M10", "2026-03-22 9.99 |Brake fluid",
		}},
		{"brackets, credits, codes", "date,what,amount\n2026-03-01,a thing,(12.00)\n2026-03-02,b thing,£(3.00)\n2026-03-03,c thing,4.00 CR\n2026-03-04,d thing,GBP 5\n2026-03-05,e thing,6.00 DR\n2026-03-06,f thing,7.00\n2026-03-07,g thing,8.00\n", []string{
			"2026-03-01 -12.00 |a thing", "2026-03-02 -3.00 |b thing", "2026-03-03 -4.00 |c thing", "2026-03-04 5.00 |d thing", "2026-03-05 6.00 |e thing", "2026-03-06 7.00 |f thing", "2026-03-07 8.00 |g thing",
		}},
		{"month first, shown by one row", "date,what,amount\n3/4/2026,hose,1\n3/21/2026,clip,2\n", []string{
			"2026-03-04 1.00 |hose", "2026-03-21 2.00 |clip",
		}},
		{"statement: title, money out and in, balance", "Account 12\n\nDate,Details,Money out,Money in,Balance\n01 Mar 2026,CARD HARBOUR SPARES,40.00,,960.00\n02 Mar 2026,REFUND,,15.00,975.00\n", []string{
			"left out: stands above the header", "2026-03-01 40.00 |CARD HARBOUR SPARES", "2026-03-02 -15.00 |REFUND",
		}},
		{"statement with paid below zero", "date;what;amount\n2026-03-01;fuel;-40.00\n2026-03-02;refund;15.00\n2026-03-03;paint;-20\n", []string{
			"2026-03-01 40.00 |fuel", "2026-03-02 -15.00 |refund", "2026-03-03 20.00 |paint",
		}},
		{"totals and blanks", "date,what,amount\n2026-03-01,a thing,10\n,,\n2026-03-02,b thing,20\n,Total,30\n,,30\n", []string{
			"2026-03-01 10.00 |a thing", "2026-03-02 20.00 |b thing", "left out: looks like a totals row", "left out: adds up the rows above it",
		}},
		{"problems name the cell", "date,what,amount,tax\n2026-02-30,a thing,10,\nsoon,b thing,10,\n2026-03-01,c thing,ten,\n2026-03-01,d thing,10,11\n2026-03-01,,10,\n2026-03-01,e thing,€5,\n2026-03-01,f thing,1.005.1,\n2026-03-01,g thing,,\n46102,h thing,1,\n2026-03-01,i thing,USD 7,\n2026-03-01,j thing,1.2345,\n", []string{
			`problem: "2026-02-30" is not a day of the calendar between 1970 and 2200`,
			`problem: "soon" is not a date; write it like 2026-03-21`,
			`problem: "ten" is not a sum of money`,
			`problem: the tax 11.00 GBP is more than the amount 10.00 GBP it is part of`,
			`problem: it does not say what it was for or who was paid`,
			`problem: "€5" is in EUR, but this ledger is kept in GBP; enter what it came to in GBP`,
			`problem: "1.005.1" is not a sum of money: "1.005.1" does not group thousands`,
			`problem: the amount is missing`,
			`problem: "46102" looks like a spreadsheet's day number; show that column as dates there and copy it again`,
			`problem: "USD 7" is in USD, but this ledger is kept in GBP; enter what it came to in GBP`,
			`problem: "1.2345" has more decimals than GBP has (2)`,
		}},
		{"an inch sign opens no quote", "date\twhat\tamount\n2026-03-01\t\"12 inch\" wheel\t10\n2026-03-02\t\"open\t20\n", []string{
			`2026-03-01 10.00 |"12 inch" wheel`, `2026-03-02 20.00 |"open`,
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := ask(t, tt.text, nil)
			if len(p.Rows) != len(tt.want) {
				t.Errorf("%d rows, want %d", len(p.Rows), len(tt.want))
			}
			for i := range min(len(p.Rows), len(tt.want)) {
				if got := show(p.Rows[i]); got != tt.want[i] {
					t.Errorf("row %d: %s\nwant   %s", i+1, got, tt.want[i])
				}
			}
		})
	}
}

func TestEncodings(t *testing.T) {
	want := "2026-03-01 10.00 |Türgriff"
	utf16 := []byte{0xff, 0xfe}
	for _, r := range "date\twhat\tamount\n2026-03-01\tTürgriff\t£10\n" {
		utf16 = append(utf16, byte(r), byte(r>>8))
	}
	for name, data := range map[string][]byte{
		"UTF-16":       utf16,
		"Windows-1252": []byte("date\twhat\tamount\n2026-03-01\tT\xfcrgriff\t\xa310\n"),
	} {
		p, err := Read(data, Options{Currency: "GBP"})
		if err != nil || len(p.Rows) != 1 || show(p.Rows[0]) != want {
			t.Errorf("%s: %v %+v", name, err, p.Rows)
		}
	}
}

func TestDayOrderIsAsked(t *testing.T) {
	text := "date,what,amount\n01/02/2026,a thing,1\n05/02/2026,b thing,1\n03/03/2026,c thing,1\n"
	p := ask(t, text, nil)
	if p.DayOrder != DayFirst || len(p.Questions) != 1 || p.Questions[0].About != "day order" {
		t.Fatalf("order %q, questions %+v", p.DayOrder, p.Questions)
	}
	// Read month first the days jump about; in order they are day first.
	if p.Rows[1].Line.On != "2026-02-05" {
		t.Errorf("read as %s", p.Rows[1].Line.On)
	}
	p = ask(t, text, func(o *Options) { o.DayOrder = MonthFirst })
	if p.Rows[1].Line.On != "2026-05-02" || len(p.Questions) != 0 {
		t.Errorf("chosen month first: %s, %+v", p.Rows[1].Line.On, p.Questions)
	}
	// Day first, the second would lie ahead of today.
	p = ask(t, "date,what,amount\n04/06/2026,a thing,1\n04/07/2026,b thing,1\n", nil)
	if p.DayOrder != MonthFirst {
		t.Errorf("a date to come was preferred: %s", p.DayOrder)
	}
}

func TestDecimalIsAsked(t *testing.T) {
	text := "date;what;amount\n2026-03-01;engine hoist;1.234\n"
	p := ask(t, text, nil)
	if len(p.Questions) != 1 || p.Questions[0].About != "decimal sign" || p.Rows[0].Line.Amount.Minor != 123400 {
		t.Errorf("%+v %s", p.Questions, p.Rows[0].Line.Amount)
	}
	// Another row settles it: no question, and the first is read alike.
	p = ask(t, text+"2026-03-02;bolt;1,50\n", nil)
	if len(p.Questions) != 0 || p.Decimal != ',' || p.Rows[0].Line.Amount.Minor != 123400 {
		t.Errorf("%+v %q %s", p.Questions, p.Decimal, p.Rows[0].Line.Amount)
	}
}

func TestColumnsCanBeChosen(t *testing.T) {
	p := ask(t, "2026-03-01,10,Upright,20\n", func(o *Options) {
		o.Columns = []Field{FieldDate, FieldNone, FieldSupplier, FieldAmount}
	})
	if got := show(p.Rows[0]); got != "2026-03-01 20.00 Upright|" {
		t.Error(got)
	}
	// A header that speaks of money over a column of names is not the amount.
	p = ask(t, "date,paid by,item,price\n2026-03-01,me,hose,3\n", nil)
	if got := show(p.Rows[0]); got != "2026-03-01 3.00 me|hose" {
		t.Error(got)
	}
	p = ask(t, "what,amount\nhose,3\n", nil)
	if len(p.Notes) != 1 || !strings.Contains(p.Notes[0], "date") {
		t.Errorf("a missing date column is not named: %q", p.Notes)
	}
}

func TestDuplicates(t *testing.T) {
	existing := []Line{
		{ID: 7, On: "2026-03-01", Amount: amount.New(32000, "GBP"), Supplier: "Harbour Spares", What: "Upright, front left"},
		{ID: 8, On: "2026-03-05", Amount: amount.New(999, "GBP"), What: "Brake fluid"},
	}
	p := ask(t, "date,supplier,what,amount\n"+
		"2026-03-01,HARBOUR SPARES LTD,upright,320\n"+ // the entry
		"2026-03-01,Harbour Spares,upright,320\n"+ // the same bill once more in the paste
		"2026-03-01,Northgate Paint,primer,320\n"+ // another bill of that sum
		"2026-03-07,,brake fluid,9.99\n"+ // two days after the receipt
		"2026-03-20,,brake fluid,9.99\n", func(o *Options) { o.Existing = existing })
	want := []*Duplicate{{EntryID: 7, Sure: true}, {LineNumber: 2, Sure: true}, nil, {EntryID: 8}, nil}
	for i, w := range want {
		got := p.Rows[i].Duplicate
		if (got == nil) != (w == nil) || got != nil && (got.EntryID != w.EntryID || got.Sure != w.Sure || got.LineNumber != w.LineNumber) {
			t.Errorf("row %d: %+v, want %+v", i+1, got, w)
		}
	}
	if p.Good != 5 || p.Duplicates != 3 || p.Sum.Minor != 32000+999 {
		t.Errorf("good %d, duplicates %d, sum %s", p.Good, p.Duplicates, p.Sum)
	}
}

func TestBounds(t *testing.T) {
	row := "2026-03-01,hose,3\n"
	if p := ask(t, strings.Repeat(row, MaxRows), nil); p.Good != MaxRows {
		t.Errorf("%d of %d rows are good", p.Good, MaxRows)
	}
	for name, data := range map[string]string{
		"rows": strings.Repeat(row, MaxRows+1), "columns": strings.Repeat("a,", MaxColumns+1), "bytes": strings.Repeat("a", MaxBytes+1),
	} {
		var large *TooLarge
		if _, err := Read([]byte(data), Options{Currency: "GBP"}); !errors.As(err, &large) || large.What != name || !strings.Contains(err.Error(), "at most") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := Read([]byte(" \n\t\n"), Options{Currency: "GBP"}); err == nil {
		t.Error("an empty paste was read")
	}
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"date\twhat\tamount\n2026-03-01\t\"12\" wheel\t10\n", "21.03.26;1.234,50;x\r\r\n\"", "\xff\xfed\x00", "a,\"b\nc\",(1)\n,Total,1",
		"3/4/26,1,2\n4/13/26,x,-2 CR", "\"\"\"\",\"\",\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Read(data, Options{Currency: "EUR", Kinds: kinds, Today: "2026-06-30"})
		if err != nil {
			return
		}
		if p.Good+p.Bad+p.LeftOut != len(p.Rows) {
			t.Fatalf("%d good, %d bad and %d left out are not %d rows", p.Good, p.Bad, p.LeftOut, len(p.Rows))
		}
		last := 0
		for _, r := range p.Rows {
			if r.LineNumber <= last {
				t.Fatalf("line %d after %d", r.LineNumber, last)
			}
			last = r.LineNumber
			if r.Good() && (len(r.Line.On) != len("2026-03-01") || r.Line.Amount.Currency != "EUR" || r.Line.What+r.Line.Supplier == "") {
				t.Fatalf("good, but %+v", r.Line)
			}
		}
	})
}
