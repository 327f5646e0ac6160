package chart

import (
	"html/template"
	"strings"
)

// PlanKey returns the list that explains how PlanView shows the states; a page puts it below the figure.
func PlanKey() template.HTML {
	w := &svgWriter{}
	w.raw(`<ul class="fig-plan-key">`)
	for _, k := range []struct {
		mark  ZoneMark
		words string
	}{
		{ZoneMark{State: ZoneUnseen}, "not looked at"},
		{ZoneMark{State: ZoneClear}, "nothing found"},
		{ZoneMark{State: ZoneOpen, Open: 2}, "findings open"},
		{ZoneMark{State: ZoneSafety, Open: 2, Safety: 1}, "some touch safety"},
		{ZoneMark{State: ZoneSettled}, "settled"},
	} {
		w.raw(`<li><svg class="fig-svg" viewBox="0 0 44 30" aria-hidden="true" focusable="false">`)
		w.raw(`<g class="fig-zone-` + string(k.mark.State) + `">`)
		pathShape{"fig-zone-shape", "M2 2 L42 2 L42 28 L2 28 Z"}.writeSVG(w)
		for _, s := range zoneBadge(k.mark, point{22, 15}) {
			s.writeSVG(w)
		}
		w.raw(`</g></svg> ` + escape(k.words) + `</li>`)
	}
	w.raw(`<li>` + escape("dashed: lies beneath a panel") + `</li></ul>`)
	return template.HTML(strings.TrimSpace(w.b.String()))
}
