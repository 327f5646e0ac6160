package listen

import "wreckwright/working"

// Run is one run of the pump.
type Run struct {
	OnS        float64 `json:"on_s"`  // switched on, seconds into the recording
	OffS       float64 `json:"off_s"` // switched off
	OnDoubtS   float64 `json:"on_doubt_s"`
	OffDoubtS  float64 `json:"off_doubt_s"`
	OnHeard    bool    `json:"on_heard"`  // false: it ran before the recording began
	OffHeard   bool    `json:"off_heard"` // false: it ran on when the recording ended
	StrengthDB float64 `json:"strength_db"`
	FirstHz    float64 `json:"first_hz"` // the loudest tone soon after the start
	LastHz     float64 `json:"last_hz"`  // and at the end
}

// Tone is one line of the pump's sound, at the pitch of the middle of a run.
type Tone struct {
	Hz      float64 `json:"hz"`
	LevelDB float64 `json:"level_db"` // of full scale
}

// Result is what was heard.
type Result struct {
	Runs       []Run           `json:"runs"`
	IntervalsS []float64       `json:"intervals_s"` // from one start to the next, where both were heard
	DurationS  float64         `json:"duration_s"`
	Tones      []Tone          `json:"tones"`     // loudest first
	SpinUpS    *float64        `json:"spin_up_s"` // time constant of the motor gathering speed
	Cautions   []string        `json:"cautions"`
	Working    working.Working `json:"working"`
}
