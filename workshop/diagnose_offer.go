package workshop

import (
	"cmp"
	"fmt"
	"strings"

	"wreckwright/diagnose/faultmodel"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// Offer is a measurement of the book that answers a test: shown with its value,
// taken with one tap, never of itself.
type Offer struct {
	Evidence *rebuild.Evidence
	Value    float64
	SD       float64 // standard uncertainty; 0: not known, taken as exact
	Unit     string
}

// Wide is the half width of the value's 95 % interval.
func (o Offer) Wide() float64 { return uncertain.HalfOf95 * o.SD }

// offerFor is the newest measurement with the figure that answers the test and
// that no step leans on yet; nil where there is none.
func offerFor(r *rebuild.Rebuild, k *rebuild.Case, note faultmodel.TestNote) *Offer {
	var best *Offer
	for i := range r.Evidence {
		e := &r.Evidence[i]
		if k.ReadsEvidence(e.ID) || best != nil && !newer(e, best.Evidence) {
			continue
		}
		if offer := offered(e, note); offer != nil {
			best = offer
		}
	}
	return best
}

// offered is what a measurement says to a test; nil where it is of another kind.
func offered(e *rebuild.Evidence, note faultmodel.TestNote) *Offer {
	f := figureOf(e, note)
	if note.Instrument == "" || string(e.Instrument) != note.Instrument || f == nil {
		return nil
	}
	offer := &Offer{Evidence: e, Value: f.Value, Unit: f.Unit}
	if f.Low != nil && f.High != nil {
		offer.SD = (*f.High - *f.Low) / (2 * uncertain.HalfOf95)
	}
	return offer
}

// figureOf is the figure of the measurement that the test asks for, in its unit.
func figureOf(e *rebuild.Evidence, note faultmodel.TestNote) *rebuild.EvidenceFigure {
	for i := range e.Figures {
		f := &e.Figures[i]
		if strings.EqualFold(f.Name, note.Figure) && (note.Unit == "" || f.Unit == note.Unit) {
			return f
		}
	}
	return nil
}

// newer compares two measurements by when they were taken.
func newer(a, b *rebuild.Evidence) bool {
	return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.At, b.At), cmp.Compare(a.ID, b.ID)) > 0
}

// OfferOf is what one measurement says to a test of the case.
func (w *Workshop) OfferOf(r *rebuild.Rebuild, k *rebuild.Case, test string, evidence int64) (Offer, error) {
	model, err := w.Model(k.Model)
	if err != nil {
		return Offer{}, err
	}
	at := testAt(&model.Case, test)
	if at < 0 {
		return Offer{}, fmt.Errorf("the fault model has no test %q", test)
	}
	e := r.EvidenceAt(evidence)
	if e == nil {
		return Offer{}, fmt.Errorf("measurement %d is not there any more", evidence)
	}
	offer := offered(e, model.Tests[at])
	if offer == nil {
		return Offer{}, fmt.Errorf("the measurement %q does not hold what the test asks for", e.Title)
	}
	return *offer, nil
}
