package web

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"wreckwright/bench/check"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// toldNames are what an instrument is told, in words; empty: it stands elsewhere on
// the page.
var toldNames = map[string]string{
	"quantity": "", "name": "Measured", "which": "Which one", "unit": "In", "form": "Worked out as", "instrument_limit": "Instrument off by at most ±",
	"resolution": "Step of its scale", "part_limits": "Figures off by at most ±", "effort_unit": "Efforts in", "on": "Age counted to", "lower": "At least",
	"upper": "At most", "dangerous": "Dangerous beyond", "temperature_c": "Temperature, °C", "rim_mm": "Steering wheel, mm", "wears": "It wears", "limit_from": "The limit is for, or from", "limit_ref": "",
	"risk": "Chance of a wrong pass that is borne", "confirmed": "Ticked that it really reads that", "want": "It shall still go", "distance_unit": "Distances in",
	"speed": "Speed known as", "rpm": "Turns a minute", "speed_kmh": "Road speed, km/h", "track_file": "File of speeds",
	"track_start_s": "Recording began, s after its first point", "roll_out_mm": "Roll-out, mm", "roll_turns": "For turns of the wheel",
	"tread_blocks": "Blocks round the tread", "elements": "Balls or rollers in a row", "element_mm": "Their diameter, mm", "pitch_mm": "Pitch diameter, mm",
	"angle_deg": "Contact angle, °", "outer_turns": "The outer ring turns", "axle_ratio": "Axle ratio", "tag": "What the car did", "parts": "",
	"jurisdiction": "Place", "region": "Region", "model_year": "Model year",
}

// SetTo is what the instrument was told besides its readings, in words.
func (p evidencePage) SetTo() []string { return toldWords(p.Evidence.Settings, p.Evidence.Instrument) }

func toldWords(settings string, by rebuild.Instrument) []string {
	dec := json.NewDecoder(strings.NewReader(settings))
	if start, err := dec.Token(); err != nil || start != json.Delim('{') {
		return nil
	}
	var list []string
	for dec.More() {
		key, err := dec.Token()
		var value any
		if err != nil || dec.Decode(&value) != nil {
			return list
		}
		field := fmt.Sprint(key)
		name, known := toldNames[field]
		if !known {
			name = capital(strings.ReplaceAll(field, "_", " "))
		}
		if said := toldValue(field, value, by); name != "" && said != "" {
			list = append(list, name+": "+said)
		}
	}
	return list
}

// toldValue writes a value of the settings; empty: nothing to say.
func toldValue(field string, value any, by rebuild.Instrument) string {
	switch v := value.(type) {
	case nil:
		return ""
	case bool:
		return map[bool]string{true: "yes", false: "no"}[v]
	case float64:
		if field == "risk" {
			return percent(v)
		}
		return trimNumber(v)
	case string:
		return toldText(field, v, by)
	case []any:
		var parts []string
		for _, item := range v {
			parts = append(parts, toldValue("", item, by))
		}
		return strings.Join(parts, "; ")
	case map[string]any:
		var parts []string
		for name, item := range v {
			if said := toldValue("", item, by); said != "" {
				parts = append(parts, strings.ReplaceAll(name, "_", " ")+" "+said)
			}
		}
		slices.Sort(parts)
		return strings.Join(parts, ", ")
	}
	return fmt.Sprint(value)
}

// toldText is a word of the settings in a person's words.
func toldText(field, v string, by rebuild.Instrument) string {
	switch {
	case field == "form" && by == rebuild.InstrumentCheck:
		return formWords(v)
	case by == rebuild.InstrumentNoise && field == "speed":
		return map[string]string{workshop.SpeedRPM: "turns a minute", workshop.SpeedRoad: "road speed", workshop.SpeedTrack: "a file of speeds"}[v]
	case by == rebuild.InstrumentNoise && field == "corner":
		return workshop.CornerWords(v)
	case by == rebuild.InstrumentNoise && field == "tag":
		return tagWords(v)
	}
	return v
}

// formWords is how a quantity is worked out, in words.
func formWords(key string) string {
	for _, f := range check.Forms() {
		if f.Key == key {
			return f.What
		}
	}
	return strings.ReplaceAll(key, "_", " ")
}
