package survey

// planFirst is by how much space has to be the cheaper: a plan that by chance fits
// badly is no reason for heights.
const planFirst = 10.0 // ref: DESIGN_SURVEY_AIDS

// planOrSpace takes the plan where it explains the distances, else space where
// there are enough of them.
func (e *examination) planOrSpace() error {
	if err := e.in(2); err != nil {
		return err
	}
	plan, open, price, hopeless := e.a, e.open, e.price(), e.hopeless
	if plan.fits() && plan.net.used() == len(plan.net.readings) {
		e.note(inPlan)
		return nil
	}
	if len(e.c.Distances) > 3*len(e.n.ids)-6 {
		if err := e.in(3); err != nil {
			return err
		}
		if len(e.a.loose) == 0 && e.price() < price-planFirst {
			return e.flattened()
		}
	}
	e.a, e.open, e.hopeless = plan, open, hopeless
	if plan.fits() {
		e.note(inPlan)
		return nil
	}
	e.note("The distances fit no plan well and do not fix heights: read the height of every point over one level plane.")
	return nil
}

// flattened looks once more for a plan, from the space shape laid flat: the first may
// have been stuck. It is taken where it fits, or is the cheaper.
func (e *examination) flattened() error {
	space, open, hopeless, price := e.a, e.open, e.hopeless, e.price()
	net := e.network(2)
	enough := chiSquare(1-fitRisk/2, max(net.used()-net.size()+3, 1))
	x, squares := net.roughly(laidFlat(space.x))
	x, squares = net.unfolded(x, squares, enough)
	x, _ = net.replaced(x, squares, enough)
	if !net.hopeless(x) {
		a, err := net.adjust(x)
		if err != nil {
			return err
		}
		if e.a, e.open, err = a.snoop(); err != nil {
			return err
		}
		e.hopeless = false
		if sound := e.a.fits() && net.used() == len(net.readings); sound || e.price() < price+planFirst {
			e.note(inPlan)
			return nil
		}
	}
	e.a, e.open, e.hopeless = space, open, hopeless
	return nil
}

// laidFlat is places in space by their two longest directions.
func laidFlat(x []float64) []float64 {
	_, along := spreads(x)
	var flat []float64
	for i := 0; i < len(x); i += 3 {
		flat = append(flat, dot(x[i:i+3], along[2]), dot(x[i:i+3], along[1]))
	}
	return flat
}

const inPlan = "No heights were read and the distances fit a plan: worked out without z."

// price is what an explanation of the readings costs: its residuals, two for
// each unknown, and for each reading it throws out what would have been enough
// to throw it out.
//
// ref: DESIGN_SURVEY
func (e *examination) price() float64 {
	net := e.a.net
	limit := critical(readingRisk, len(net.readings))
	return e.a.squares + 2*float64(net.size()-e.a.defect) + limit*limit*float64(len(net.readings)-net.used())
}
