package write

import (
	"bufio"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"

	"rxsplit/geo/crs"
	"rxsplit/geo/geojson"
	"rxsplit/geo/shapefile"
	"rxsplit/internal/cores"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Extra is a file beside the layers, such as the page or the table of zones.
type Extra struct {
	Name   string
	Render func(io.Writer) error
}

// Job is what is to be written: a plan, the prescription it was made from, and
// what the manifest says of them.
type Job struct {
	Prescription *rx.Prescription
	Plan         *rx.Plan
	Units        unit.System
	Manifest     Manifest // without layers, files and self, which are filled in
	Extras       []Extra
	Force        bool                               // replace a plan that stands in the folder
	Stage        func(name string, done, total int) // called as each stage of the work begins, and for each file that is made; may be nil
	Context      context.Context                    // cancels the work: nothing is left of it then; nil for never
}

// Plan writes the job into dir, all or nothing: the files are made in a folder
// beside it, read back and compared, and only then given its name. The error is an
// [*Error] or a [*VerifyError].
func Plan(dir string, job Job) (*Manifest, error) {
	job.Context = cmp.Or(job.Context, context.Background())
	if err := tooLarge(job); err != nil {
		return nil, err
	}
	s, err := newStage(dir, job.Force)
	if err != nil {
		return nil, err
	}
	defer s.discard()
	m, err := job.make(onDisk{s.root})
	if err != nil {
		return nil, failed(dir, err)
	}
	if err := job.begin("verify", 0, 0); err != nil {
		return nil, err
	}
	if err := Verify(s.dir, job.Prescription, job.Plan, job.Units); err != nil {
		return nil, err
	}
	if err := m.readBack(s.dir); err != nil {
		return nil, err
	}
	m.Records = ReadTwice(job.Prescription, job.Plan)
	if err := job.begin("rename", 0, 0); err != nil {
		return nil, err
	}
	if err := s.commit(); err != nil {
		return nil, err
	}
	m.Dropped = s.dropped
	return m, nil
}

// make makes all files of the job, the manifest last.
func (job Job) make(to sink) (*Manifest, error) {
	m := job.Manifest
	m.Schema = schema
	m.Accepted = acceptedOf(job.Prescription, job.Plan)
	m.Layers = Totals(job.Prescription, job.Plan, job.Units)
	var err error
	if m.Files, err = writeAll(to, job); err != nil {
		return nil, err
	}
	text, err := m.encode()
	if err != nil {
		return nil, err
	}
	_, err = writeFile(job.Context, to, manifestName, func(w io.Writer) error { _, err := w.Write(text); return err })
	return &m, err
}

// begin tells how far the work is, and returns an error where it is canceled.
func (job Job) begin(stage string, done, total int) error {
	if job.Stage != nil && job.Context.Err() == nil {
		job.Stage(stage, done, total)
	}
	return job.Context.Err()
}

func failed(dir string, err error) error {
	return &Error{Path: dir, What: "could not be written: " + reason(err), Hint: "nothing was left behind; make room or choose another place with --out", Err: err}
}

// tooLarge refuses a layer that a shapefile can't hold.
func tooLarge(job Job) error {
	for i := range job.Plan.Layers {
		l := &job.Plan.Layers[i]
		t := tableOf(job.Prescription, l, job.Units)
		if err := shapefile.Size(t.shapes, t.cols).Check(); err != nil {
			return &Error{Path: l.Name + ".shp", What: err.Error(), Hint: "split the field into several prescriptions", Err: err}
		}
	}
	return nil
}

// task makes one file, or files that are made together.
type task func(ctx context.Context, to sink) ([]FileSum, error)

// writeAll makes all files but the manifest, several at a time: while one is
// encoded, another goes to the disk. The sums come in the order of the tasks.
func writeAll(to sink, job Job) ([]FileSum, error) {
	var tasks []task
	for i := range job.Plan.Layers {
		tasks = append(tasks, layerTasks(job, &job.Plan.Layers[i])...)
	}
	for _, extra := range job.Extras {
		tasks = append(tasks, one(extra.Name, extra.Render))
	}
	sums := make([][]FileSum, len(tasks))
	errs := make([]error, len(tasks))
	var mu sync.Mutex // of how many are done
	done := 0
	if err := job.begin("write", 0, len(tasks)); err != nil {
		return nil, err
	}
	waiting := 6 + runtime.GOMAXPROCS(0) // most of them wait for the disk
	cores.EachOf(waiting, len(tasks), func(i int) {
		last := len(tasks) - 1 - i // the page takes longest and comes last
		sums[last], errs[last] = tasks[last](job.Context, to)
		mu.Lock()
		defer mu.Unlock()
		done++
		errs[last] = cmp.Or(errs[last], job.begin("write", done, len(tasks)))
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return slices.Concat(sums...), nil
}

// one makes a single file.
func one(name string, render func(io.Writer) error) task {
	return func(ctx context.Context, to sink) ([]FileSum, error) {
		sum, err := writeFile(ctx, to, name, render)
		return []FileSum{sum}, err
	}
}

// layerTasks make the shapefile and the GeoJSON of one layer.
func layerTasks(job Job, l *rx.Layer) []task {
	t := tableOf(job.Prescription, l, job.Units)
	return []task{
		one(l.Name+".geojson", func(w io.Writer) error { return geojson.Write(w, l.Name, t.shapes, t.id, t.cols) }),
		func(ctx context.Context, to sink) ([]FileSum, error) {
			return writeShapefile(ctx, to, l.Name, t)
		},
		one(l.Name+".prj", text(crs.WGS84().WKT())),
		one(l.Name+".cpg", text(shapefile.CPG)),
	}
}

func writeShapefile(ctx context.Context, to sink, name string, t table) ([]FileSum, error) {
	var parts [3]made
	for i, ext := range []string{".shp", ".shx", ".dbf"} {
		out, err := to.create(ctx, name+ext)
		if err != nil {
			return nil, err
		}
		defer out.abandon()
		parts[i] = out
	}
	if err := shapefile.Write(parts[0], parts[1], parts[2], t.shapes, t.cols); err != nil {
		return nil, err
	}
	var sums []FileSum
	for _, out := range parts {
		sum, err := out.close()
		if err != nil {
			return nil, err
		}
		sums = append(sums, sum)
	}
	return sums, nil
}

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

func writeFile(ctx context.Context, to sink, name string, render func(io.Writer) error) (FileSum, error) {
	out, err := to.create(ctx, name)
	if err != nil {
		return FileSum{}, err
	}
	defer out.abandon()
	if err := render(out); err != nil {
		return FileSum{}, err
	}
	return out.close()
}

// onDisk is a folder in which the files are made.
type onDisk struct{ root *os.Root }

// output is a file on the disk, digested as it grows.
type output struct {
	ctx  context.Context
	name string
	file *os.File
	buf  *bufio.Writer
	sum  hash.Hash
	size int64
}

func (d onDisk) create(ctx context.Context, name string) (made, error) {
	if name != filepath.Base(name) {
		return nil, fmt.Errorf("%q is no name of a file", name)
	}
	file, err := d.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return nil, err
	}
	o := &output{ctx: ctx, name: name, file: file, sum: sha256.New()}
	o.buf = bufio.NewWriterSize(file, 1<<16)
	return o, nil
}

// Write takes no more once the work is canceled.
func (o *output) Write(p []byte) (int, error) {
	if err := o.ctx.Err(); err != nil {
		return 0, err
	}
	o.sum.Write(p)
	o.size += int64(len(p))
	return o.buf.Write(p)
}

// close brings the file to the disk.
func (o *output) close() (FileSum, error) {
	file := o.file
	o.file = nil
	defer file.Close()
	if err := o.buf.Flush(); err != nil {
		return FileSum{}, err
	}
	if err := file.Sync(); err != nil {
		return FileSum{}, err
	}
	if err := file.Close(); err != nil {
		return FileSum{}, err
	}
	return FileSum{Name: o.name, SHA256: hex.EncodeToString(o.sum.Sum(nil)), Size: o.size}, nil
}

// abandon closes a file that failed; after close it does nothing.
func (o *output) abandon() {
	if o.file != nil {
		o.file.Close()
	}
}
