package chart

import "html/template"

// List returns the events as a numbered list: the number, mark and order are those of the figure, so that a page can
// put it beside or below. Entries carry the id EventID.
func (t Timeline) List() template.HTML {
	w := &svgWriter{}
	w.raw(`<ol class="fig-story-list">`)
	for i, e := range t.InOrder() {
		w.open("li", "id", t.EventID(i+1))
		w.raw(`><svg class="fig-svg" viewBox="0 0 20 20" aria-hidden="true" focusable="false">`)
		eventShape(e.weight(), point{10, 10}, 7).writeSVG(w)
		w.raw(`</svg> `)
		w.raw(eventDay(e) + " " + escape(e.words()))
		if words := e.weight().words(); words != "" {
			w.open("strong", "class", "fig-story-weight-"+string(e.weight()))
			w.raw(">" + escape(words) + "</strong>")
		}
		w.raw("</li>")
	}
	w.raw("</ol>")
	return template.HTML(w.b.String())
}

func eventDay(e TimelineEvent) string {
	if e.Date.IsZero() {
		return `<span class="fig-story-day">` + escape("no date") + `</span>`
	}
	iso := e.Date.Format(isoDate)
	return `<time class="fig-story-day" datetime="` + escape(iso) + `">` + escape(dayWords(e.Date)) + `</time>`
}
