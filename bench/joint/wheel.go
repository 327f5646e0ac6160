package joint

// wheelOf is the wheel with that many studs; nil for none.
func wheelOf(studs int) (*Wheel, error) {
	if studs == 0 {
		return nil, nil
	}
	order, err := StarOrder(studs)
	if err != nil {
		return nil, err
	}
	return &Wheel{order, RetorqueKm}, nil
}

// RetorqueKm is the distance after which wheel nuts are tightened again: common
// practice, and the maker's word stands above it.
//
// ref: COMMON_PRACTICE
var RetorqueKm = [2]float64{50, 100}

// starOrders are the orders of tightening by the number of studs, the studs
// counted around from any one: each next one lies as far across as it can.
//
// ref: COMMON_PRACTICE
var starOrders = map[int][]int{
	3: {1, 2, 3},
	4: {1, 3, 2, 4},
	5: {1, 3, 5, 2, 4},
	6: {1, 4, 2, 5, 3, 6},
	8: {1, 5, 3, 7, 2, 6, 4, 8},
}

// StarOrder is the order in which the nuts of a wheel are tightened. The error is
// an [*InputError].
func StarOrder(studs int) ([]int, error) {
	order, ok := starOrders[studs]
	if !ok {
		return nil, wrong(InStuds, "3, 4, 5, 6 or 8", "a wheel with %d studs has no order known here", studs)
	}
	return append([]int(nil), order...), nil
}
