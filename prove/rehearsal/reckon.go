package rehearsal

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"wreckwright/working"
)

// Result is what came of looking at an item.
type Result string

// The results.
const (
	NotLooked Result = ""
	Pass      Result = "pass"
	Advisory  Result = "advisory"
	Fail      Result = "fail"
	NotForCar Result = "does not apply" // counts as looked at, and costs nothing
)

// Item is one thing that the inspection looks at.
type Item struct {
	Key, Name string
	Result    Result
	// InLimits is the chance of its measured figure to lie within the limits, 0 to 1;
	// nil: nothing was measured.
	InLimits *float64
	// Stale is set where something changed after it was looked at: the look counts no
	// more, unless it found a failure.
	Stale bool
	// Against is what stands open that fails it, whatever was seen; empty: nothing.
	Against string
	// Unseen is its chance to pass when nobody has looked at it, above 0, at most 1.
	Unseen float64
}

// Estimates are the chances with which an item passes the official test after what
// was seen of it.
type Estimates struct{ Pass, Advisory, Fail float64 }

// Own are the estimates of this program: who looks with a list misses little, an
// advisory may be called a failure by another eye, and what was seen to fail is
// seldom passed.
//
// ref: DESIGN_GATES rehearsal
var Own = Estimates{Pass: 0.99, Advisory: 0.85, Fail: 0.05}

// Weighed is an item with its chance.
type Weighed struct {
	Item
	Chance float64
	From   string // how the chance came about, in words
}

// Reckoned is the chance of an inspection.
type Reckoned struct {
	Chance  float64 // that nothing fails, 0 to 1
	Items   []Weighed
	Looked  int // items looked at
	Failing int // seen to fail, or with something open that fails them
	// Looking is the chance if all that was not looked at were found to pass.
	Looking float64
	// Weakest are the items that cost the most, weakest first: those of a chance
	// below that of a plain pass.
	Weakest []Weighed
	Working working.Working
}

// InputError says what is wrong with an item.
type InputError struct{ Item, Problem string }

func (e *InputError) Error() string { return fmt.Sprintf("the item %q: %s", e.Item, e.Problem) }

// Reckon gives the chance that an inspection of the items is passed.
func Reckon(items []Item, e Estimates) (Reckoned, error) {
	r := Reckoned{Chance: 1, Looking: 1}
	for _, it := range items {
		w, err := weigh(it, e)
		if err != nil {
			return Reckoned{}, err
		}
		r.Items = append(r.Items, w)
		r.Chance *= w.Chance
		r.count(w, e)
		if w.Chance < e.Pass {
			r.Weakest = append(r.Weakest, w)
		}
	}
	slices.SortStableFunc(r.Weakest, func(a, b Weighed) int { return cmp.Compare(a.Chance, b.Chance) })
	r.show()
	return r, nil
}

// count adds an item to what was looked at and to what fails.
func (r *Reckoned) count(w Weighed, e Estimates) {
	if w.Result == NotForCar {
		r.Looked++
		return
	}
	looked := (w.Result != NotLooked || w.InLimits != nil) && !w.stale()
	fails := w.Result == Fail || w.Against != ""
	if looked {
		r.Looked++
	}
	if fails {
		r.Failing++
	}
	if looked || fails {
		r.Looking *= w.Chance
	} else {
		r.Looking *= e.Pass
	}
}

// stale reports a look that counts no more.
func (it Item) stale() bool { return it.Stale && it.Result != Fail }

func weigh(it Item, e Estimates) (Weighed, error) {
	w := Weighed{Item: it}
	if !(it.Unseen > 0 && it.Unseen <= 1) {
		return w, &InputError{it.Key, fmt.Sprintf("%g is no chance to pass unseen: expected above 0, at most 1", it.Unseen)}
	}
	if p := it.InLimits; p != nil && !(*p >= 0 && *p <= 1) {
		return w, &InputError{it.Key, fmt.Sprintf("%g is no chance to lie within limits: expected 0 to 1", *p)}
	}
	switch it.Result {
	case NotForCar:
		w.Chance, w.From = 1, "does not apply to this car"
		return w, nil
	case Pass:
		w.Chance, w.From = e.Pass, "seen to pass"
	case Advisory:
		w.Chance, w.From = e.Advisory, "seen near its end"
	case Fail:
		w.Chance, w.From = e.Fail, "seen to fail"
	case NotLooked:
		w.Chance, w.From = it.Unseen, "not looked at"
	default:
		return w, &InputError{it.Key, fmt.Sprintf("%q is no result: expected pass, advisory, fail, does not apply or nothing", it.Result)}
	}
	switch {
	case it.Against != "" && it.Result != Fail:
		w.Chance, w.From = e.Fail, "open: "+it.Against
		return w, nil
	case it.stale():
		w.Chance, w.From = it.Unseen, "not looked at since something changed"
		return w, nil
	}
	if it.InLimits != nil && it.Result != Fail {
		w.Chance *= *it.InLimits
		w.From += ", times the chance of its figure to be within the limits"
	}
	return w, nil
}

// show writes the working: one line for each item that is not a plain pass.
func (r *Reckoned) show() {
	plain := 0
	for _, w := range r.Items {
		if w.Result == Pass && w.InLimits == nil && !w.Stale && w.Against == "" {
			plain++
			continue
		}
		r.Working.Add(w.Name, w.From, w.Chance, "", "own estimate")
	}
	r.Working.Add("items seen to pass", "each by the estimate for what was seen to pass", float64(plain), "", "own estimate")
	r.Working.Add("chance that nothing fails", "product of all items, taken as independent", r.Chance, "", "DESIGN_GATES")
}

// Tested is what the official test said of an item, beside the rehearsal.
type Tested struct {
	Key       string
	Rehearsed Result
	Found     Result
}

// Compared is a rehearsal held against the test.
type Compared struct {
	Agreed   []string // keys
	Missed   []string // looked at and not found, but the test failed or noted it
	Harsh    []string // found worse than the test did
	Unlooked []string // the test found it, and nobody had looked
	// Surprise is how little the rehearsal expected what came: minus the logarithm
	// to base two of the chance it gave to the outcome. 1 is the toss of a coin; nil:
	// no chance had been worked out.
	Surprise *float64
}

// gravity orders results.
func gravity(r Result) int { return slices.Index([]Result{NotLooked, Pass, Advisory, Fail}, r) }

// Compare holds what was expected against what the test found. passed is the
// test's outcome, chance what was expected of it; nil: not worked out.
func Compare(items []Tested, passed bool, chance *float64) Compared {
	var c Compared
	for _, it := range items {
		switch seen, found := gravity(it.Rehearsed), gravity(it.Found); {
		case it.Rehearsed == NotLooked && it.Found != Pass:
			c.Unlooked = append(c.Unlooked, it.Key)
		case it.Rehearsed == NotForCar && it.Found != Pass:
			c.Missed = append(c.Missed, it.Key)
		case it.Rehearsed == NotLooked, it.Rehearsed == NotForCar:
		case seen < found:
			c.Missed = append(c.Missed, it.Key)
		case seen > found:
			c.Harsh = append(c.Harsh, it.Key)
		default:
			c.Agreed = append(c.Agreed, it.Key)
		}
	}
	if chance != nil {
		p := *chance
		if !passed {
			p = 1 - p
		}
		bits := -math.Log2(math.Max(p, 1e-6))
		c.Surprise = &bits
	}
	return c
}
