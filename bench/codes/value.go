package codes

// Value is one live value.
type Value struct {
	PID     string  `json:"pid"` // two hexadecimal digits
	Name    string  `json:"name"`
	Value   float64 `json:"value"`
	Unit    string  `json:"unit"`
	Formula string  `json:"formula"` // in the bytes A, B, C, D
	Raw     string  `json:"raw"`
	From    string  `json:"from"` // header of the control unit
	Line    int     `json:"line"`
}

// scale is how bytes become a value: whole number times mul over div, plus off.
type scale struct {
	name, unit, formula string
	first, n            int
	mul, div, off       float64
	signed              bool
	unused              byte // last byte that says that the value is not there; 0: none
}

// parameter is one identifier of service 01.
type parameter struct {
	bytes  int
	scales []scale
}

// one and two are the scales of a byte and of two, from A on.
func one(name, unit, formula string, mul, div, off float64) parameter {
	return parameter{1, []scale{{name: name, unit: unit, formula: formula, n: 1, mul: mul, div: div, off: off}}}
}

func two(name, unit, formula string, mul, div, off float64) parameter {
	return parameter{2, []scale{{name: name, unit: unit, formula: formula, n: 2, mul: mul, div: div, off: off}}}
}

func share(name string) parameter   { return one(name, "%", "A x 100 / 255", 100, 255, 0) }
func trim(name string) parameter    { return one(name, "%", "A x 100 / 128 - 100", 100, 128, -100) }
func celsius(name string) parameter { return one(name, "degrees C", "A - 40", 1, 1, -40) }
func counted(name, unit string) parameter {
	return two(name, unit, "256 A + B", 1, 1, 0)
}

// parameters are the identifiers that are worked out.
//
// ref: SAE_J1979 service 01 scaling
var parameters = map[byte]parameter{
	0x03: {2, nil}, 0x12: {1, nil}, 0x13: {1, nil}, 0x1C: {1, nil}, 0x1D: {1, nil}, 0x1E: {1, nil}, 0x41: {4, nil}, 0x51: {1, nil},
	0x04: share("calculated load"),
	0x05: celsius("coolant temperature"),
	0x06: trim("short fuel trim, bank 1"),
	0x07: trim("long fuel trim, bank 1"),
	0x08: trim("short fuel trim, bank 2"),
	0x09: trim("long fuel trim, bank 2"),
	0x0A: one("fuel pressure, gauge", "kPa", "3 A", 3, 1, 0),
	0x0B: one("manifold pressure, absolute", "kPa", "A", 1, 1, 0),
	0x0C: two("engine speed", "1/min", "(256 A + B) / 4", 1, 4, 0),
	0x0D: one("speed", "km/h", "A", 1, 1, 0),
	0x0E: one("timing advance before top dead centre", "degrees", "A / 2 - 64", 1, 2, -64),
	0x0F: celsius("intake air temperature"),
	0x10: two("air flow", "g/s", "(256 A + B) / 100", 1, 100, 0),
	0x11: share("throttle position"),
	0x1F: counted("run time since start", "s"),
	0x21: counted("distance with the lamp on", "km"),
	0x22: two("rail pressure above manifold", "kPa", "0.079 (256 A + B)", 79, 1000, 0),
	0x23: two("rail pressure, gauge", "kPa", "10 (256 A + B)", 10, 1, 0),
	0x2C: share("exhaust recirculation commanded"),
	0x2D: trim("exhaust recirculation error"),
	0x2E: share("evaporative purge commanded"),
	0x2F: share("fuel level"),
	0x30: one("warm-ups since codes were cleared", "", "A", 1, 1, 0),
	0x31: counted("distance since codes were cleared", "km"),
	0x32: {2, []scale{{name: "evaporative system pressure", unit: "Pa", formula: "(256 A + B) / 4, signed", n: 2, mul: 1, div: 4, signed: true}}},
	0x33: one("pressure of the air", "kPa", "A", 1, 1, 0),
	0x3C: two("catalyst temperature, bank 1, sensor 1", "degrees C", "(256 A + B) / 10 - 40", 1, 10, -40),
	0x3D: two("catalyst temperature, bank 2, sensor 1", "degrees C", "(256 A + B) / 10 - 40", 1, 10, -40),
	0x3E: two("catalyst temperature, bank 1, sensor 2", "degrees C", "(256 A + B) / 10 - 40", 1, 10, -40),
	0x3F: two("catalyst temperature, bank 2, sensor 2", "degrees C", "(256 A + B) / 10 - 40", 1, 10, -40),
	0x42: two("control unit voltage", "V", "(256 A + B) / 1000", 1, 1000, 0),
	0x43: two("absolute load", "%", "(256 A + B) x 100 / 255", 100, 255, 0),
	0x44: two("lambda commanded", "", "(256 A + B) x 2 / 65536", 2, 65536, 0),
	0x45: share("relative throttle position"),
	0x46: celsius("ambient temperature"),
	0x47: share("throttle position B"),
	0x49: share("pedal position D"),
	0x4A: share("pedal position E"),
	0x4C: share("throttle commanded"),
	0x4D: counted("time with the lamp on", "min"),
	0x4E: counted("time since codes were cleared", "min"),
	0x59: two("rail pressure, absolute", "kPa", "10 (256 A + B)", 10, 1, 0),
	0x5C: celsius("oil temperature"),
	0x5E: two("fuel rate", "L/h", "(256 A + B) / 20", 1, 20, 0),
	0xA6: {4, []scale{{name: "odometer", unit: "km", formula: "(A 2^24 + B 2^16 + C 2^8 + D) / 10", n: 4, mul: 1, div: 10}}},
}

// parameterOf finds an identifier, the families of oxygen sensors included.
func parameterOf(pid byte) (parameter, bool) {
	switch {
	case pid >= 0x14 && pid <= 0x1B:
		return parameter{2, []scale{
			{name: "oxygen sensor voltage", unit: "V", formula: "A / 200", n: 1, mul: 1, div: 200},
			{name: "short fuel trim of the oxygen sensor", unit: "%", formula: "B x 100 / 128 - 100", first: 1, n: 1, mul: 100, div: 128, off: -100, unused: 0xFF},
		}}, true
	case pid >= 0x24 && pid <= 0x2B:
		return parameter{4, []scale{
			{name: "lambda at the sensor", formula: "(256 A + B) x 2 / 65536", n: 2, mul: 2, div: 65536},
			{name: "oxygen sensor voltage", unit: "V", formula: "(256 C + D) x 8 / 65536", first: 2, n: 2, mul: 8, div: 65536},
		}}, true
	case pid >= 0x34 && pid <= 0x3B:
		return parameter{4, []scale{
			{name: "lambda at the sensor", formula: "(256 A + B) x 2 / 65536", n: 2, mul: 2, div: 65536},
			{name: "oxygen sensor current", unit: "mA", formula: "(256 C + D) / 256 - 128", first: 2, n: 2, mul: 1, div: 256, off: -128},
		}}, true
	case pid%0x20 == 0: // which identifiers there are
		return parameter{4, nil}, true
	}
	p, ok := parameters[pid]
	return p, ok
}

// work gives the value of bytes; ok is false where they say that there is none.
func (s scale) work(data []byte) (value float64, ok bool) {
	part := data[s.first : s.first+s.n]
	if s.unused != 0 && part[s.n-1] == s.unused {
		return 0, false
	}
	var raw int64
	for _, b := range part {
		raw = raw<<8 | int64(b)
	}
	if s.signed && part[0] >= 0x80 {
		raw -= 1 << (8 * s.n)
	}
	return float64(raw)*s.mul/s.div + s.off, true
}
