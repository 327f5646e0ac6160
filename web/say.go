package web

import (
	"fmt"
	"strconv"

	"wreckwright/money/amount"
	"wreckwright/workshop"
)

// Say writes a sentence of the workshop with its figures in the reader's locale.
func (f Frame) Say(p workshop.Phrase) string { return p.Say(f.Shown) }

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
	case "zone":
		return f.Base() + "/zones/" + t.Zone
	case "stages":
		return fmt.Sprintf("%s/car#stage-%d", f.Base(), t.ID)
	case "":
		return f.Base() + "/now"
	}
	return f.Base() + "/" + t.Page
}
