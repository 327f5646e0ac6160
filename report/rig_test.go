package report_test

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"log/slog"
	"os"
	"strings"
	"testing"
	"time"

	"wreckwright/money/amount"
	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
	"wreckwright/report"
	"wreckwright/store"
	"wreckwright/uncertain"
	"wreckwright/workshop"
)

// The invented car of these tests: whatever of it must not get out of a redacted
// edition.
const (
	plate    = "N0R VNE"
	vin      = "NVSKUA00DEM000142"
	person   = "Ada Bly"
	supplier = "Harbour Spares"
)

// rig is a real book with one invented car.
type rig struct {
	t    testing.TB
	book *store.Book
	shop *workshop.Workshop
	id   int64
	key  ed25519.PrivateKey
}

var madeAt = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

func newRig(t testing.TB) *rig {
	t.Helper()
	book, err := store.Open(t.Context(), t.TempDir(), store.Options{Now: func() time.Time { return madeAt }})
	if err != nil {
		t.Fatal(err)
	}
	shop := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return "2026-05-04" })
	t.Cleanup(func() {
		_ = shop.Close()
		_ = book.Close()
	})
	rb, err := book.Start(t.Context(), store.By{Who: person}, rebuild.Car{
		Name: "Skua of the yard", Maker: "Norvane", Model: "Skua", Year: 2014, VIN: vin, Plate: plate, Colour: "grey",
		Jurisdiction: "UK", Category: "S", DistanceUnit: "mi", Distance: 61_000, Currency: "GBP", Ceiling: amount.New(3_800_000, "GBP"),
	})
	if err != nil {
		t.Fatal(err)
	}
	g := &rig{t: t, book: book, shop: shop, id: rb.ID}
	if g.key, err = shop.SigningKey(t.Context(), true); err != nil {
		t.Fatal(err)
	}
	return g
}

func (g *rig) do(f func(*rebuild.Rebuild) (rebuild.Change, error)) int64 {
	g.t.Helper()
	_, record, err := g.book.Do(g.t.Context(), store.By{Who: person}, g.id, f)
	if err != nil {
		g.t.Fatal(err)
	}
	return record.Edits[0].ID()
}

func (g *rig) put(name, mediaType string, content []byte) rebuild.Attachment {
	g.t.Helper()
	a, err := g.book.PutFile(g.t.Context(), bytes.NewReader(content), name, mediaType, 0)
	if err != nil {
		g.t.Fatal(err)
	}
	return a
}

// filled is a rig with one of everything that a build file tells.
func filled(t testing.TB) *rig {
	g := newRig(t)
	before := g.put("IMG_1.jpg", "image/jpeg", photo(640, 480, 1, 6))
	after := g.put("IMG_2.jpg", "image/jpeg", photo(640, 480, 2, 1))
	receipt := g.put("receipt of "+supplier+".txt", "text/plain", []byte(supplier+" 1250.00 GBP\n"))
	finding := g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddFinding(rebuild.Finding{
			Zone: "fluids", What: "Pump primes each minute, says " + person, HowFound: rebuild.Heard, Severity: rebuild.Major, On: "2026-04-01",
			Photos: []rebuild.Attachment{before},
		})
	})
	job := g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddJob(rebuild.Job{
			Title: "Accumulator renewed", Zone: "fluids", Findings: []int64{finding}, Safety: rebuild.SafetyNone, Needed: 1, State: rebuild.JobOpen,
			Note: "paid £1,250.50 for it", Reference: amount.New(200_000, "GBP"), ReferenceFrom: supplier,
			Routes: []rebuild.Route{{Kind: rebuild.NewPart, Method: rebuild.MethodPlain, Name: "New accumulator", Cost: uncertain.Range{Low: 1111, Likely: 1222, High: 1333}, Works: 1, Basis: "offer of " + supplier}},
		})
	})
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.ChooseRoute(job, 0, r.Job(job).Routes[0].ID)
	})
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddEntries(rebuild.Entry{On: "2026-04-10", Amount: amount.New(125_050, "GBP"), Kind: rebuild.EntryPart, Supplier: supplier, What: "accumulator", JobID: job, Receipts: []rebuild.Attachment{receipt}})
	})
	g.measure(job, rebuild.PhaseBefore, "0\n62\n125\n190\n254\n", "taps.txt")
	g.measure(job, rebuild.PhaseAfter, "0\n600\n1204\n1810\n2412\n", "taps.txt")
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		j := *r.Job(job)
		j.State, j.DoneOn, j.HoursSpent, j.Proof, j.Proofs = rebuild.JobProven, "2026-04-20", 3.5, "timed by "+person, []rebuild.Attachment{after}
		return r.EditJob(j)
	})
	g.joint(job)
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddStripItem(rebuild.StripItem{At: "2026-04-02T10:00:00Z", What: "Front left wheel", Zone: "front-left-corner", Condition: rebuild.ConditionReuse, Note: "at " + supplier})
	})
	return g
}

func (g *rig) joint(job int64) {
	tool := g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddTool(rebuild.Tool{Title: "Torque wrench", Class: "4 %", LowNm: 20, HighNm: 200, CalibratedOn: "2026-01-10", Certificate: "cert of " + person})
	})
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddJoint(rebuild.Joint{
			Title: "Accumulator bracket", Zone: "fluids", Safety: rebuild.SafetyBrake, Thread: "M8x1.25-8.8", Count: 3, TorqueNm: 22, ToleranceNm: 2, Source: rebuild.SourceMaker,
			Locking: rebuild.LockNone, Jobs: []int64{job},
			Tightenings: []rebuild.Tightening{{At: "2026-04-19T09:00:00Z", Who: person, Tool: tool, TorqueNm: 22, SecondBy: "Jo Kant", SecondAt: "2026-04-19T09:10:00Z"}},
		})
	})
}

// measure keeps what the instrument really says of a list of taps.
func (g *rig) measure(job int64, phase rebuild.Phase, list, name string) {
	g.t.Helper()
	taps, err := workshop.ReadTaps(list)
	if err != nil {
		g.t.Fatal(err)
	}
	said, err := workshop.TimedPump(taps, workshop.UnitSettings{})
	if err != nil {
		g.t.Fatal(err)
	}
	raw := g.put(name, "text/plain", []byte(list))
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddEvidence(rebuild.Evidence{
			On: "2026-04-15", Instrument: rebuild.InstrumentRecharge, Title: "Pump timed " + string(phase), JobID: job, Phase: phase, Raw: []rebuild.Attachment{raw},
			Verdict: said.Verdict, Why: said.Why, Figures: said.Figures, Engine: said.Engine,
		})
	})
}

// keptLog keeps a pressure log of a leaking unit as evidence.
func (g *rig) keptLog(content string) {
	g.t.Helper()
	said, err := workshop.LoggedPump(g.t.Context(), strings.NewReader(content), "log.csv", workshop.UnitSettings{})
	if err != nil {
		g.t.Fatal(err)
	}
	raw := g.put("log.csv", "text/csv", []byte(content))
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddEvidence(rebuild.Evidence{
			On: "2026-04-16", Instrument: rebuild.InstrumentRecharge, Title: "Pressure log", Raw: []rebuild.Attachment{raw},
			Verdict: said.Verdict, Why: said.Why, Figures: said.Figures, Engine: said.Engine,
		})
	})
}

// check keeps readings of one quantity against its limit.
func (g *rig) check() {
	g.t.Helper()
	least, off := 12.0, 0.02
	text := "12.1\n12.2\n12.15\n"
	said, err := workshop.ExamineCheck(text, workshop.CheckSettings{Name: "Disc thickness", Unit: "mm", Form: "mean", Lower: &least, InstrumentLimit: &off, Resolution: 0.01})
	if err != nil {
		g.t.Fatal(err)
	}
	e := said.Evidence()
	e.On, e.Raw = "2026-04-17", []rebuild.Attachment{g.put(workshop.ReadingsName, "text/plain", []byte(text))}
	g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddEvidence(e) })
}

// tooth is a log of a pressure that falls and is pumped up again.
func tooth(remark string) string {
	var b strings.Builder
	b.WriteString("time_s,pressure_bar" + remark + "\n")
	at := 0
	for range 5 {
		for bar := 50.0; bar > 40; bar -= 0.25 {
			fmt.Fprintf(&b, "%d,%.2f\n", at, bar)
			at += 5
		}
		for bar := 40.0; bar < 50; bar += 2 {
			fmt.Fprintf(&b, "%d,%.2f\n", at, bar)
			at++
		}
	}
	return b.String()
}

func (g *rig) options(edition buildfile.Edition) workshop.BuildFileOptions {
	return workshop.BuildFileOptions{Edition: edition, Money: edition == buildfile.Full, At: madeAt, Program: "Wreckwright test"}
}

// make makes the build file in memory.
func (g *rig) make(o workshop.BuildFileOptions) []byte {
	g.t.Helper()
	var out bytes.Buffer
	g.made(context.Background(), &out, o, nil)
	return out.Bytes()
}

func (g *rig) made(ctx context.Context, out *bytes.Buffer, o workshop.BuildFileOptions, progress report.Progress) report.Made {
	g.t.Helper()
	b, err := g.shop.BuildFile(ctx, g.id, o)
	if err != nil {
		g.t.Fatal(err)
	}
	made, err := report.Make(ctx, out, b, g.key, g.book.OpenFile, progress)
	if err != nil {
		g.t.Fatal(err)
	}
	return made
}

// exifWith is an Exif block with a way of holding the camera, a position
// directory and a text to look for.
func exifWith(turn int) []byte {
	b := []byte("Exif\x00\x00MM\x00\x2a\x00\x00\x00\x08\x00\x02")
	b = append(b, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, byte(turn), 0, 0)
	b = append(b, 0x88, 0x25, 0, 4, 0, 0, 0, 1, 0, 0, 0, 0x26) // where the position stands
	b = append(b, 0, 0, 0, 0)
	b = append(b, []byte("\x00\x01\x00\x01\x00\x02\x00\x00\x00\x02N\x00\x00\x00\x00\x00\x00\x00GPS-51.5007N-0.1246W")...)
	segment := []byte{0xff, 0xe1}
	segment = binary.BigEndian.AppendUint16(segment, uint16(len(b)+2))
	return append(segment, b...)
}

// photo is a JPEG with an Exif block, as phones make them: a gradient whose left
// top corner is dark.
func photo(width, height, seed, turn int) []byte {
	picture := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			picture.SetRGBA(x, y, color.RGBA{byte(x * 255 / width), byte(y * 255 / height), byte(seed * 40), 255})
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, picture, &jpeg.Options{Quality: 85}); err != nil {
		panic(err)
	}
	plain := out.Bytes()
	return append(append(append([]byte{}, plain[:2]...), exifWith(turn)...), plain[2:]...)
}

// withPhotos hangs many photos on findings: the same picture, each with another
// comment, so that every file is one of its own.
func (g *rig) withPhotos(n, width, height int) {
	g.t.Helper()
	plain := noisy(width, height)
	for at := 0; at < n; at += 50 {
		var photos []rebuild.Attachment
		for i := at; i < min(n, at+50); i++ {
			comment := fmt.Sprintf("\xff\xfe\x00\x0ano %05d", i)
			content := append(append(append([]byte{}, plain[:2]...), comment...), plain[2:]...)
			photos = append(photos, g.put(fmt.Sprintf("IMG_%d.jpg", i), "image/jpeg", content))
		}
		g.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddFinding(rebuild.Finding{Zone: "bonnet", What: fmt.Sprintf("Photos %d", at), HowFound: rebuild.Seen, Severity: rebuild.Minor, On: "2026-04-01", Photos: photos})
		})
	}
}

// peakMB is the most memory that the process has held; 0 where the system does
// not tell.
func peakMB() float64 {
	text, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return 0
	}
	_, after, _ := strings.Cut(string(text), "VmHWM:")
	var kB float64
	_, _ = fmt.Sscan(after, &kB)
	return kB / 1000
}
