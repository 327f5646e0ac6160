package gaugelog

// MaxRows is the longest log that is read: a week at ten readings a second. A
// reading takes 20 bytes: such a log stands in 121 MB.
const MaxRows = 7 * 24 * 3600 * 10

// maxLine is the longest line that is read, in bytes.
const maxLine = 1 << 20

// Options is what the person says about a log; what is left empty is guessed.
type Options struct {
	File     string // its name, for messages
	Time     string // header of the time column
	Pressure string // header of the pressure column
	Event    string // header of the column of marks
	Unit     string // bar, psi, kPa or MPa
}

// Setting is one of the [Options] by which a log is read.
type Setting string

// The settings.
const (
	SettingTime     Setting = "time"
	SettingPressure Setting = "pressure"
	SettingEvent    Setting = "event"
	SettingUnit     Setting = "unit"
)

// Log is what a logger wrote down. TimeS, PressureBar and Line are of one length
// and TimeS rises.
type Log struct {
	TimeS       []float64 // as written where the log counts seconds, else from its first row
	PressureBar []float64 // gauge
	Line        []int32   // line in the file, counted from 1
	Marks       []Mark
	Columns     Columns
	Missing     int // rows without a pressure
	Repeated    int // rows that share the stamp of the row above
}

// Mark is a cell of the column of marks where it is not empty and not the same
// as in the row above.
type Mark struct {
	AtS  float64 `json:"at_s"`
	Text string  `json:"text"`
	Line int     `json:"line"`
}

// Columns is how the file was understood.
type Columns struct {
	Time         string   `json:"time"`
	TimeForm     string   `json:"time_form"` // "s", "ms", "min", "h", "clock", "date and time"
	Pressure     string   `json:"pressure"`
	Unit         string   `json:"unit"`      // "bar", "psi", "kPa", "MPa"
	Absolute     bool     `json:"absolute"`  // the log holds absolute pressures; one standard atmosphere was taken off
	Event        string   `json:"event"`     // "" for none
	Separator    string   `json:"separator"` // "comma", "semicolon", "tab", "bar"
	DecimalComma bool     `json:"decimal_comma"`
	HeaderLine   int      `json:"header_line"`
	Guessed      []string `json:"guessed"` // what was guessed, in words
}

// Run is one run of the pump.
type Run struct {
	OnS  float64 `json:"on_s"`
	OffS float64 `json:"off_s"`
}
