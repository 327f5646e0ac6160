package web

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"time"

	"wreckwright/prove/buildfile"
	"wreckwright/report"
	"wreckwright/workshop"
)

// buildFileMake begins to make a build file, or calls one back.
func (s *Server) buildFileMake(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	base := "/r/" + r.PathValue("rebuild") + "/build-file"
	if f.Value("stop") != "" {
		s.built.stop(buildFileKey(rb.ID, f.Value("key")))
		return s.goOn(w, r, base)
	}
	o := readBuildFileOptions(f)
	if len(f.Problems) > 0 {
		return s.buildFileForm(w, r, http.StatusUnprocessableEntity, rb, f)
	}
	o.At = s.now()
	token := cmp.Or(sentAs(r), rand.Text())
	name, done, _, err := s.built.ask(r.Context(), buildFileKey(rb.ID, token), false, s.buildFileTask(rb.ID, o))
	if err != nil {
		return err
	}
	if done {
		return s.goOn(w, r, base+"?made="+url.QueryEscape(name))
	}
	return s.goOn(w, r, base+"/making?key="+url.QueryEscape(token))
}

func readBuildFileOptions(f *Form) workshop.BuildFileOptions {
	o := workshop.BuildFileOptions{Edition: buildfile.Edition(f.Value("edition")), Program: "Wreckwright"}
	switch o.Edition {
	case buildfile.Full:
		o.Money, o.Originals, o.Positions = f.Has("money", "1"), f.Has("originals", "1"), f.Has("positions", "1")
	case buildfile.Redacted:
		if f.Has("money", "1") || f.Has("originals", "1") || f.Has("positions", "1") {
			f.problem("edition", "a redacted edition holds neither sums nor original photos: clear those boxes, or choose the full edition")
		}
	default:
		f.problem("edition", "choose an edition: full or redacted")
	}
	if o.Positions && !o.Originals {
		f.problem("positions", "the place can only stay in original photos: tick these too, or clear this box")
	}
	return o
}

// buildFileKey is by which a build file under way is known.
func buildFileKey(id int64, token string) string { return fmt.Sprintf("%d %s", id, token) }

// buildFileTask makes a build file into the book's folder and notes it. A step is
// told as one byte read.
func (s *Server) buildFileTask(id int64, o workshop.BuildFileOptions) task[string] {
	return func(ctx context.Context, heed func(io.Reader) io.Reader) (string, error) {
		key, err := s.workshop.SigningKey(ctx, true)
		if err != nil {
			return "", err
		}
		b, err := s.workshop.BuildFile(ctx, id, o)
		if err != nil {
			return "", err
		}
		name := fmt.Sprintf("build-file-%d-%s-%s.zip", id, o.Edition, o.At.UTC().Format("20060102-150405"))
		path, ok := s.workshop.BuiltPath(name)
		if !ok {
			return "", fmt.Errorf("%q is no name of a build file", name)
		}
		if err := s.workshop.MakeBuiltFolder(); err != nil {
			return "", err
		}
		steps, told := heed(strings.NewReader(strings.Repeat(".", tickSteps))), 0
		progress := func(done, of int) {
			for want := tickSteps * done / max(of, 1); told < want; {
				n, err := steps.Read(make([]byte, want-told))
				if told += n; err != nil {
					return // called back: the next look at the context ends it
				}
			}
		}
		made, err := report.MakeFile(ctx, path, b, key, s.workshop.Book().OpenFile, progress)
		if err != nil {
			return "", err
		}
		return name, s.workshop.KeepBuilt(ctx, id, workshop.Built{
			Name: name, MadeAt: o.At.Format(time.RFC3339), Edition: o.Edition, Money: o.Money, Originals: o.Originals,
			Version: b.Rebuild.Version, Bytes: made.Bytes, LeftOut: leftOutCount(made.LeftOut), RecordHead: made.Manifest.RecordHead,
		})
	}
}

// tickSteps is in how many steps the progress is told.
const tickSteps = 1000

func leftOutCount(list []buildfile.LeftOut) int {
	n := 0
	for _, l := range list {
		n += l.Count
	}
	return n
}

// makingPage says how far a build file is.
type makingPage struct {
	Frame
	Name, Doing string
	Done        int64
	Action      string
	Job         string // the page that waits for a log has one
	Along       []namedValue
}

// Percent is how much is done.
func (p makingPage) Percent() int64 { return min(100, 100*p.Done/tickSteps) }

// Words say how far it is.
func (p makingPage) Words() string {
	switch {
	case p.Done == 0:
		return "It waits for its turn, or gathers what is to be told."
	case p.Done < tickSteps*9/10:
		return "Photos and readings are put in."
	}
	return "The pages are set and the whole is signed."
}

// errNotUnderWay says that nothing of that key is being made.
var errNotUnderWay = errors.New("nothing is being made there")

// buildFileMaking waits for a build file that is being made.
func (s *Server) buildFileMaking(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	token := r.URL.Query().Get("key")
	name, done, read, err := s.built.ask(r.Context(), buildFileKey(rb.ID, token), false, func(context.Context, func(io.Reader) io.Reader) (string, error) {
		return "", errNotUnderWay
	})
	base := "/r/" + r.PathValue("rebuild") + "/build-file"
	switch {
	case errors.Is(err, errNotUnderWay), errors.Is(err, context.Canceled) && r.Context().Err() == nil:
		return s.goOn(w, r, base)
	case err != nil:
		return err
	case done:
		return s.goOn(w, r, base+"?made="+url.QueryEscape(name))
	}
	frame, err := s.frame(r, "Build file", "car", rb)
	if err != nil {
		return err
	}
	return s.show(w, http.StatusAccepted, "bench_wait", &makingPage{
		Frame: frame, Name: rb.Car.Name, Doing: "Making the build file", Done: read, Action: "/build-file", Along: []namedValue{{"key", token}},
	})
}
