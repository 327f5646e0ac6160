package ledger

import (
	"fmt"

	"wreckwright/money/amount"
)

// settle finds what only whole columns tell: day order, decimal sign, sign.
func (p *Preview) settle(body []record, o Options) {
	p.settleDates(p.column(body, FieldDate), o)
	sums := append(p.column(body, FieldAmount), p.column(body, FieldPaidIn)...)
	p.settleDecimal(sums, o)
	p.settleSign(p.column(body, FieldAmount), o)
}

func (p *Preview) settleDates(cells []string, o Options) {
	var dates []written
	ambiguous := ""
	for _, c := range cells {
		if w, err := readDate(c); err == nil {
			dates = append(dates, w)
			if w.open() && ambiguous == "" {
				ambiguous = c
			}
		}
	}
	order, sure := orderOfColumn(dates, o.Today)
	p.DayOrder = order
	if o.DayOrder != GuessOrder {
		p.DayOrder = o.DayOrder
	} else if !sure && ambiguous != "" {
		p.Questions = append(p.Questions, Question{
			"day order", fmt.Sprintf("does %q begin with the day or with the month?", ambiguous),
			[]string{string(DayFirst), string(MonthFirst)},
			string(order),
		})
	}
}

func (p *Preview) settleDecimal(cells []string, o Options) {
	decimal, sure := decimalOfColumn(cells)
	p.Decimal = decimal
	if o.Decimal != 0 {
		p.Decimal = o.Decimal
		return
	}
	if sure {
		return
	}
	for _, c := range cells {
		if sign, known := decimalOf(c); sign != 0 && !known {
			p.Questions = append(p.Questions, Question{
				"decimal sign", fmt.Sprintf("does the sign in %q group thousands or part the decimals? It is read as %s", c, reading(c, o.Currency)),
				[]string{".", ","},
				"",
			})
			return
		}
	}
	p.Notes = append(p.Notes, "some sums have a decimal point and some a decimal comma; each was read by itself")
}

func reading(cell, code string) string {
	a, err := readSum(cell, code, amount.Guess)
	if err != nil {
		return "nothing"
	}
	return a.String()
}

func (p *Preview) settleSign(cells []string, o Options) {
	below, above := 0, 0
	for _, c := range cells {
		a, err := readSum(c, o.Currency, p.Decimal)
		switch {
		case err != nil:
		case a.Minor < 0:
			below++
		case a.Minor > 0:
			above++
		}
	}
	p.Sign = PaidPositive
	if below > above {
		p.Sign = PaidNegative
	}
	if o.Sign != GuessSign {
		p.Sign = o.Sign
	} else if p.Sign == PaidNegative {
		p.Questions = append(p.Questions, Question{
			"sign", "most sums are below zero: they are taken as money paid, as a bank statement writes it",
			[]string{string(PaidPositive), string(PaidNegative)},
			string(PaidNegative),
		})
	}
}
