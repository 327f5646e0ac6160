package web

import (
	"html/template"
	"net/http"

	"wreckwright/chart"
	"wreckwright/knowledge"
	"wreckwright/workshop"
)

// nowPage is the first page of a rebuild: the five questions at a glance, then
// what to do next with the reason for each.
type nowPage struct {
	Frame
	Answers *workshop.Answers
	Bar     template.HTML
	Way     template.HTML
	Off     int // things off the car, and how many of them can go back
	Ready   int
	Actions []nowAction
	More    []nowAction
}

type nowAction struct {
	workshop.Action
	Cautions []knowledge.Caution
}

// actionsAtOnce is how many next steps are shown before the fold.
const actionsAtOnce = 5

func (s *Server) nowShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Now", "now", rb)
	if err != nil {
		return err
	}
	answers, err := s.workshop.Answers(r.Context(), rb)
	if err != nil {
		return err
	}
	outlook, err := s.workshop.Forecast(r.Context(), rb)
	if err != nil {
		return err
	}
	actions, err := s.workshop.Next(r.Context(), rb)
	if err != nil {
		return err
	}
	page := nowPage{Frame: frame, Answers: &answers, Way: wayOf(rb), Off: len(rb.StillOff(""))}
	if page.Off > 0 {
		page.Ready = len(rb.Refit().Ready().Steps)
	}
	if outlook.Spent > 0 || outlook.Remaining.P90 > 0 {
		page.Bar = ceilingBar(frame, &outlook)
	}
	for i, a := range actions {
		shown := nowAction{Action: a}
		for _, hazard := range a.Hazards {
			if c, ok := knowledge.CautionFor(hazard); ok {
				shown.Cautions = append(shown.Cautions, c)
			}
		}
		if i < actionsAtOnce {
			page.Actions = append(page.Actions, shown)
		} else {
			page.More = append(page.More, shown)
		}
	}
	return s.show(w, http.StatusOK, "now", page)
}

// ceilingBar draws spent, to come and left under the ceiling.
func ceilingBar(f Frame, o *workshop.Outlook) template.HTML {
	bar := chart.CeilingBar{
		Head: chart.Head{ID: "bar", Title: "Spent, to come, and the ceiling"}, Money: f.drawnMoney(),
		Spent: o.Spent, P50: o.Total.P50, P80: o.Total.P80,
	}
	if o.Ceiling != nil {
		bar.Ceiling = *o.Ceiling
	}
	return chart.NewCeilingBar(bar).HTML()
}
