// Package app is the application without a front end: what lies between a request
// and files or a result. It knows no command line and prints nothing; what a page or
// a terminal shows comes from the report packages.
//
// A front end lists [Options], gives them back as texts by name ([Values]), has them
// joined with the files that they name ([Resolve]), and calls a [Run]: [Run.Inspect],
// [Run.Check], [Each] for many files, [Run.Split], [Run.Verify] and [Run.Approve]. What is
// wrong comes back as an error that [Explain] turns into text, hint and places.
package app

import (
	"context"
	"io"
	"math"
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"strings"
	"sync"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/read"
	"rxsplit/rx/split"
)

// Version is a constant: what a plan says of its program must not depend on how the
// program was built. It has to be raised before a release in which any file of a plan has
// other bytes: verify takes a plan of the same version for one that it would write itself.
const Version = "0.8.4"

// Run is one use of the application. The zero value reads no standard input and tells
// nobody of its progress. Its methods stop soon after their context is canceled, with
// the context's error, and leave nothing behind.
type Run struct {
	Stdin    io.Reader  // read where a file is called "-"; may be nil
	Progress func(Step) // called as the work goes on, one call at a time; may be nil

	folders *read.Folders // shared by many files; else nil
}

// Step is how far a piece of work is. A stage begins with a step whose Done is 0.
type Step struct {
	Stage       string // such as "read"
	Done, Total int    // of its files; Total is 0 where it is not known
}

// quiet is the same run, which tells nothing: one of several that go on side by side.
func (r Run) quiet() Run { r.Progress = nil; return r }

// tell reports a step, and returns an error where the work is to stop.
func (r Run) tell(ctx context.Context, s Step) error {
	if r.Progress != nil && ctx.Err() == nil {
		r.Progress(s)
	}
	return ctx.Err()
}

// canceled is an error of some work, or the context's where that has stopped it.
func canceled(ctx context.Context, err error) error {
	if err != nil && ctx.Err() != nil {
		return ctx.Err()
	}
	return err
}

// Inspect says what a file holds, before anybody asks for rates. Of the values those
// count that say how a file is opened.
func (r Run) Inspect(ctx context.Context, path string, v Values) (*read.Content, error) {
	_, content, err := r.Look(ctx, path, v)
	return content, err
}

// Look does what [Run.Inspect] does, and returns the opened file as well, to draw it.
func (r Run) Look(ctx context.Context, path string, v Values) (*read.File, *read.Content, error) {
	if err := r.tell(ctx, Step{Stage: "read"}); err != nil {
		return nil, nil, err
	}
	s := newSettings()
	if err := v.act(s, func(o Option) bool { return o.Opens }); err != nil {
		return nil, nil, err
	}
	file, err := read.Open(path, r.opening(ctx, s))
	if err != nil {
		return nil, nil, canceled(ctx, err)
	}
	if err := r.tell(ctx, Step{Stage: "inspect"}); err != nil {
		return nil, nil, err
	}
	tune(file)
	content, err := read.Inspect(file)
	return file, content, err
}

// Check holds a prescription against the label, and judges the ways to release it.
func (r Run) Check(ctx context.Context, path string, q *Request) (report.Result, error) {
	c, err := r.assess(ctx, path, q)
	if err != nil {
		return report.Result{}, err
	}
	if err := r.tell(ctx, Step{Stage: "ways"}); err != nil {
		return report.Result{}, err
	}
	result, err := c.result()
	result.Ways = c.release.Ways()
	return result, err
}

// checked is a prescription on its way through the stages.
type checked struct {
	request      *Request
	prescription *rx.Prescription
	assessment   *rx.Assessment
	keepOut      orb.MultiPolygon
	keepOutFiles []rx.SourceFile
	alreadyFiles []rx.SourceFile
	alreadyMap   []rx.SourceFile  // one, or none
	keptOut      orb.MultiPolygon // ground inside keep-outs that gets dry
	kept         *rx.Finding      // about the keep-outs; nil without any
	given        []rx.Answer      // to what is in doubt
	tasks        rx.TaskRequest   // for terminals
	release      *split.Task      // of all the above
}

// assess reads a file and holds it against the label.
func (r Run) assess(ctx context.Context, path string, q *Request) (*checked, error) {
	s, err := q.settings()
	if err != nil {
		return nil, err
	}
	if err := r.tell(ctx, Step{Stage: "read"}); err != nil {
		return nil, err
	}
	c := &checked{request: q, given: s.given, tasks: s.tasks}
	file, err := c.open(path, r.opening(ctx, s))
	if err != nil {
		return nil, canceled(ctx, err)
	}
	if q.written != nil { // before anything is told of it by the name that the right one had
		if err := sameSource(file.Source.Files, q.written.inputs, "prescription"); err != nil {
			return nil, err
		}
	}
	tune(file)
	if err := r.tell(ctx, Step{Stage: "zones"}); err != nil {
		return nil, err
	}
	if c.prescription, err = read.Prescription(file, s.rates); err != nil {
		return nil, err
	}
	if err := c.already(ctx, s); err != nil {
		return nil, canceled(ctx, err)
	}
	if err := r.tell(ctx, Step{Stage: "check"}); err != nil {
		return nil, err
	}
	if c.assessment, err = check.Grade(c.prescription, s.terms); err != nil {
		return nil, err
	}
	c.toRelease()
	return c, nil
}

// toRelease has the prescription, as it is graded, released.
func (c *checked) toRelease() {
	c.release = split.For(c.prescription, c.assessment, c.keepOut)
	c.keptOut, c.kept = c.release.KeepOut()
}

// open reads the keep-outs and the prescription's file.
func (c *checked) open(path string, options read.FileOptions) (*read.File, error) {
	options.As = c.request.source()
	if keepOut := c.request.keepOut(); keepOut != "" {
		f, err := read.Open(keepOut, read.FileOptions{Archive: options.Archive, Context: options.Context})
		if err != nil {
			return nil, err
		}
		c.keepOutFiles = f.Source.Files
		if c.keepOut, err = f.Union(); err != nil {
			return nil, err
		}
	}
	return read.Open(path, options)
}

// opening says how the prescription's file is opened.
func (r Run) opening(ctx context.Context, s *settings) read.FileOptions {
	options := s.file
	options.Stdin, options.Folders, options.Context = r.Stdin, r.folders, ctx
	if r.Stdin == nil {
		options.Stdin = strings.NewReader("")
	}
	return options
}

// result joins what the stages found, the file first.
func (c *checked) result() (report.Result, error) {
	parameters, err := c.request.parameters()
	findings := c.found()
	if c.kept != nil {
		findings = append(findings, *c.kept)
	}
	rx.DoubtsFirst(findings)
	return report.Result{
		Prescription: c.prescription, Assessment: c.assessment, KeptOut: c.keptOut, KeepOut: c.kept,
		Findings: findings,
		Units:    c.assessment.Terms.Units,
		Origin:   report.Origin{Version: Version, Inputs: c.inputs("."), Parameters: parameters},
	}, err
}

// How much of what is in use may pile up as garbage, in percent: more while little
// is in use, so that small files are quick; little once a large file is read.
const (
	smallGarbage = 400
	someGarbage  = 250
	largeGarbage = 60

	littleInUse = 8 << 20 // bytes
	largeFile   = 50_000  // records
)

// What the work on a large file keeps in use at most, with some room, in bytes. Garbage is
// collected in time not to pass it: memory that is touched first costs more than that.
// A million cells as a shapefile take 380 MB so, and 510 without; no limit that was tried
// below costs less than it saves.
const (
	perPoint     = 62
	perProjected = 3 // and so much where its coordinates are not lon/lat: they fill some of that room
	perRecord    = 30
	perField     = 16 // of each record, or as wide as the field is

	leastBound = 160 << 20 // below, collecting costs more than it saves: a proof reads with other decoders too
)

// TuneMemory has the whole process collect garbage as suits small files. A program
// calls it once, first; what it reads later tunes the process further.
func TuneMemory() {
	limits.mu.Lock()
	defer limits.mu.Unlock()
	collect(smallGarbage)
	watch()
}

// perLog is what is allowed for a large log.
const perLog = 600 << 20

// tune bounds the garbage for a layer that was read.
func tune(file *read.File) {
	records, points := file.Layer.Shapes.Len(), len(file.Layer.Shapes.Points)
	record := perRecord
	for _, f := range file.Layer.Attributes.Fields() {
		record += max(perField, f.Width)
	}
	point := perPoint
	if file.LonLat != &file.Layer.Shapes {
		point += perProjected
	}
	tuneTo(records, max(leastBound, int64(points*point+records*record)))
}

// tuneLog bounds the garbage for a log that was read.
func tuneLog(rows int) { tuneTo(rows, perLog) }

// tuneDrive bounds the garbage for passes that are driven on paper: a small field can have many.
func tuneDrive(pieces int) { tuneTo(pieces, leastBound) }

func tuneTo(records int, bytes int64) {
	if records <= largeFile {
		return
	}
	limits.mu.Lock()
	defer limits.mu.Unlock()
	limits.large = true
	collect(largeGarbage)
	if os.Getenv("GOMEMLIMIT") != "" {
		return
	}
	if now := debug.SetMemoryLimit(-1); now < math.MaxInt64 {
		bytes += now // others may be at work still
	}
	debug.SetMemoryLimit(bytes)
	watch()
}

// A bound that what is in use comes near has garbage collected over and over, which takes longer
// than the work itself: ground like noise keeps three times as much in use for its points as
// fields do. Then there is to be room for a quarter of what is in use.
const (
	leastRoom = 1.0 / 16
	givenRoom = 1.0 / 4
)

// watch looks after each collection, from the next one on, how much is in use.
func watch() {
	if !limits.watched {
		limits.watched = true
		runtime.SetFinalizer(new([32]byte), func(*[32]byte) {
			limits.mu.Lock()
			defer limits.mu.Unlock()
			look(heap())
			limits.watched = false
			watch()
		})
	}
}

// look tunes by what was in use at a collection and at how many bytes there will be the next one.
func look(live, goal int64) {
	switch {
	case limits.large && os.Getenv("GOMEMLIMIT") == "":
		giveRoom(live, goal)
	case limits.large:
	case live > littleInUse:
		collect(someGarbage)
	default:
		collect(smallGarbage)
	}
}

// heap returns how many bytes were in use at the last collection, and at how many there will be the
// next one.
func heap() (live, goal int64) {
	read := []metrics.Sample{{Name: "/gc/heap/live:bytes"}, {Name: "/gc/heap/goal:bytes"}}
	metrics.Read(read)
	return int64(read[0].Value.Uint64()), int64(read[1].Value.Uint64())
}

// giveRoom raises the bound where there is little room.
func giveRoom(live, goal int64) {
	if room := goal - live; room < int64(leastRoom*float64(live)) {
		debug.SetMemoryLimit(debug.SetMemoryLimit(-1) + int64(givenRoom*float64(live)) - room)
	}
}

// limits says of the whole process how it is tuned.
var limits struct {
	mu      sync.Mutex
	large   bool // for large files
	watched bool // from the next collection on
	garbage int  // percent; 0 if it was never set
}

// Settle gives back what the work on large files took, and tunes for small ones again. A program
// that does one work after another calls it between them, with none going on: the bounds of
// two files that are read in turn would add up.
func Settle() {
	limits.mu.Lock()
	defer limits.mu.Unlock()
	if !limits.large {
		return
	}
	limits.large = false
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(math.MaxInt64)
	}
	collect(smallGarbage)
	debug.FreeOSMemory()
}

// collect sets how much garbage may pile up, unless the environment says it.
func collect(percent int) {
	if os.Getenv("GOGC") == "" && percent != limits.garbage {
		debug.SetGCPercent(percent)
		limits.garbage = percent
	}
}
