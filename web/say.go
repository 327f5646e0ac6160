package web

import (
	"fmt"
	"regexp"
	"strconv"

	"wreckwright/money/amount"
	"wreckwright/workshop"
)

// Say writes a sentence of the workshop with its figures in the reader's locale.
func (f Frame) Say(p workshop.Phrase) string { return p.Say(f.Shown) }

// endSum is the sum that the words for a change in the ledger end on.
var endSum = regexp.MustCompile(`, (-?[0-9]+(?:\.[0-9]+)?) ([A-Z]{3})$`)

// Told is what a change did, its sum in the reader's locale: the journal keeps
// the words with plain sums.
func (f Frame) Told(what string) string {
	at := endSum.FindStringSubmatchIndex(what)
	if at == nil {
		return what
	}
	sum, err := amount.Parse(what[at[2]:at[3]], what[at[4]:at[5]], '.')
	if err != nil {
		return what
	}
	return what[:at[0]] + ", " + f.Money(sum)
}

// Shown is one figure in the reader's locale.
func (f Frame) Shown(fig workshop.Figure) string {
	switch fig.Kind {
	case workshop.Money:
		return f.style.ShowWhole(amount.FromFloat(fig.Value, fig.Unit))
	case workshop.Chance:
		return percent(fig.Value)
	case workshop.Hours:
		return hours(fig.Value)
	case workshop.Day:
		return day(fig.Text)
	case workshop.Name:
		return fig.Text
	}
	return strconv.FormatFloat(fig.Value, 'f', 0, 64)
}

// To is the address that an answer or an action leads to.
func (f Frame) To(t workshop.Target) string {
	switch t.Page {
	case "job":
		return fmt.Sprintf("%s/jobs/%d", f.Base(), t.ID)
	case "finding":
		return fmt.Sprintf("%s/findings/%d", f.Base(), t.ID)
	case "entry":
		return fmt.Sprintf("%s/ledger/%d", f.Base(), t.ID)
	case "case":
		return fmt.Sprintf("%s/cases/%d", f.Base(), t.ID)
	case "joint":
		return fmt.Sprintf("%s/joints/%d", f.Base(), t.ID)
	case "delivery":
		return fmt.Sprintf("%s/plan/waiting/%d", f.Base(), t.ID)
	case "zone":
		return f.Base() + "/zones/" + t.Zone
	case "stages":
		return fmt.Sprintf("%s/car#stage-%d", f.Base(), t.ID)
	case "":
		return f.Base() + "/now"
	}
	return f.Base() + "/" + t.Page
}
