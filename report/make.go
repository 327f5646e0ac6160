package report

import (
	"bytes"
	"cmp"
	"context"
	"crypto/ed25519"
	"crypto/sha256"
	"crypto/x509"
	"encoding/hex"
	"encoding/pem"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"mime"
	"slices"
	"strings"

	"wreckwright/prove/buildfile"
	"wreckwright/store"
	"wreckwright/workshop"
)

// Opener gives a file of the book by its hash, as [store.Book.OpenFile] does.
type Opener func(ctx context.Context, hash string) (io.ReadSeekCloser, store.FileInfo, error)

// Progress is told how many steps of how many are done.
type Progress func(done, of int)

// Made is what became of a build file.
type Made struct {
	Manifest buildfile.Manifest
	Bytes    int64
	LeftOut  []buildfile.LeftOut
}

// Make writes a build file as a ZIP. Photos are read one after the other: memory
// does not grow with their number but for the small ones in the PDF.
func Make(ctx context.Context, w io.Writer, b *workshop.BuildFile, key ed25519.PrivateKey, open Opener, progress Progress) (Made, error) {
	if progress == nil {
		progress = func(int, int) {}
	}
	public, ok := key.Public().(ed25519.PublicKey)
	if !ok {
		return Made{}, errors.New("the key that signs is none")
	}
	b.Document.Fingerprint = buildfile.Fingerprint(public)
	ctx, end := context.WithCancel(ctx) // the photos read ahead end with it
	defer end()
	m := &making{
		ctx: ctx, b: b, zip: &zipWriter{to: w}, open: open, progress: progress, steps: len(b.Files) + 2,
		pictures: map[string]*Picture{}, public: public, key: key,
	}
	for _, step := range []func() error{m.data, m.files, m.record, m.paper, m.seal} {
		if err := step(); err != nil {
			return Made{}, err
		}
		if err := ctx.Err(); err != nil {
			return Made{}, err
		}
	}
	return Made{m.manifest, m.zip.at, b.Leaving.List()}, nil
}

type making struct {
	ctx      context.Context
	b        *workshop.BuildFile
	zip      *zipWriter
	open     Opener
	progress Progress
	done     int
	steps    int
	pictures map[string]*Picture // by the book's hash; nil: cannot be shown
	undrawn  []notDrawn
	public   ed25519.PublicKey
	key      ed25519.PrivateKey
	manifest buildfile.Manifest
	listed   []buildfile.File
}

func (m *making) step() {
	m.done++
	m.progress(m.done, m.steps)
}

// put writes a file that is in memory and lists it.
func (m *making) put(f buildfile.File, content []byte) error {
	f.Size, f.SHA256 = int64(len(content)), buildfile.HashOf(content)
	f.MediaType = cmp.Or(f.MediaType, kindOfName(f.Name))
	if slices.ContainsFunc(m.listed, func(l buildfile.File) bool { return l.Name == f.Name }) {
		stem, ending, _ := strings.Cut(f.Name, ".") // two originals that look the same
		f.Name = stem + "-" + f.Of[:min(8, len(f.Of))] + "." + ending
	}
	m.listed = append(m.listed, f)
	return m.zip.add(f.Name, f.Size, checksum(content), bytes.NewReader(content))
}

func kindOfName(name string) string {
	for ending, kind := range map[string]string{".json": "application/json", ".pdf": "application/pdf", ".txt": "text/plain", ".jpg": "image/jpeg", ".pem": "application/x-pem-file"} {
		if strings.HasSuffix(name, ending) {
			return kind
		}
	}
	return "application/octet-stream"
}

func (m *making) data() error {
	for _, d := range m.b.Data {
		if err := m.put(buildfile.File{Name: d.Name}, d.Content); err != nil {
			return err
		}
	}
	return nil
}

func (m *making) record() error {
	entries := m.b.Record
	if entries == nil {
		entries = []buildfile.Entry{}
	}
	text, err := buildfile.EncodeJSON(entries)
	if err != nil {
		return err
	}
	leftOut, err := buildfile.EncodeJSON(m.b.Leaving.List())
	if err != nil {
		return err
	}
	return errors.Join(
		m.put(buildfile.File{Name: buildfile.ChainName}, text),
		m.put(buildfile.File{Name: buildfile.LeftOutName}, leftOut),
	)
}

// paper sets the PDF, with what was left out and how the file is checked at its
// end.
func (m *making) paper() error {
	d := m.b.Document
	left := leftOutSection(m.b.Leaving.List())
	left.Blocks = append(left.Blocks, undrawnBlocks(m.undrawn, d.PhotoHashes())...)
	d.Sections = append(slices.Clone(d.Sections), left, checkSection(d.Fingerprint, hex.EncodeToString(m.public)))
	var pdf bytes.Buffer
	pictures := func(_ context.Context, hash string) (Picture, error) {
		if p := m.pictures[hash]; p != nil {
			return *p, nil
		}
		if i := slices.IndexFunc(m.undrawn, func(n notDrawn) bool { return n.hash == hash }); i >= 0 {
			return Picture{}, m.undrawn[i]
		}
		return Picture{}, notDrawn{hash, "picture", false}
	}
	if err := Paper(m.ctx, &pdf, &d, m.b.Options.At, pictures); err != nil {
		return err
	}
	m.step()
	return m.put(buildfile.File{Name: buildfile.PDFName}, pdf.Bytes())
}

// seal writes manifest, signature, key and sums.
func (m *making) seal() error {
	pemKey, err := pemOf(m.public)
	if err != nil {
		return err
	}
	if err := m.put(buildfile.File{Name: buildfile.ReadMeName}, []byte(readMe)); err != nil {
		return err
	}
	if err := m.put(buildfile.File{Name: buildfile.KeyName}, pemKey); err != nil {
		return err
	}
	o := m.b.Options
	m.manifest = buildfile.Manifest{
		Format: buildfile.Format, Version: buildfile.Version, Program: buildfile.OneLine(o.Program), Edition: o.Edition, Money: o.Money,
		Car: buildfile.OneLine(m.b.Rebuild.Car.Name), Rebuild: m.b.Rebuild.ID, RebuildAt: m.b.Rebuild.Version, MadeAt: o.At.UTC().Format("2006-01-02T15:04:05Z"),
		PublicKey: hex.EncodeToString(m.public), Fingerprint: buildfile.Fingerprint(m.public),
		RecordHead: buildfile.Head(m.b.Record), Files: slices.Clone(m.listed),
	}
	for i := range m.manifest.Files { // a kind that somebody's browser made up
		m.manifest.Files[i].MediaType = buildfile.OneLine(m.manifest.Files[i].MediaType)
	}
	text, err := m.manifest.Encode()
	if err != nil {
		return err
	}
	if err := m.put(buildfile.File{Name: buildfile.ManifestName}, text); err != nil {
		return err
	}
	if err := m.put(buildfile.File{Name: buildfile.SignatureName}, ed25519.Sign(m.key, text)); err != nil {
		return err
	}
	if err := m.put(buildfile.File{Name: buildfile.SumsName}, buildfile.Sums(m.listed)); err != nil {
		return err
	}
	m.step()
	return m.zip.close()
}

// pemOf is the public key as other tools take it.
func pemOf(key ed25519.PublicKey) ([]byte, error) {
	der, err := x509.MarshalPKIXPublicKey(key)
	if err != nil {
		return nil, err
	}
	return pem.EncodeToMemory(&pem.Block{Type: "PUBLIC KEY", Bytes: der}), nil
}

// files puts in the files of the book: photos into the ZIP and, made small, aside
// for the PDF.
func (m *making) files() error {
	photos := m.shrinkAhead()
	for _, f := range m.b.Files {
		if err := m.ctx.Err(); err != nil {
			return err
		}
		var err error
		if f.Use == workshop.UsePhoto {
			err = m.photo(f, photos)
		} else {
			err = m.file(f)
		}
		if err != nil {
			return fmt.Errorf("putting in the file %.12s: %w", f.Hash, err)
		}
		m.step()
	}
	return nil
}

// file puts in what is no photo, byte for byte, where the edition may hold it.
func (m *making) file(f workshop.BuildFileFile) error {
	content, info, err := m.open(m.ctx, f.Hash)
	if errors.Is(err, store.ErrNoFile) {
		m.b.Leaving.Count("files that the book does not have any more", "they were taken out of its folder")
		return nil
	}
	if err != nil {
		return err
	}
	defer content.Close()
	if leave, err := m.mustLeave(f, info, content); leave || err != nil {
		return err
	}
	sum, crc := sha256.New(), crc32.NewIEEE()
	size, err := io.Copy(io.MultiWriter(sum, crc), readerUntil{m.ctx, content})
	if err != nil {
		return err
	}
	hash := hex.EncodeToString(sum.Sum(nil))
	if hash != f.Hash {
		return errors.New("its content is not what it was when it came in; restore it from a backup")
	}
	if _, err := content.Seek(0, io.SeekStart); err != nil {
		return err
	}
	name := folderOf(f.Use) + f.Hash + endingOf(info.MediaType)
	m.listed = append(m.listed, buildfile.File{Name: name, Size: size, SHA256: hash, MediaType: info.MediaType, Of: f.Hash})
	return m.zip.add(name, size, crc.Sum32(), readerUntil{m.ctx, content})
}

// mostRead bounds a text that is looked through for names.
const mostRead = 32 << 20

// mustLeave says whether the edition may not hold a file: only texts in which no
// name, plate or VIN stands can be looked through.
func (m *making) mustLeave(f workshop.BuildFileFile, info store.FileInfo, content io.ReadSeeker) (bool, error) {
	if m.b.Options.Edition != buildfile.Redacted {
		return false, nil
	}
	kind, _, _ := strings.Cut(info.MediaType, "/")
	switch {
	case kind == "audio" || kind == "video":
		m.b.Leaving.Count("recordings", "voices may be heard in them; the results from them cannot be worked out again")
		return true, nil
	case kind != "text" && info.MediaType != "image/svg+xml" || info.Size > mostRead:
		m.b.Leaving.Count("documents", "what stands in them cannot be looked through here")
		return true, nil
	}
	text, err := io.ReadAll(io.LimitReader(content, mostRead))
	if err != nil {
		return true, err
	}
	if m.b.HoldsWords(f, text) {
		m.b.Leaving.Count("raw readings and papers in which names, addresses, the plate, the VIN or prices stand", "they cannot be changed and still be what they are")
		return true, nil
	}
	_, err = content.Seek(0, io.SeekStart)
	return false, err
}

func folderOf(use workshop.FileUse) string {
	switch use {
	case workshop.UsePhoto:
		return "photos/"
	case workshop.UseRaw:
		return "raw/"
	}
	return "records/"
}

// endings are those of what the book mostly holds: the system's own list differs
// from machine to machine.
var endings = map[string]string{
	"image/jpeg": ".jpg", "image/png": ".png", "image/gif": ".gif", "image/webp": ".webp", "image/svg+xml": ".svg", "image/heic": ".heic",
	"image/heif": ".heif", "image/avif": ".avif", "text/plain": ".txt", "text/csv": ".csv", "text/tab-separated-values": ".tsv",
	"application/json": ".json", "application/pdf": ".pdf", "audio/wave": ".wav", "audio/wav": ".wav", "audio/flac": ".flac", "audio/mpeg": ".mp3",
	"audio/ogg": ".ogg", "application/ogg": ".ogg", "video/mp4": ".mp4",
}

func endingOf(mediaType string) string {
	kind, _, err := mime.ParseMediaType(mediaType)
	if err != nil {
		return ".bin"
	}
	return cmp.Or(endings[kind], ".bin")
}

// readerUntil stops reading when nobody waits any more.
type readerUntil struct {
	ctx  context.Context
	from io.Reader
}

func (r readerUntil) Read(p []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	return r.from.Read(p)
}
