package codes

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"wreckwright/outside"
)

// TestScaling holds live values against the scaling table, byte by byte.
func TestScaling(t *testing.T) {
	var cases []outside.Case
	for _, row := range []struct {
		data string
		want []float64
	}{
		{"04 4D", []float64{30.196}},
		{"05 7B", []float64{83}},
		{"06 85", []float64{3.906}},
		{"06 78", []float64{-6.25}},
		{"0A 64", []float64{300}},
		{"0B 65", []float64{101}},
		{"0C 1A F8", []float64{1726}},
		{"0C 0B B8", []float64{750}},
		{"0D 32", []float64{50}},
		{"0E 8C", []float64{6}},
		{"0F 46", []float64{30}},
		{"10 01 F4", []float64{5}},
		{"11 26", []float64{14.902}},
		{"14 5A FF", []float64{0.45}},
		{"1F 02 58", []float64{600}},
		{"22 10 00", []float64{323.584}},
		{"23 0F A0", []float64{40000}},
		{"24 80 00 80 00", []float64{1, 4}},
		{"2F 80", []float64{50.196}},
		{"31 00 C8", []float64{200}},
		{"32 FF FC", []float64{-1}},
		{"34 80 00 80 80", []float64{1, 0.5}},
		{"3C 12 5C", []float64{430}},
		{"42 37 DC", []float64{14.3}},
		{"43 00 5A", []float64{35.294}},
		{"44 80 00", []float64{1}},
		{"5C 82", []float64{90}},
		{"5E 00 C8", []float64{10}},
		{"A6 00 12 D6 87", []float64{123456.7}},
	} {
		r, err := Read("41 "+row.data, Place{}, Tables{})
		if err != nil || len(r.Values) != len(row.want) {
			t.Fatalf("%s: %v, %v", row.data, r.Values, err)
		}
		for i, want := range row.want {
			cases = append(cases, outside.Case{
				Source: "SAE_J1979", Where: "service 01 scaling", What: fmt.Sprintf("%s: %s", row.data, r.Values[i].Name),
				Got: r.Values[i].Value, Want: want, Tolerance: 5e-4 * math.Min(1, math.Abs(want)), Why: "worked by hand to 3 decimals",
			})
		}
	}
	outside.Check(t, cases)
}

// TestTwoBytes holds codes out of bytes against pairs of the standard's layout.
func TestTwoBytes(t *testing.T) {
	var cases []outside.TextCase
	for bytes, want := range map[[2]byte]string{
		{0x01, 0x33}: "P0133",
		{0x03, 0x00}: "P0300",
		{0x04, 0x20}: "P0420",
		{0x12, 0x34}: "P1234",
		{0x21, 0x87}: "P2187",
		{0x34, 0x00}: "P3400",
		{0x0A, 0x80}: "P0A80",
		{0x40, 0x35}: "C0035",
		{0x52, 0x34}: "C1234",
		{0x80, 0x01}: "B0001",
		{0x92, 0x34}: "B1234",
		{0x93, 0xA1}: "B13A1",
		{0xC1, 0x00}: "U0100",
		{0xC1, 0x58}: "U0158",
		{0xD0, 0x16}: "U1016",
		{0xF0, 0x00}: "U3000",
		{0xFF, 0xFF}: "U3FFF",
		{0x00, 0x00}: "",
	} {
		got, _ := fromBytes(bytes[0], bytes[1])
		cases = append(cases, outside.TextCase{Source: "SAE_J2012", Where: "two bytes to a code", What: fmt.Sprintf("%02X %02X", bytes[0], bytes[1]), Got: got, Want: want})
	}
	for code, want := range map[string]string{
		"P0301": Standard, "P1301": Maker, "P2187": Standard, "P3000": Maker, "P33FF": Maker, "P3400": Standard, "P3FFF": Standard,
		"B0001": Standard, "B1234": Maker, "B2234": Maker, "B3234": Reserved, "C0035": Standard, "C1234": Maker, "U0100": Standard, "U1016": Maker,
	} {
		cases = append(cases, outside.TextCase{Source: "SAE_J2012", Where: "standard and maker's codes", What: code, Got: origin(code), Want: want})
	}
	c := describe("P0303", []Group{{"P0300", "P03FF", "ignition or misfire", false}, {"P0301", "P0312", "misfire", true}})
	cases = append(cases, outside.TextCase{Source: "SAE_J2012", Where: "structure of a code", What: "P0303", Got: c.Meaning, Want: "powertrain, standard: misfire, cylinder 3"})
	outside.CheckText(t, cases)
}

// TestServices holds the codes of whole answers, with a count and without.
func TestServices(t *testing.T) {
	var cases []outside.TextCase
	for answer, want := range map[string]string{
		"43 01 33 00 00 00 00":        "P0133 stored",
		"43 02 01 33 04 20":           "P0133 stored, P0420 stored",
		"47 01 03 01":                 "P0301 pending",
		"4A 01 04 20":                 "P0420 permanent",
		"43 01 01 33 00 00 00":        "P0133 stored",
		"43 02 01 33 04 20 00":        "P0133 stored, P0420 stored",
		"43 01 01 33 AA AA AA":        "P0133 stored",
		"43 00 AA AA AA AA AA":        "",
		"43 01 33 04 20 03 01":        "P0133 stored, P0420 stored, P0301 stored",
		"43 00 00 00 00 00 00":        "",
		"43 00":                       "",
		"7E8 02 43 00 AA AA AA AA AA": "",
		"7E8 04 43 01 01 33 AA AA AA": "P0133 stored",
		"7E8 10 08 43 03 01 33 04 20\n7E8 21 03 01 AA AA AA AA AA": "P0133 stored, P0420 stored, P0301 stored",
		"48 6B 10 43 01 33 00 00 00 00 3F":                         "P0133 stored",
		"18DAF110 04 43 01 C1 00":                                  "U0100 stored",
	} {
		r, err := Read(answer, Place{}, Tables{})
		if err != nil || len(r.Unclear) > 0 {
			t.Errorf("%s: %v, %v", answer, err, r.Unclear)
		}
		var list []string
		for _, c := range r.Codes {
			list = append(list, c.Code+" "+c.State)
		}
		cases = append(cases, outside.TextCase{Source: "SAE_J1979", Where: "services 03, 07 and 0A", What: answer, Got: strings.Join(list, ", "), Want: want})
	}
	// A first frame of 20 bytes and its two followers, as the standard divides them.
	three := "7E8 10 14 43 09 01 00 01 01\n7E8 21 01 02 01 03 01 04 01\n7E8 22 05 01 06 01 07 01 08"
	r, err := Read(three, Place{}, Tables{})
	if err != nil || len(r.Codes) != 9 {
		t.Fatalf("%v, %v", r.Codes, err)
	}
	cases = append(cases, outside.TextCase{Source: "ISO_15765_2", Where: "frames", What: "20 bytes in three frames: the last code", Got: r.Codes[8].Code, Want: "P0108"})
	outside.CheckText(t, cases)
}

// TestStatus holds the self-tests against two worked answers.
func TestStatus(t *testing.T) {
	say := func(s Status) string {
		words := []string{fmt.Sprintf("lamp %v, %d, %s", s.LampOn, s.Codes, s.Ignition)}
		for _, m := range s.Monitors {
			word := m.Name
			if !m.Complete {
				word += "!"
			}
			words = append(words, word)
		}
		return strings.Join(words, ", ")
	}
	outside.CheckText(t, []outside.TextCase{
		{
			Source: "SAE_J1979", Where: "PID 01", What: "81 07 65 04: vapour not complete", Got: say(statusOf([]byte{0x81, 0x07, 0x65, 0x04})),
			Want: "lamp true, 1, spark, misfire, fuel system, components, catalyst, evaporative system!, oxygen sensor, oxygen sensor heater",
		},
		{
			Source: "SAE_J1979", Where: "PID 01", What: "00 07 65 00: all complete", Got: say(statusOf([]byte{0x00, 0x07, 0x65, 0x00})),
			Want: "lamp false, 0, spark, misfire, fuel system, components, catalyst, evaporative system, oxygen sensor, oxygen sensor heater",
		},
		{
			Source: "SAE_J1979", Where: "PID 01", What: "02 6E 4B 41: compression", Got: say(statusOf([]byte{0x02, 0x6E, 0x4B, 0x41})),
			Want: "lamp false, 2, compression, fuel system!, components!, hydrocarbon catalyst!, NOx treatment, boost pressure, particulate filter!",
		},
	})
}

// TestInspection holds the rules of readiness.
func TestInspection(t *testing.T) {
	one, two := 1, 2
	rules := []Rule{
		{Jurisdiction: "US", From: 1996, Until: 2000, Most: &two, Source: "CFR_40_85 85.2222"},
		{Jurisdiction: "US", From: 2001, Most: &one, Source: "CFR_40_85 85.2222"},
		{Jurisdiction: "US", Region: "California", Ignition: Spark, From: 2000, Most: &one, Only: []string{"evaporative system"}, Source: "CA_BAR_OBD incomplete monitors"},
		{Jurisdiction: "UK", Source: "MOT_MANUAL 8.2.1 engine lamp"},
	}
	judge := func(answer string, p Place) string {
		r, err := Read(answer, p, Tables{Rules: rules})
		if err != nil {
			t.Fatal(err)
		}
		return r.Verdict
	}
	const noneOpen, vapour, catalyst, both, lamp = "41 01 00 07 65 00", "41 01 00 07 65 04", "41 01 00 07 65 01", "41 01 00 07 65 05", "41 01 81 07 65 00"
	outside.CheckText(t, []outside.TextCase{
		{Source: "CFR_40_85", Where: "85.2222", What: "1998, two open", Got: judge(both, Place{"US", "", 1998}), Want: Pass},
		{Source: "CFR_40_85", Where: "85.2222", What: "2001, two open", Got: judge(both, Place{"US", "", 2001}), Want: Fail},
		{Source: "CFR_40_85", Where: "85.2222", What: "2001, one open", Got: judge(catalyst, Place{"US", "", 2001}), Want: Pass},
		{Source: "CFR_40_85", Where: "85.2222", What: "2001, the lamp on", Got: judge(lamp, Place{"US", "", 2001}), Want: Fail},
		{Source: "CFR_40_85", Where: "85.2222", What: "year not told", Got: judge(noneOpen, Place{"US", "", 0}), Want: CannotTell},
		{Source: "CA_BAR_OBD", Where: "incomplete monitors", What: "vapour open", Got: judge(vapour, Place{"US", "California", 2005}), Want: Pass},
		{Source: "CA_BAR_OBD", Where: "incomplete monitors", What: "catalyst open", Got: judge(catalyst, Place{"US", "California", 2005}), Want: Fail},
		{Source: "MOT_MANUAL", Where: "8.2.1 engine lamp", What: "the lamp on", Got: judge(lamp, Place{"UK", "", 0}), Want: Fail},
	})
	for want, got := range map[string]string{
		"nothing known of the place": judge(noneOpen, Place{"AU", "", 2010}),
		"no place told":              judge(noneOpen, Place{}),
		"number not laid down, open": judge(vapour, Place{"UK", "", 0}),
	} {
		if got != CannotTell {
			t.Errorf("%s: %s", want, got)
		}
	}
	if got := judge(noneOpen, Place{"UK", "", 0}); got != Pass {
		t.Errorf("number not laid down, none open: %s", got)
	}
}
