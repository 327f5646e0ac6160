package web

import (
	"strings"

	"wreckwright/workshop"
)

// doubt asks about readings that look like a slip of the key. One that was ticked
// is kept, and the tick with it; what nothing can read is refused whatever is
// ticked.
func (p *checkPage) doubt(f *Form, text string, s *workshop.CheckSettings) {
	if p.Ask.Shape == workshop.ShapeWeek {
		return // four digits, which are held to weeks by themselves
	}
	rows, err := workshop.ReadReadings(text)
	if err != nil {
		return // the instrument says what is wrong with them
	}
	for _, d := range workshop.DoubtReadings(rows, *s) {
		field := "taken"
		if p.Ask.Shape == workshop.ShapeParts {
			field = "part." + partName(p.Ask, d.Part)
		}
		said := d.Text
		if d.Part != "" {
			said = capital(workshop.PartWords(d.Part)) + ": " + d.Text
		}
		ticked := f.Has("really", d.Key()) && !d.Impossible
		if !d.Impossible {
			p.Slips = append(p.Slips, slip{d.Key(), readsWords(d), ticked})
		}
		if ticked {
			s.Confirmed = append(s.Confirmed, said)
			continue
		}
		f.problem(field, "%s", said)
	}
}

// doubtValue asks about what comes out, where each reading is plausible.
func (p *checkPage) doubtValue(f *Form, said workshop.Checked, s *workshop.CheckSettings) {
	text := workshop.DoubtValue(said)
	if text == "" {
		return
	}
	const key = "value"
	ticked := f.Has("really", key)
	p.Slips = append(p.Slips, slip{key, "It really comes out so", ticked})
	if ticked {
		s.Confirmed = append(s.Confirmed, text)
		return
	}
	f.problem("taken", "%s", text)
}

func readsWords(d workshop.ReadingDoubt) string {
	first, _, _ := strings.Cut(d.Text, ":")
	first, _, _ = strings.Cut(first, " beside")
	first, _, _ = strings.Cut(first, ";")
	if d.Part != "" {
		return capital(workshop.PartWords(d.Part)) + " really reads " + first
	}
	return "It really reads " + first
}

// partName is the field of a part.
func partName(ask workshop.CheckAsk, part string) string {
	for _, a := range ask.Parts {
		if a.Name == part {
			return a.Field
		}
	}
	return part
}
