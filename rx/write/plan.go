package write

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"io"
	"os"
	"runtime"
	"slices"
	"sync"

	"rxsplit/geo"
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
	Manifest     Manifest               // without layers, files and self, which are filled in
	Findings     func() ([]byte, error) // of the manifest, printed while the layers are; nil for those that stand in it
	Extras       []Extra
	Force        bool                               // replace a plan that stands in the folder
	Stage        func(name string, done, total int) // called as each stage of the work begins, and for each file that is made; may be nil
	Context      context.Context                    // cancels the work: nothing is left of it then; nil for never
	Read         []FileSum                          // files as they were read already, where they are proved; digests of others are worked out

	tables []table                  // of the plan's layers; nil for what they are
	disk   func(root *os.Root) sink // where the files are made; nil for there
}

// Plan writes the job into dir, all or nothing: the files are made in a folder
// beside it, proved, and only then given its name. The error is an [*Error] or a
// [*VerifyError].
//
// The encoders of the layers prove each block of bytes against the plan before it is
// written; what was written is read back and held against the seals of what was proved,
// and the digests in the manifest are of what was read back. Layers that aren't too large
// for it are then read whole by decoders that have nothing in common with the encoders.
func Plan(dir string, job Job) (*Manifest, error) {
	if err := job.prepare(); err != nil {
		return nil, err
	}
	s, err := newStage(dir, job.Force, true, nil)
	if err != nil {
		return nil, err
	}
	defer s.discard()
	var to sink = newOnDisk(s.root)
	if job.disk != nil {
		to = job.disk(s.root)
	}
	m, err := job.into(dir, s.dir, to)
	if err != nil {
		return nil, err
	}
	if err := job.begin("rename", 0, 0); err != nil {
		return nil, err
	}
	if err := s.commit(); err != nil {
		return nil, err
	}
	m.Dropped = s.dropped
	return m, nil
}

// prepare lays out the layers, and refuses what no file can hold.
func (job *Job) prepare() error {
	job.Context = cmp.Or(job.Context, context.Background())
	if job.tables == nil {
		job.tables = tablesOf(*job)
	}
	return tooLarge(*job)
}

// into makes all files in a folder and proves them; named is what messages call the place.
func (job Job) into(named, dir string, to sink) (*Manifest, error) {
	m, err := job.make(to)
	if proof := (*VerifyError)(nil); errors.As(err, &proof) {
		proof.Dir = dir
		return nil, err
	}
	if err != nil {
		return nil, failed(named, err)
	}
	if m.Records, err = job.readWholeAgain(dir); err != nil {
		return nil, err
	}
	if wrong := compareTaskData(dir, job.Prescription, job.Plan, job.Units); len(wrong) > 0 {
		return nil, &VerifyError{Dir: dir, Mismatches: wrong}
	}
	return m, nil
}

// tablesOf lays out the layers of a job's plan.
func tablesOf(job Job) []table {
	tables := make([]table, len(job.Plan.Layers))
	for i := range tables {
		tables[i] = tableOf(job.Prescription, &job.Plan.Layers[i], job.Units)
	}
	return tables
}

// make makes all files of the job, the manifest last.
func (job Job) make(to sink) (*Manifest, error) {
	m := job.Manifest
	m.Schema = schema
	m.Accepted = acceptedOf(job.Prescription, job.Plan)
	m.Layers = Totals(job.Prescription, job.Plan, job.Units)
	if job.tables == nil {
		job.tables = tablesOf(job)
	}
	var drafting sync.WaitGroup // which takes long where it lists many zones
	var draft []byte
	var bad error
	drafting.Go(func() {
		if job.Findings != nil {
			m.Findings, bad = job.Findings()
		}
		if bad == nil {
			draft, bad = m.draft()
		}
	})
	files, err := writeAll(to, job)
	if drafting.Wait(); err == nil {
		err = bad
	}
	if err != nil {
		return nil, err
	}
	if err := job.begin("verify", 0, 0); err != nil {
		return nil, err
	}
	m.Files = files
	text, err := m.finish(draft)
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
	for i, t := range job.tables {
		if err := shapefile.Size(t.shapes, t.cols).Check(); err != nil {
			return &Error{Path: job.Plan.Layers[i].Name + ".shp", What: err.Error(), Hint: "split the field into several prescriptions", Err: err}
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
	for i, t := range job.tables {
		tasks = append(tasks, layerTasks(job.Plan.Layers[i].Name, t)...)
	}
	tasks = append(tasks, taskTasks(job)...)
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
func layerTasks(name string, t table) []task {
	return []task{
		one(name+".geojson", func(w io.Writer) error { return geojson.Write(w, name, t.shapes, t.id, t.cols) }),
		func(ctx context.Context, to sink) ([]FileSum, error) {
			return writeShapefile(ctx, to, name, t)
		},
		one(name+".prj", text(crs.WGS84().WKT())),
		one(name+".cpg", text(shapefile.CPG)),
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

// Numbers is a column of numbers of a layer, NaN for none.
type Numbers struct {
	Name  string
	Value func(row int) float64
}

// LayerFiles are the files of a layer in lon/lat, as GeoJSON and as a shapefile.
func LayerFiles(name string, shapes *geo.Shapes, numbers []Numbers) []Extra {
	rows := shapes.Len()
	var cols []geo.Column
	for _, n := range numbers {
		cols = append(cols, computed(n.Name, rows, func(row int) float64 { return round12(n.Value(row)) }))
	}
	parts := sync.OnceValues(func() (parts [3]bytes.Buffer, err error) {
		err = shapefile.Write(&parts[0], &parts[1], &parts[2], shapes, cols)
		return parts, err
	})
	list := []Extra{
		{name + ".geojson", func(w io.Writer) error {
			return geojson.Write(w, name, shapes, func(row int) int64 { return int64(row + 1) }, cols)
		}},
		{name + ".prj", text(crs.WGS84().WKT())},
		{name + ".cpg", text(shapefile.CPG)},
	}
	for i, ending := range []string{".shp", ".shx", ".dbf"} {
		list = append(list, Extra{name + ending, func(w io.Writer) error {
			p, err := parts()
			if err == nil {
				_, err = w.Write(p[i].Bytes())
			}
			return err
		}})
	}
	return list
}
