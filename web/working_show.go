package web

import (
	"strings"

	"wreckwright/knowledge"
	"wreckwright/working"
)

const (
	// longWorking is how many steps a working may have and still be read at once.
	longWorking = 16
	// fewAlike is how many steps "name: item" of one name make a list of items.
	fewAlike = 4
)

// foldedWorking is a working in two parts: the lines that lead to the figure and
// those of the single items, which a long working keeps behind a fold.
type foldedWorking struct{ Lines, Items working.Working }

// foldWorking parts a long working. A line belongs to the items when its name is
// of the form "what: item" and several lines share the "what".
func foldWorking(w working.Working) foldedWorking {
	if len(w) <= longWorking {
		return foldedWorking{Lines: w}
	}
	alike := map[string]int{}
	for _, step := range w {
		if name, _, ok := strings.Cut(step.What, ": "); ok {
			alike[name]++
		}
	}
	var folded foldedWorking
	for _, step := range w {
		if name, _, ok := strings.Cut(step.What, ": "); ok && alike[name] >= fewAlike {
			folded.Items = append(folded.Items, step)
		} else {
			folded.Lines = append(folded.Lines, step)
		}
	}
	return folded
}

// shownSource is what a step of a working rests on, in words, and the key under
// which the register holds it.
type shownSource struct{ Words, Key string }

// sourceOf puts a step's source into words: the title of the registered source
// with the place in it. What is no key, such as "own estimate", stays as it is.
func sourceOf(source string) shownSource {
	key, where, _ := strings.Cut(source, " ")
	found, ok := knowledge.SourceFor(key)
	if !ok {
		return shownSource{Words: source}
	}
	words := found.Title
	if where != "" {
		words += ", " + where
	}
	return shownSource{Words: words, Key: source}
}

// sourcesOf puts several sources, divided by semicolons, into words.
func sourcesOf(sources string) []shownSource {
	var shown []shownSource
	for source := range strings.SplitSeq(sources, "; ") {
		if source != "" {
			shown = append(shown, sourceOf(source))
		}
	}
	return shown
}
