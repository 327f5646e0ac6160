package joint

// testTables are a few rows in the shape of knowledge's lists, enough for the
// tests of this package; workshop's tests hold the whole lists to print.
func testTables() Tables {
	metric := func(name string, d float64, pitches ...float64) ThreadSize {
		s := ThreadSize{System: Metric, Name: name, DiameterMm: d, Source: "ISO_261 table 2"}
		for i, p := range pitches {
			series := "fine"
			if i == 0 {
				series = "coarse"
			}
			s.Pitches = append(s.Pitches, Pitch{Mm: p, Series: series})
		}
		return s
	}
	unified := func(name string, inch, unc, unf float64) ThreadSize {
		return ThreadSize{System: Unified, Name: name, DiameterMm: 25.4 * inch, Pitches: []Pitch{{25.4 / unc, unc, "UNC"}, {25.4 / unf, unf, "UNF"}}}
	}
	class := func(name string, system System, over, upTo, tensile, yield, proof float64) Class {
		return Class{Name: name, System: system, OverMm: over, UpToMm: upTo, TensileMPa: tensile, YieldMPa: yield, ProofMPa: proof, Source: "ISO_898_1 table 3"}
	}
	stainless := class("A2-70", Metric, 0, 24, 700, 450, 0)
	stainless.Stainless = true
	noCoarse := metric("M26", 26, 1.5)
	noCoarse.Pitches[0].Series = "fine"
	head := func(kind string, d, bearing, hole float64) Head {
		return Head{Kind: kind, System: Metric, DiameterMm: d, BearingMm: bearing, HoleMm: hole, Source: "ISO_4014 dw"}
	}
	return Tables{
		Threads: []ThreadSize{
			metric("M6", 6, 1, 0.75), metric("M8", 8, 1.25, 1, 0.75), metric("M10", 10, 1.5, 1.25, 1, 0.75), metric("M12", 12, 1.75, 1.5, 1.25, 1),
			metric("M14", 14, 2, 1.5, 1.25, 1), metric("M16", 16, 2, 1.5, 1), metric("M18", 18, 2.5, 2, 1.5, 1), noCoarse,
			unified("#10", 0.19, 24, 32), unified("1/4", 0.25, 20, 28), unified("3/8", 0.375, 16, 24), unified("1/2", 0.5, 13, 20),
			unified("3/4", 0.75, 10, 16), unified("1 1/4", 1.25, 7, 12),
		},
		Classes: []Class{
			class("4.6", Metric, 0, 39, 400, 240, 225), class("8.8", Metric, 0, 16, 800, 640, 580), class("8.8", Metric, 16, 39, 830, 660, 600),
			class("9.8", Metric, 0, 16, 900, 720, 650), class("10.9", Metric, 0, 39, 1040, 940, 830), class("12.9", Metric, 0, 39, 1220, 1100, 970),
			stainless, class("grade 5", Unified, 0, 25.4, 120*MPaPerKsi, 92*MPaPerKsi, 85*MPaPerKsi),
			class("grade 8", Unified, 0, 38.1, 150*MPaPerKsi, 130*MPaPerKsi, 120*MPaPerKsi),
		},
		Nuts: []Nut{
			{Name: "8", Carries: []string{"4.6", "8.8"}},
			{Name: "10", Carries: []string{"4.6", "8.8", "9.8", "10.9"}},
			{Name: "12", Carries: []string{"4.6", "8.8", "9.8", "10.9", "12.9"}},
			{Name: "04", Thin: true},
			{Name: "grade 5", Carries: []string{"grade 5"}},
		},
		Heads: []Head{
			head("hex", 6, 8.88, 6.6), head("hex", 8, 11.63, 9), head("hex", 10, 14.63, 11), head("hex", 12, 16.63, 13.5), head("hex", 14, 19.64, 15.5),
			head("hex", 16, 22.49, 17.5), head("flange", 10, 19.6, 11), head("flange", 12, 23.8, 13.5),
			{Kind: "hex", System: Unified, DiameterMm: 12.7, BearingMm: 18.1, HoleMm: 14.3},
			{Kind: "hex", System: Unified, DiameterMm: 9.525, BearingMm: 13.6, HoleMm: 10.3},
			{Kind: "cone", System: Metric, DiameterMm: 12, BearingMm: 18.6, HoleMm: 13.8, SeatDeg: 60},
		},
		Surfaces: []Surface{
			{Key: "oiled", Name: "light oil", Low: 0.08, Likely: 0.12, High: 0.16, Source: "VDI_2230 table A5 class B"},
			{Key: "dry", Name: "bare, dry", Low: 0.14, Likely: 0.19, High: 0.24, Dry: true, Source: "VDI_2230 table A5 class C"},
		},
		NutFactors: []Finish{{"zinc", "zinc plated", 0.20, "SHIGLEY table 8-15"}},
		Methods: []Method{
			{Key: "wrench", Name: "torque wrench", Alpha: 2, AlphaLow: 1.6, AlphaHigh: 2},
			{Key: "angle", Name: "torque and angle", Alpha: 1.4, AlphaLow: 1.2, AlphaHigh: 1.4},
			{Key: "tested", Name: "torque found by test", Alpha: 1.6},
			{Key: "impact", Name: "impact wrench", Alpha: 4},
			{Key: "stretch", Name: "stretch measured", Alpha: 1.2},
		},
		Materials: []Material{
			{"steel", "mild steel", 207, 490, 220, "SHIGLEY table 8-8"},
			{"aluminium", "wrought aluminium", 71, 360, 200, "SHIGLEY table 8-8"},
			{"composite", "fibre composite", 10, 120, 0, ""},
			{"steel-hard", "heat-treated steel", 207, 850, 900, ""},
		},
		Prevailing: []Prevailing{{"M8", 6, 0.85, 0.60, "ISO_2320 table class 04"}},
	}
}

// hexMetric is the contact of a metric thread under a hexagon head.
func hexMetric(d, pitch float64) Contact {
	t := Thread{System: Metric, DiameterMm: d, PitchMm: pitch}
	h, _, err := testTables().head("hex", t)
	if err != nil {
		panic(err)
	}
	return Contact{t, h}
}
