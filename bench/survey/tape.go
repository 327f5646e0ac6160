package survey

import "slices"

// Tape is which lines to measure, in the order of a walk round the car.
type Tape struct {
	Lines           []TapeLine   `json:"lines"`
	Heights         []string     `json:"heights"`
	Walk            []string     `json:"walk"`
	Points          []PointDoubt `json:"points"` // once all is read
	MeanRedundancy  float64      `json:"mean_redundancy"`
	LeastRedundancy float64      `json:"least_redundancy"` // of a distance
	Notes           []string     `json:"notes"`
}

// TapeLine is a line: stand at From; lines of one group have it in common.
type TapeLine struct {
	From  string  `json:"from"`
	To    string  `json:"to"`
	Mm    float64 `json:"mm"` // about
	Group int     `json:"group"`
}

// PointDoubt is how well a point is known along its worst direction.
type PointDoubt struct {
	ID        string  `json:"id"`
	SDMm      float64 `json:"sd_mm"`
	Direction string  `json:"direction"`
	Lines     int     `json:"lines"` // points it is measured to
	Fixed     bool    `json:"fixed"` // within the tolerance for 95 %
}

// linesEach is how many lines every point gets: one to spare over what a place
// takes.
const linesEach = 4

// TapeList chooses the lines of a fresh survey: one after another, each that which
// takes most off the sum of the variances for its length, until the readings check
// one another as well as asked. Errors are of type *[InputError].
//
// ref: DESIGN_SURVEY_AIDS
func TapeList(s Sketch) (Tape, error) {
	s = s.withDefaults()
	if err := s.sound(); err != nil {
		return Tape{}, err
	}
	dims := s.dims(Case{})
	p := &tapePlan{s: s, d: s.design(dims), left: s.candidates(), tape: Tape{Heights: []string{}, Notes: []string{}}}
	p.heights()
	if missing := p.unreachable(); len(missing) > 0 {
		return Tape{}, mistake(InSketch, 0, "too few lines lead to "+names(missing), "three lines or more at each point: a longer tape, or points between")
	}
	p.choose()
	p.check()
	p.order()
	return p.tape, nil
}

type tapePlan struct {
	s    Sketch
	d    *design
	left []reading
	tape Tape
}

// heights adds the readings of heights.
func (p *tapePlan) heights() {
	for range p.s.Heights.times() {
		for i, point := range p.s.Points {
			if !point.Floor {
				p.d.add(reading{kind: height, from: i, to: -1, sd: UsualHeightSDMm})
			}
		}
	}
}

// unreachable are the points that fewer than three lines lead to.
func (p *tapePlan) unreachable() []string {
	count := make([]int, len(p.s.Points))
	for _, r := range p.left {
		count[r.from]++
		count[r.to]++
	}
	var list []string
	for i, n := range count {
		if n < leastLines {
			list = append(list, p.s.Points[i].ID)
		}
	}
	return list
}

// take adds the best of the lines left by a measure; false where none is good.
func (p *tapePlan) take(worth func(reading) float64) bool {
	best, most := -1, 0.0
	for k, r := range p.left {
		if w := worth(r); w > most {
			best, most = k, w
		}
	}
	if best < 0 {
		return false
	}
	p.d.add(p.left[best])
	p.left = slices.Delete(p.left, best, best+1)
	return true
}

// choose adds lines until the mean redundancy is as asked and each point has its
// lines.
func (p *tapePlan) choose() {
	unknowns := float64(len(p.d.x) - 6)
	if p.d.net.dims == 2 || p.s.Heights != HeightsNone {
		unknowns = float64(len(p.d.x) - 3)
	}
	for unknowns/float64(max(len(p.d.net.readings), 1)) > 1-p.s.Redundancy {
		if !p.take(p.d.gain) {
			break
		}
	}
	for i := range p.s.Points {
		for len(p.d.lines[i]) < linesEach {
			if !p.take(func(r reading) float64 {
				if r.from != i && r.to != i {
					return 0
				}
				return p.d.gain(r)
			}) {
				break
			}
		}
	}
}

// check adds lines where a wrong one would hardly show.
func (p *tapePlan) check() {
	for range len(p.s.Points) {
		worst, least := -1, leastChecked
		for k, r := range p.d.redundancies() {
			if p.d.net.readings[k].kind == distance && r < least {
				worst, least = k, r
			}
		}
		if worst < 0 {
			return
		}
		e := p.d.net.equation(p.d.net.readings[worst], p.d.x)
		if !p.take(func(r reading) float64 { return p.d.narrows(e, r) }) {
			return
		}
	}
}

// narrows is by how much a reading lowers the variance of what the points say of
// another.
func (d *design) narrows(e equation, r reading) float64 {
	f := d.net.equation(r, d.x)
	var both float64
	for s := range e.n {
		for t := range f.n {
			both += e.by[s] * f.by[t] * d.q.At(e.at[s], f.at[t])
		}
	}
	return both * both / (r.sd*r.sd + f.variance(d.q))
}

// order puts the lines into the order of the walk: each at the end that comes
// first.
func (p *tapePlan) order() {
	walk := p.s.walk()
	at := make([]int, len(walk))
	for k, i := range walk {
		at[i] = k
		point := p.s.Points[i]
		p.tape.Walk = append(p.tape.Walk, point.ID)
		if !point.Floor && p.s.Heights != HeightsNone {
			p.tape.Heights = append(p.tape.Heights, point.ID)
		}
	}
	var lines []reading
	redundancies := p.d.redundancies()
	p.tape.LeastRedundancy = 1
	for k, r := range p.d.net.readings {
		p.tape.MeanRedundancy += redundancies[k] / float64(len(redundancies))
		if r.kind != distance {
			continue
		}
		p.tape.LeastRedundancy = min(p.tape.LeastRedundancy, redundancies[k])
		if at[r.from] > at[r.to] {
			r.from, r.to = r.to, r.from
		}
		lines = append(lines, r)
	}
	slices.SortFunc(lines, func(a, b reading) int {
		if a.from != b.from {
			return at[a.from] - at[b.from]
		}
		return at[a.to] - at[b.to]
	})
	group := 0
	for k, r := range lines {
		if k == 0 || lines[k-1].from != r.from {
			group++
		}
		p.tape.Lines = append(p.tape.Lines, TapeLine{From: p.d.net.ids[r.from], To: p.d.net.ids[r.to], Mm: r.mm, Group: group})
	}
	p.tape.Points = p.d.doubts(UsualToleranceMm)
	p.notes()
}

func (p *tapePlan) notes() {
	if p.tape.MeanRedundancy < p.s.Redundancy-0.01 {
		p.tape.Notes = append(p.tape.Notes, "The tape reaches too few lines for the readings to check one another as well as asked.")
	}
	if p.tape.LeastRedundancy < leastChecked {
		p.tape.Notes = append(p.tape.Notes, "Some lines are hardly checked by the others: read those twice.")
	}
	if p.s.Heights == HeightsOnce {
		p.tape.Notes = append(p.tape.Notes, "A height read once is checked by nothing: a misread one looks like a bent point.")
	}
	if p.d.net.dims == 2 {
		p.tape.Notes = append(p.tape.Notes, "Without heights nothing up or down is seen.")
	}
}
