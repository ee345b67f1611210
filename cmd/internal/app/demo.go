package app

import (
	_ "embed" // for the demo's files
	_ "embed" // for the passes
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"

	"rxsplit/label"
)

//go:embed demo/field.zip
var demoField []byte

//go:embed demo/job.yaml
var demoJob []byte

// Demo makes a folder with an invented field, an invented label and an invented job
// file, and has them used; the folder goes again where that fails.
func Demo(dir string, use func(field, job string) error) (err error) {
	const hint = "choose another place: rxsplit demo DIR"
	if err := os.Mkdir(dir, 0o777); os.IsExist(err) {
		return &Error{What: dir + ": is there already", Hint: hint}
	} else if err != nil {
		return &Error{What: dir + ": " + SystemSays(err), Hint: hint}
	}
	defer func() {
		if err != nil {
			os.RemoveAll(dir) // made above, and of no use half full
		}
	}()
	for _, f := range DemoFiles() {
		if err := os.WriteFile(filepath.Join(dir, f.Name), f.Text, 0o666); err != nil {
			return &Error{What: filepath.Join(dir, f.Name) + ": " + SystemSays(err)}
		}
	}
	return use(filepath.Join(dir, fieldFile), filepath.Join(dir, jobFile))
}

// DemoFile is one file of the demonstration.
type DemoFile struct {
	Name string
	Text []byte
}

const (
	fieldFile = "field.zip"
	jobFile   = "job.yaml"
)

// DemoFiles lists the invented field, its label and its job file, which names the label.
func DemoFiles() []DemoFile {
	return []DemoFile{{fieldFile, demoField}, {"label.yaml", label.DemoYAML()}, {jobFile, demoJob}}
}

// demoPasses are ways over the demo's treated ground, a swath apart: the number of the pass, its
// longitude, and the latitudes where its boom is opened and closed.
//
//go:embed demo/passes.txt
var demoPasses string

// demoMap says what the columns of the demo's log hold.
const demoMap = `# An invented log of an invented field: no real machine, place or day.
layer: liquid
columns: {lon: LON, lat: LAT, time: TIME, rate: RATE, target: TARGET, on: ON}
time-form: epoch-s
rate-unit: fl oz/ac
width: 70 ft
weighed: 53.5 gal
`

// demoSaid is what those who were there say of the demo's day.
const demoSaid = `# Invented: no real person, weather or day.
date: 2026-05-04
begin: "07:10"
applicator: A. Nobody (invented)
license: "00000 (invented)"
wind: 6 mph from the west
`

// DemoLog writes an invented log of the demo's plan, with its map and what was said of the day,
// into a folder. Some of it is as it should not be: a swath is left out, one gets too much, and
// on one the log stops for some seconds.
func DemoLog(dir string) error {
	if err := os.Mkdir(dir, 0o777); err != nil {
		return &Error{What: dir + ": " + SystemSays(err)}
	}
	for name, text := range map[string]string{"liquid.csv": demoLog(), "map.yaml": demoMap, "said.yaml": demoSaid} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			return &Error{What: filepath.Join(dir, name) + ": " + SystemSays(err)}
		}
	}
	return nil
}

// Passes of the demo's log on which something is wrong.
const (
	leftOut  = 11
	tooMuch  = 24
	logStops = 30
)

func demoLog() string {
	var b strings.Builder
	b.WriteString("LON,LAT,TIME,RATE,TARGET,ON\n")
	clock := 1_777_878_600 // 2026-05-04 07:10 UTC
	for line := range strings.Lines(demoPasses) {
		var pass int
		var lon, from, to float64
		if _, err := fmt.Sscan(line, &pass, &lon, &from, &to); err != nil || pass == leftOut {
			continue // a remark
		}
		const step = 6.7 / 111_200 // degrees in a second, at 15 mph
		n := math.Ceil(math.Abs(to-from) / step)
		clock += 30
		for i := 0.0; i <= n; i++ {
			rate := 30 + float64(clock%17-8)/6
			if pass == tooMuch {
				rate += 13
			}
			on := 1
			if i == 0 {
				on = 0
			}
			if clock++; pass != logStops || i < 40 || i > 47 {
				fmt.Fprintf(&b, "%.7f,%.7f,%d,%.2f,30,%d\n", lon, from+(to-from)*i/n, clock, rate, on)
			}
		}
	}
	return b.String()
}
