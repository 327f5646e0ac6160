package demo

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io/fs"

	"github.com/goccy/go-yaml"
)

//go:embed content
var content embed.FS

// story is one rebuild as the pages in content/ tell it. Days are counted back
// from the story's last Saturday; negative ones lie ahead.
type story struct {
	Car       carPage
	Weighed   appraisalPage // before it is bought
	Findings  []findingPage
	Jobs      []jobPage
	Plan      planPage
	Cases     []casePage
	Fastening fastening
	Strip     []offPage
	Checks    []checkPage
	Angles    []anglesPage
	Noises    []noisePage
	Surveys   []surveyPage
	Proving   proving
	Road      road
	Ledger    []entryPage
	Slips     []slipPage
}

type carPage struct {
	Name         string      `yaml:"name"`
	Maker        string      `yaml:"maker"`
	Model        string      `yaml:"model"`
	Age          int         `yaml:"age"` // years between the model year and today
	VIN          string      `yaml:"vin"`
	Plate        string      `yaml:"plate"`
	Colour       string      `yaml:"colour"`
	Jurisdiction string      `yaml:"jurisdiction"`
	Category     string      `yaml:"category"`
	DistanceUnit string      `yaml:"distance_unit"`
	Distance     int64       `yaml:"distance"`
	Begun        int         `yaml:"begun"`  // the day it was entered, where it was weighed before it was bought
	Bought       int         `yaml:"bought"` // of a candidate: not at all
	Currency     string      `yaml:"currency"`
	Ceiling      string      `yaml:"ceiling"`
	HoursPerWeek float64     `yaml:"hours_per_week"`
	Correlation  float64     `yaml:"correlation"`
	Wanted       *int        `yaml:"wanted"`
	Note         string      `yaml:"note"`
	Owner        string      `yaml:"owner"` // does what nobody else is named for
	Stages       []stageMove `yaml:"stages"`
	Zones        []zonePage  `yaml:"zones"`
}

// Deed is part of most pages: when something was done and by whom; nobody named: the owner.
// It has an exported name because the reader of YAML fills no other embedded one.
type Deed struct {
	Day int    `yaml:"day"`
	By  string `yaml:"by"`
}

type stageMove struct {
	Deed  `yaml:",inline"`
	Stage string `yaml:"stage"`
	State string `yaml:"state"`
	Note  string `yaml:"note"`
}

type zonePage struct {
	Deed     `yaml:",inline"`
	Zone     string     `yaml:"zone"`
	Expected float64    `yaml:"expected"`
	Cost     [3]float64 `yaml:"cost"`
	Opened   []opening  `yaml:"opened"`
	Note     string     `yaml:"note"`
}

type opening struct {
	Deed  `yaml:",inline"`
	Share float64 `yaml:"share"`
}

// picture is a drawing in the place of a photo.
type picture struct {
	Draw    string `yaml:"draw"`
	Text    string `yaml:"text"` // what is written on it: a reading
	Caption string `yaml:"caption"`
}

type findingPage struct {
	Deed     `yaml:",inline"`
	Key      string          `yaml:"key"`
	Zone     string          `yaml:"zone"`
	What     string          `yaml:"what"`
	How      string          `yaml:"how"`
	Severity string          `yaml:"severity"`
	Safety   bool            `yaml:"safety"`
	Photos   []picture       `yaml:"photos"`
	Changes  []findingChange `yaml:"changes"`
}

type findingChange struct {
	Deed      `yaml:",inline"`
	Severity  string `yaml:"severity"`
	Dismissed string `yaml:"dismissed"`
}

type jobPage struct {
	Deed          `yaml:",inline"`
	Key           string      `yaml:"key"`
	Title         string      `yaml:"title"`
	Zone          string      `yaml:"zone"`
	Findings      []string    `yaml:"findings"`
	Stage         string      `yaml:"stage"`
	Safety        string      `yaml:"safety"`
	Needed        *float64    `yaml:"needed"`
	Reference     string      `yaml:"reference"`
	ReferenceFrom string      `yaml:"reference_from"`
	Note          string      `yaml:"note"`
	Routes        []routePage `yaml:"routes"`
	Choose        *choice     `yaml:"choose"`
	Requotes      []requote   `yaml:"requotes"`
	Moves         []move      `yaml:"moves"`
	Timed         []timing    `yaml:"timed"`
}

// timing is the pump timed by thumb: the seconds from each start to the next.
type timing struct {
	Deed      `yaml:",inline"`
	Phase     string    `yaml:"phase"`
	Intervals []float64 `yaml:"intervals"`
	Note      string    `yaml:"note"`
}

// casePage is the search for the cause of a symptom.
type casePage struct {
	Deed     `yaml:",inline"`
	Key      string       `yaml:"key"`
	Title    string       `yaml:"title"`
	Model    string       `yaml:"model"` // key of the fault model that was copied
	Findings []string     `yaml:"findings"`
	Jobs     []string     `yaml:"jobs"`
	Together bool         `yaml:"together"`
	Note     string       `yaml:"note"`
	Steps    []triedPage  `yaml:"steps"`
	NotNow   []notNowPage `yaml:"not_now"`
}

// triedPage is one step: a test with its outcome or value, or a repair.
type triedPage struct {
	Deed     `yaml:",inline"`
	Test     string   `yaml:"test"`
	Outcome  string   `yaml:"outcome"`
	Value    *float64 `yaml:"value"`
	Repair   string   `yaml:"repair"`
	Cured    bool     `yaml:"cured"`
	Cause    string   `yaml:"cause"`    // the fault, where it cured
	Measured string   `yaml:"measured"` // the timing behind it: "pump before" is that of the job pump
	Note     string   `yaml:"note"`
}

type notNowPage struct {
	Deed `yaml:",inline"`
	What string `yaml:"what"`
}

type routePage struct {
	Kind     string        `yaml:"kind"`
	Method   string        `yaml:"method"`
	Name     string        `yaml:"name"`
	Cost     [3]float64    `yaml:"cost"`
	Hours    [3]float64    `yaml:"hours"`
	Works    *float64      `yaml:"works"`
	Fallback *fallbackPage `yaml:"fallback"`
	Basis    string        `yaml:"basis"`
}

type fallbackPage struct {
	Name  string     `yaml:"name"`
	Cost  [3]float64 `yaml:"cost"`
	Hours [3]float64 `yaml:"hours"`
}

// choice names a route by its place from 1; 0 is the first.
type choice struct {
	Deed  `yaml:",inline"`
	Route int `yaml:"route"`
}

type requote struct {
	Deed  `yaml:",inline"`
	Route int        `yaml:"route"`
	Cost  [3]float64 `yaml:"cost"`
	Basis string     `yaml:"basis"`
}

type move struct {
	Deed        `yaml:",inline"`
	State       string    `yaml:"state"`
	WaitingFor  string    `yaml:"waiting_for"`
	Hours       float64   `yaml:"hours"` // spent on the job by then
	Failed      bool      `yaml:"failed"`
	CostNothing bool      `yaml:"cost_nothing"`
	Proof       string    `yaml:"proof"`
	Proofs      []picture `yaml:"proofs"`
}

type entryPage struct {
	Deed     `yaml:",inline"`
	Key      string      `yaml:"key"`
	Sum      string      `yaml:"sum"`
	Kind     string      `yaml:"kind"`
	From     string      `yaml:"from"`
	What     string      `yaml:"what"`
	Job      string      `yaml:"job"`
	General  bool        `yaml:"general"`
	VAT      bool        `yaml:"vat"`
	Receipt  bool        `yaml:"receipt"`
	Lines    [][2]string `yaml:"lines"`    // what the receipt lists: words, sum
	Bought   bool        `yaml:"bought"`   // the purchase entered it; this writes out what for, with the receipt
	Entered  *int        `yaml:"entered"`  // the day it was written down, where later
	Assigned *int        `yaml:"assigned"` // the day its job was named, where later
}

type slipPage struct {
	Deed     `yaml:",inline"`
	Slip     string `yaml:"slip"`
	Cost     string `yaml:"cost"` // keys of what it happened to
	Job      string `yaml:"job"`
	Finding  string `yaml:"finding"`
	Route    int    `yaml:"route"`
	Severity string `yaml:"severity"`
}

// readStory reads the pages of one rebuild. A page that is not there is empty.
func readStory(folder string) (story, error) {
	var s story
	var ahead []jobPage
	err := errors.Join(
		readPage(folder+"/car.yaml", &s.Car),
		readPage(folder+"/weighed.yaml", &s.Weighed),
		readPage(folder+"/findings.yaml", &s.Findings),
		readPage(folder+"/jobs-finished.yaml", &s.Jobs),
		readPage(folder+"/jobs-ahead.yaml", &ahead),
		readPage(folder+"/plan.yaml", &s.Plan),
		readPage(folder+"/cases.yaml", &s.Cases),
		readPage(folder+"/joints.yaml", &s.Fastening),
		readPage(folder+"/strip.yaml", &s.Strip),
		readPage(folder+"/checks.yaml", &s.Checks),
		readPage(folder+"/angles.yaml", &s.Angles),
		readPage(folder+"/noise.yaml", &s.Noises),
		readPage(folder+"/survey.yaml", &s.Surveys),
		readPage(folder+"/prove.yaml", &s.Proving),
		readPage(folder+"/road.yaml", &s.Road),
		readPage(folder+"/ledger.yaml", &s.Ledger),
		readPage(folder+"/slips.yaml", &s.Slips),
	)
	s.Jobs = append(s.Jobs, ahead...)
	if err != nil {
		return s, err
	}
	return s, s.check(folder)
}

func readPage(name string, into any) error {
	data, err := content.ReadFile("content/" + name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("reading the page %s: %w", name, err)
	}
	return decodePage(name, data, into)
}

// decodePage refuses keys it does not know and keys given twice.
func decodePage(name string, data []byte, into any) error {
	if err := yaml.NewDecoder(bytes.NewReader(data), yaml.Strict()).Decode(into); err != nil {
		return fmt.Errorf("the page %s: %w", name, err)
	}
	return nil
}
