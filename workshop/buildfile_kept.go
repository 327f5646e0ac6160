package workshop

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// Built is a build file that was made on a page.
type Built struct {
	Name       string            `json:"name"` // of the ZIP in the book's folder of built files
	MadeAt     string            `json:"made_at"`
	Edition    buildfile.Edition `json:"edition"`
	Money      bool              `json:"money"`
	Originals  bool              `json:"originals"`
	Version    int64             `json:"version"` // of the rebuild
	Bytes      int64             `json:"bytes"`
	LeftOut    int               `json:"left_out"`
	RecordHead string            `json:"record_head"`
}

// builtFolder is where, within the book's folder, the ZIPs are kept. They can be
// made again, so neither a backup nor an export holds them.
const builtFolder = "build-files"

// mostBuilt is how many build files of a rebuild are told.
const mostBuilt = 50

// BuiltPath is where the build file of that name is kept; false for a name that
// none can have.
func (w *Workshop) BuiltPath(name string) (string, bool) {
	plain := strings.Trim(name, "abcdefghijklmnopqrstuvwxyz0123456789-.") == ""
	if !plain || strings.HasPrefix(name, ".") || !strings.HasSuffix(name, ".zip") {
		return "", false
	}
	return filepath.Join(w.book.Dir(), builtFolder, name), true
}

// MakeBuiltFolder makes the folder for them, closed to other users.
func (w *Workshop) MakeBuiltFolder() error {
	return os.MkdirAll(filepath.Join(w.book.Dir(), builtFolder), 0o700)
}

func builtSetting(id int64) string { return fmt.Sprintf("build files of %d", id) }

// Built lists the build files of a rebuild that were made on its page, the latest
// first.
func (w *Workshop) Built(ctx context.Context, id int64) ([]Built, error) {
	kept, err := w.book.Setting(ctx, builtSetting(id))
	if err != nil || kept == "" {
		return nil, err
	}
	var list []Built
	if err := json.Unmarshal([]byte(kept), &list); err != nil {
		return nil, fmt.Errorf("the list of build files that were made cannot be read: %w", err)
	}
	return list, nil
}

// KeepBuilt notes that a build file was made.
func (w *Workshop) KeepBuilt(ctx context.Context, id int64, b Built) error {
	list, err := w.Built(ctx, id)
	if err != nil {
		return err
	}
	list = slices.Insert(list, 0, b)
	text, err := json.Marshal(list[:min(len(list), mostBuilt)])
	if err != nil {
		return err
	}
	return w.book.SetSetting(ctx, builtSetting(id), string(text))
}

// OpenPoints is a kind of thing that a build file would not prove.
type OpenPoints struct {
	Title string
	Items []string
}

// NotProven lists what a build file of the rebuild would not prove today; kinds
// without any are left aside.
func (w *Workshop) NotProven(r *rebuild.Rebuild) []OpenPoints {
	t := &telling{BuildFile: &BuildFile{Rebuild: r}, shop: w, r: r, whole: r, today: w.today()}
	var list []OpenPoints
	for _, p := range t.unproven() {
		if len(p.items) > 0 {
			list = append(list, OpenPoints{p.title, p.items})
		}
	}
	return list
}

// BuildFileFiles counts the files of the book that a build file would hold, by
// their use. Receipts are in it with the money only.
func BuildFileFiles(r *rebuild.Rebuild) map[FileUse]int {
	without := *r
	without.Entries = nil
	counts := map[FileUse]int{}
	for _, f := range filesOf(&without) {
		counts[f.Use]++
	}
	counts[UseReceipt] = len(filesOf(r)) - counts[UsePhoto] - counts[UseRaw] - counts[UseRecord]
	return counts
}
