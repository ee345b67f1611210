// Command measure times rxsplit and ogr2ogr on the same layers, in turn, and prints
// medians, peak memory and ratios. It is run by the bench script beside it.
package main

import (
	"flag"
	"fmt"
	"io/fs"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"
)

var (
	work  = flag.String("work", "", "folder with the programs and the label")
	runs  = flag.Int("runs", 5, "counted runs of each command, after one that is not")
	cells = flag.Int("cells", 1_000_000, "cells of the largest grid")
	only  = flag.String("only", "copy,sql,geojson,growth,small,many,shapes", "which comparisons to make")
)

// job is one thing to time: commands that run one after the other.
type job struct {
	name  string
	steps [][]string
	env   []string
	less  string // a stage of --timings that is taken off
}

// figure is what one run took.
type figure struct {
	seconds, less float64
	cpu           float64 // seconds of all cores, in the program and in the system for it
	megabytes     float64
}

func main() {
	log.SetFlags(0)
	flag.Parse()
	fmt.Printf("machine: %s, %d cores, %s, medians of %d\n\n", cpu(), runtime.NumCPU(), runtime.Version(), *runs)
	fmt.Println("| layer | job | seconds | of processors | peak MB | ratio to | of processors |")
	fmt.Println("|---|---|---|---|---|---|---|")
	for name := range strings.SplitSeq(*only, ",") {
		switch name {
		case "growth":
			growth()
		case "small":
			small()
		case "many":
			many()
		case "shapes":
			shapes()
		default:
			grid(*cells, name)
		}
	}
}

// mostCells is how many cells of a grid are no more than a field may have unasked.
const mostCells = 2_000_000

// grid measures the full job on a grid against the peer that is named.
func grid(n int, peer string) {
	name := fmt.Sprintf("%d cells", n)
	common := []string{"--label", "label.yaml", "--rate-field", "DRY_LBAC", "--rate-unit", "lb/ac"}
	written := slices.Concat([]string{"--out", "out"}, common)
	if n > mostCells {
		written = append(written, "--accept", "field-large=measured")
	}
	split := func(in string) [][]string {
		return [][]string{append([]string{"./rxsplit", "split", in, "--timings"}, written...)}
	}
	before := func(in string) []job {
		if _, err := os.Stat(filepath.Join(*work, "before")); err != nil {
			return nil
		}
		return []job{{name: "split, before", steps: [][]string{append([]string{"./before", "split", in}, written...)}}}
	}
	switch peer {
	case "copy":
		layer(n, "4326", "shp", "g.shp")
		compare(name+", shp", []job{
			{name: "ogr2ogr, plain copy", steps: [][]string{{"ogr2ogr", "copy.shp", "g.shp"}}},
			{name: "split, without verifying", steps: split("g.shp"), less: "verify"},
			{name: "split", steps: split("g.shp")},
			{name: "check", steps: [][]string{append([]string{"./rxsplit", "check", "g.shp"}, common...)}},
		}, before("g.shp"))
	case "sql":
		layer(n, "4326", "shp", "g.shp")
		compare(name+", shp", []job{
			{name: "ogr2ogr, SQL pipeline", steps: pipeline("g.shp")},
			{name: "split", steps: split("g.shp")},
		})
	case "geojson":
		layer(n, "4326", "geojson", "g.geojson")
		compare(name+", geojson", []job{
			{name: "ogr2ogr, SQL pipeline", steps: pipeline("g.geojson")},
			{name: "ogr2ogr, plain copy", steps: [][]string{{"ogr2ogr", "-f", "GeoJSON", "copy.geojson", "g.geojson"}}},
			{name: "split", steps: split("g.geojson")},
		}, before("g.geojson"))
	}
}

// pipeline is the same job in ogr2ogr: acres on the ellipsoid and the rate on the
// ground for each zone, the union of what gets dry, both in both formats.
func pipeline(in string) [][]string {
	sql := func(out, query string) []string {
		return []string{"ogr2ogr", "-dialect", "SQLite", "-sql", query, out, in}
	}
	return [][]string{
		sql("p-dry.shp", `SELECT geometry, DRY_LBAC, ST_Area(geometry, 1) / 4046.8564224 AS ACRES, DRY_LBAC * 320 / 2000 AS STAB FROM g`),
		{"ogr2ogr", "-f", "GeoJSON", "p-dry.geojson", "p-dry.shp"},
		sql("p-liquid.shp", `SELECT ST_Union(geometry) AS geometry, 30 AS STAB_RATE FROM g WHERE DRY_LBAC > 0`),
		{"ogr2ogr", "-f", "GeoJSON", "p-liquid.geojson", "p-liquid.shp"},
	}
}

// growth measures how time and memory grow with the cells.
func growth() {
	for _, n := range []int{10_000, 100_000} {
		layer(n, "4326", "shp", "g.shp")
		common := []string{"--label", "label.yaml", "--rate-field", "DRY_LBAC", "--rate-unit", "lb/ac"}
		compare(fmt.Sprintf("%d cells, shp", n), []job{
			{name: "ogr2ogr, plain copy", steps: [][]string{{"ogr2ogr", "copy.shp", "g.shp"}}},
			{name: "split", steps: [][]string{append([]string{"./rxsplit", "split", "g.shp", "--out", "out"}, common...)}},
			{name: "check", steps: [][]string{append([]string{"./rxsplit", "check", "g.shp"}, common...)}},
		})
	}
}

// small measures a field of some sixty zones.
func small() {
	must([]string{"ogr2ogr", "-f", "GeoJSON", "-t_srs", "EPSG:4326", "-lco", "COORDINATE_PRECISION=15", "small.geojson", "/vsizip/field.zip"})
	compare("63 zones, geojson", []job{
		{name: "ogr2ogr, plain copy", steps: [][]string{{"ogr2ogr", "-f", "GeoJSON", "copy.geojson", "small.geojson"}}},
		{name: "split", steps: [][]string{{"./rxsplit", "split", "small.geojson", "--label", "label.yaml", "--rate-field", "DRY_LBAC", "--rate-unit", "lb/ac", "--out", "out"}}},
		{name: "check", steps: [][]string{{"./rxsplit", "check", "small.geojson", "--label", "label.yaml", "--rate-field", "DRY_LBAC", "--rate-unit", "lb/ac"}}},
	})
}

// many measures a folder of a thousand files, on one core and on all.
func many() {
	must([]string{"mkdir", "many"})
	for i := range 1000 {
		must([]string{"./inventfield", "-cells", "1000", "-seed", fmt.Sprint(i), "-epsg", "4326", "-format", "shp", "-out", fmt.Sprintf("many/f%04d.shp", i)})
	}
	steps := [][]string{{"./rxsplit", "check", "many", "--label", "label.yaml", "--rate-field", "DRY_LBAC", "--rate-unit", "lb/ac"}}
	compare("1000 files of 1000 cells", []job{
		{name: "check, one core", steps: steps, env: []string{"GOMAXPROCS=1"}},
		{name: "check, all cores", steps: steps},
	})
}

func layer(n int, epsg, format, out string) {
	must([]string{"./inventfield", "-cells", fmt.Sprint(n), "-seed", "3", "-epsg", epsg, "-format", format, "-out", out})
}

// compare runs the jobs in turn and prints a row each, with the ratio to the first.
func compare(name string, jobs []job, more ...[]job) {
	jobs = slices.Concat(append([][]job{jobs}, more...)...)
	figures := make([][]figure, len(jobs))
	for run := range *runs + 1 {
		for i, j := range jobs {
			f := j.run()
			if run > 0 {
				figures[i] = append(figures[i], f)
			}
		}
	}
	base := median(figures[0], func(f figure) float64 { return f.seconds })
	work := func(i int) float64 { return median(figures[i], func(f figure) float64 { return f.cpu }) }
	for i, j := range jobs {
		seconds := median(figures[i], func(f figure) float64 { return f.seconds - f.less })
		memory := median(figures[i], func(f figure) float64 { return f.megabytes })
		fmt.Printf("| %s | %s | %.3f | %.3f | %.0f | %.3f | %.3f |\n", name, j.name, seconds, work(i), memory, seconds/base, work(i)/work(0))
	}
}

func (j job) run() figure {
	clean()
	var f figure
	for _, step := range j.steps {
		var messages strings.Builder
		cmd := exec.Command(step[0], step[1:]...)
		cmd.Dir, cmd.Stderr = *work, &messages
		cmd.Env = append(os.Environ(), j.env...)
		begin := time.Now()
		err := cmd.Run()
		f.seconds += time.Since(begin).Seconds()
		if code := cmd.ProcessState.ExitCode(); err != nil && !(code == 1 && (step[0] == "./rxsplit" || step[0] == "./before")) {
			log.Fatalf("%s: %v\n%s", strings.Join(step, " "), err, messages.String())
		}
		if usage, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
			f.megabytes = max(f.megabytes, float64(usage.Maxrss)/1024)
			f.cpu += time.Duration(usage.Utime.Nano() + usage.Stime.Nano()).Seconds()
		}
		for line := range strings.Lines(messages.String()) {
			var seconds float64
			var stage string
			if n, _ := fmt.Sscanf(line, "%f s %s", &seconds, &stage); n == 2 && j.less != "" && stage == j.less {
				f.less += seconds
			}
		}
	}
	return f
}

// clean removes what the last run wrote.
func clean() {
	for _, pattern := range []string{"out", "copy.*", "p-*"} {
		names, _ := filepath.Glob(filepath.Join(*work, pattern))
		for _, name := range names {
			os.RemoveAll(name)
		}
	}
}

func median(figures []figure, of func(figure) float64) float64 {
	values := make([]float64, len(figures))
	for i, f := range figures {
		values[i] = of(f)
	}
	slices.Sort(values)
	return values[len(values)/2]
}

func must(step []string) {
	cmd := exec.Command(step[0], step[1:]...)
	cmd.Dir = *work
	if out, err := cmd.CombinedOutput(); err != nil {
		log.Fatalf("%s: %v\n%s", strings.Join(step, " "), err, out)
	}
}

func cpu() string {
	text, err := fs.ReadFile(os.DirFS("/proc"), "cpuinfo")
	if err != nil {
		return runtime.GOARCH
	}
	for line := range strings.Lines(string(text)) {
		if name, ok := strings.CutPrefix(line, "model name"); ok {
			return strings.TrimSpace(strings.TrimLeft(name, "\t :"))
		}
	}
	return runtime.GOARCH
}
