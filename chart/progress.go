package chart

import (
	"fmt"
	"strconv"
	"strings"
)

// StageState says how far a stage is.
type StageState string

// The states of a stage.
const (
	StageAhead   StageState = "ahead"
	StageNow     StageState = "now"
	StageDone    StageState = "done"
	StageWaiting StageState = "waiting" // begun and held up
)

// Stage is one step of the way.
type Stage struct {
	Name  string
	State StageState
}

// Progress is the way from first to last stage.
type Progress struct {
	Head
	Stages []Stage
}

// NewProgress draws the stages as a row of numbered stations. On a phone only the stages in hand are named.
func NewProgress(p Progress) Figure {
	t := Table{Columns: []string{"Stage", "State"}}
	var now []string
	done := 0
	for i, s := range p.Stages {
		t.Rows = append(t.Rows, []string{strconv.Itoa(i+1) + " " + s.Name, string(s.state())})
		switch s.state() {
		case StageDone:
			done++
		case StageNow, StageWaiting:
			now = append(now, s.Name)
		}
	}
	if p.Desc == "" {
		p.Desc = fmt.Sprintf("%d of %d stages done.", done, len(p.Stages))
		if len(now) > 0 {
			p.Desc += " In hand: " + strings.Join(now, ", ") + "."
		}
	}
	return Figure{head: p.Head, role: "img", draw: p.draw, table: t}
}

func (s Stage) state() StageState {
	switch s.State {
	case StageNow, StageDone, StageWaiting:
		return s.State
	}
	return StageAhead
}

func (p Progress) draw(size Size) *drawing {
	if len(p.Stages) == 0 {
		return message(size, "No stages.")
	}
	g := &drawing{width: size.width(), height: 66}
	pitch := g.width / float64(len(p.Stages))
	r := min(13, pitch/2-2)
	for i, s := range p.Stages {
		at := point{pitch * (float64(i) + 0.5), 18}
		if i > 0 {
			class := "fig-way"
			if p.Stages[i-1].state() == StageDone {
				class += " fig-way-done"
			}
			g.add(level(class, at.y, at.x-pitch+r, at.x-r))
		}
		g.add(circleShape{"fig-station fig-station-" + string(s.state()), at, r})
		g.add(stationSign(s, i, at)...)
	}
	if size.narrow() {
		p.nameInHand(g, pitch)
	} else {
		p.nameAll(g, pitch)
	}
	return g
}

// stationSign is a tick when done, else the number: the state does not hang on colour alone.
func stationSign(s Stage, i int, at point) []shape {
	if s.state() == StageDone {
		return []shape{tickmark("fig-tickmark", at)}
	}
	class := "fig-text fig-small fig-station-number"
	if s.state() == StageNow {
		class += " fig-station-number-now"
	}
	return []shape{textShape{class: class, at: point{at.x, at.y + 4.3}, anchor: atMiddle, size: smallSize, text: strconv.Itoa(i + 1)}}
}

func tickmark(class string, at point) shape {
	return polyShape{class: class, points: []point{{at.x - 5, at.y}, {at.x - 1.5, at.y + 4}, {at.x + 5.5, at.y - 5}}}
}

func (p Progress) nameAll(g *drawing, pitch float64) {
	for i, s := range p.Stages {
		lines, short := wrap(s.Name, smallSize, (pitch-2)/boldWider, 2)
		for n, l := range lines {
			t := textShape{
				class: "fig-text fig-small fig-stage fig-stage-" + string(s.state()),
				at:    point{pitch * (float64(i) + 0.5), 46 + 14*float64(n)}, anchor: atMiddle, size: smallSize, text: l,
			}
			if short {
				t.title = s.Name
			}
			g.add(t)
		}
	}
}

// nameInHand writes the stages in hand in one centred line under the first of them.
func (p Progress) nameInHand(g *drawing, pitch float64) {
	var names []string
	at := 0.0
	for i, s := range p.Stages {
		if st := s.state(); st == StageNow || st == StageWaiting {
			if len(names) == 0 {
				at = pitch * (float64(i) + 0.5)
			}
			name := strconv.Itoa(i+1) + " " + s.Name
			if st == StageWaiting {
				name += " (waiting)"
			}
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		g.height = 38
		return
	}
	all := strings.Join(names, " · ")
	words, short := cut(all, textSize, (g.width-8)/boldWider)
	half := textWidth(words, textSize) * boldWider / 2
	t := label("fig-stage fig-stage-now", min(max(at, half+2), g.width-half-2), 52, atMiddle, words)
	if short {
		t.title = all
	}
	g.add(t)
}
