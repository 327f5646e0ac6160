package rooms

import "strings"

// room is one row of the floor plan: a folder and what its packages may import
// besides the standard library and, for test files, testing.
type room struct {
	folder  string   // "bench/*" stands for every folder one level below bench
	may     []string // folders of this module ("money/..." with all below) and paths of other modules; "any" is everything but closed rooms
	pure    bool     // no disk, no network, no clock, no shared randomness
	tests   bool     // only _test.go files may import it
	inTests []string // what its test files may import besides
}

const (
	numerics = "gonum.org/v1/gonum/..."
	yaml     = "github.com/goccy/go-yaml/..."
	text     = "golang.org/x/text/..."
	pixels   = "golang.org/x/image/..." // letters and outlines for the demo's pictures
)

// doubt is what every engine may import: not one another, not the heart of the
// program, nothing that does I/O.
var doubt = []string{"uncertain", "working", numerics}

// plan is the floor plan. Longer rows win over shorter ones, so money/forecast
// is an engine whatever the row of money says.
var plan = []room{
	{folder: "uncertain", may: []string{"working", numerics}, pure: true},
	{folder: "working", pure: true},
	{folder: "slips", pure: true},

	{folder: "appraise/*", may: doubt, pure: true},
	{folder: "diagnose", may: doubt, pure: true},
	{folder: "diagnose/faultmodel", may: []string{"diagnose", "casefile", "uncertain", "money/amount"}},
	{folder: "bench/*", may: doubt, pure: true},
	{folder: "bench/angles/anglesfile", may: []string{"bench/angles", "casefile", "uncertain"}},
	{folder: "bench/noise/track", may: doubt, pure: true},
	{folder: "bench/recording", may: []string{"github.com/mewkiz/flac/...", "github.com/hajimehoshi/go-mp3", "github.com/jfreymuth/oggvorbis"}, pure: true},
	{folder: "bench/listen", may: doubt, pure: true, inTests: []string{"bench/recording"}},
	{folder: "plan", may: append([]string{"slips"}, doubt...), pure: true},
	{folder: "prove", may: doubt, pure: true},
	{folder: "prove/*", may: doubt, pure: true},
	{folder: "money/forecast", may: doubt, pure: true},
	{folder: "money/savings", may: doubt, pure: true},
	{folder: "money/amount", may: []string{"github.com/bojanz/currency", text}, pure: true},
	{folder: "money/ledger", may: []string{"money/amount", "uncertain", "working"}, pure: true},

	{folder: "chart", pure: true},
	{folder: "casefile", may: []string{"slips", "uncertain", yaml}},
	{folder: "knowledge", may: []string{yaml}, inTests: []string{"rebuild", "casefile", "diagnose/..."}},
	{folder: "outside", tests: true},
	{folder: "rooms"},

	{folder: "rebuild", may: []string{"money/amount", "uncertain", text}, pure: true},
	{folder: "store", may: []string{"rebuild", "money/amount", "uncertain", "modernc.org/sqlite/...", "golang.org/x/sys/...", "golang.org/x/sync/..."}},
	{folder: "workshop", may: []string{
		"rebuild", "store", "knowledge", "uncertain", "working", "money/...",
		"appraise/...", "diagnose/...", "casefile", "bench/...", "plan", "prove/...", text, "golang.org/x/sync/...",
	}},
	{folder: "demo", may: []string{"rebuild", "knowledge", "workshop", "store", "chart", "money/amount", "uncertain", text, yaml, pixels}},
	{folder: "report", may: []string{"any"}},
	{folder: "web", may: []string{"any", "web/..."}},
	{folder: "web/*", may: []string{"any"}},
	{folder: "web/browsertest", may: []string{"any", "web/..."}},
	{folder: "cmd/wreckwright", may: []string{"any", "web/...", "cmd/wreckwright/..."}},
	{folder: "cmd/wreckwright/*", may: []string{"any"}},
}

// closed are the rooms that "any" leaves out: nothing imports the pages or the
// command but those whose row names them.
var closed = []string{"web", "cmd"}

// forTests is what test files may import wherever they stand.
var forTests = []string{
	"outside", "pgregory.net/rapid/...",
	"github.com/rogpeppe/go-internal/...", "github.com/chromedp/...",
}

// hands are the standard packages that reach outside the program.
var hands = []string{
	"os/...", "net/...", "io/ioutil", "io/fs", "path/filepath", "syscall", "plugin", "database/...",
	"log/...", "crypto/rand", "math/rand", "unsafe", "flag", "expvar",
}

// clock are the functions of package time that read or wait for the clock.
var clock = strings.Fields("Now Since Until Sleep After AfterFunc Tick NewTimer NewTicker")

// ownDice are the names of math/rand/v2 that take their randomness from a
// source passed in; all its other functions draw from one shared by everybody.
var ownDice = strings.Fields("New NewPCG NewChaCha8 NewZipf Rand PCG ChaCha8 Source Zipf")

// nameless are names that say nothing of what is inside.
var nameless = strings.Fields("utils util helpers helper common manager managers types misc shared base stuff")

// roomOf finds the row for a folder; the longest fitting one.
func roomOf(folder string) (room, bool) {
	best, found := room{}, false
	for _, r := range plan {
		if !fits(r.folder, folder) || found && len(r.folder) <= len(best.folder) {
			continue
		}
		best, found = r, true
	}
	return best, found
}

// fits reports whether a folder is the row's folder.
func fits(row, folder string) bool {
	parent, ok := strings.CutSuffix(row, "/*")
	if !ok {
		return row == folder
	}
	child, below := strings.CutPrefix(folder, parent+"/")
	return below && !strings.Contains(child, "/")
}

// allows reports whether a list of patterns holds a path; "x/..." is x and all
// below it.
func allows(patterns []string, path string) bool {
	for _, p := range patterns {
		stem, deep := strings.CutSuffix(p, "/...")
		if path == stem || deep && strings.HasPrefix(path, stem+"/") {
			return true
		}
	}
	return false
}
