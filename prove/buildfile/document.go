package buildfile

// Document is what is told on paper, in the order of telling.
type Document struct {
	Title    string // the car
	Subtitle string
	Category string   // the salvage category in one plain sentence
	Glance   []Fact   // what the first page says at a glance
	Notice   []string // what the reader must know before anything else
	Sections []Section

	Edition     Edition
	MadeOn      string // as it is to be read
	Program     string
	Fingerprint string
	Author      string // of the metadata; empty: nobody
}

// Section is a chapter.
type Section struct {
	Title  string
	Blocks []Block
}

// Block is a piece of a section; exactly one of its fields is set.
type Block struct {
	Heading string // a heading below the section's
	Text    string // a paragraph
	Facts   []Fact
	Table   *Table
	List    []string
	Caution *Caution
	Verdict *Verdict
	Photos  []Photo
	Code    []string // lines to type
	Body    *BodyPlot
	Wheels  *WheelPlot
}

// BodyPlot is a body survey to be drawn from above and from the side. Axes: x
// forward, y left, z up; mm.
type BodyPlot struct {
	Points []BodyPoint
	Untold string // why nothing can be said of what moved; empty: it can
}

// BodyPoint is a measured point. Z is nil where heights were not measured.
type BodyPoint struct {
	ID   string
	X, Y float64
	Z    *float64
	// Moved is by how much it is not where it should be; nil: nothing shows that it
	// moved.
	Moved *[3]float64
}

// WheelPlot is how the wheels stand, to be drawn from above and from behind.
// Degrees; what is nil was not measured.
type WheelPlot struct {
	Wheels map[string]WheelStand // FL, FR, RL, RR
	Thrust *float64              // positive: the rear axle points to the right
}

// WheelStand is one wheel: toe-in and top leaning out are positive. The doubts are
// standard uncertainties.
type WheelStand struct{ Toe, ToeSD, Camber, CamberSD *float64 }

// Fact is a name and what is said under it.
type Fact struct{ Name, Value string }

// Table is a table; Shares are the relative widths of the columns.
type Table struct {
	Head   []string
	Shares []float64
	Right  []bool // columns set to the right: numbers; nil: none
	Rows   [][]string
}

// Caution is what can hurt and whose word stands above it.
type Caution struct{ Title, Text string }

// Verdict is how something stands, in a word that is set apart, and of what.
type Verdict struct {
	Word string // "pass", "fail", "cannot tell", "proven", "not proven", "open"
	Of   string
	Text string
}

// Good reports whether the word says that all is well, Bad that it is not.
func (v Verdict) Good() bool {
	return v.Word == "pass" || v.Word == "proven" || v.Word == "settled" || v.Word == "solved"
}

// Bad reports whether the word says that something is wrong.
func (v Verdict) Bad() bool {
	return v.Word == "fail" || v.Word == "not proven" || v.Word == "undone" || v.Word == "never"
}

// Photo is a picture by the hash that the book keeps it under.
type Photo struct {
	Hash    string
	Caption string
	Tag     string // "before", "after"; empty: neither
}

// PhotoHashes are the photos of the document, each once, in order.
func (d *Document) PhotoHashes() []string {
	var hashes []string
	seen := map[string]bool{}
	for _, s := range d.Sections {
		for _, b := range s.Blocks {
			for _, p := range b.Photos {
				if !seen[p.Hash] {
					seen[p.Hash] = true
					hashes = append(hashes, p.Hash)
				}
			}
		}
	}
	return hashes
}
