package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// module is the path that our own imports begin with.
const module = "rxsplit/"

// arrow says what the packages of one folder may import of ours. A folder that ends
// in "/..." stands for itself and all below it; the first arrow that fits a package
// counts.
type arrow struct {
	from string
	to   []string
}

// anywhere is a package that knows nothing of ours, for all others.
const anywhere = "internal/each"

// arrows is how imports go: label/unit -> geo, label -> rx -> rx/tell -> the stages -> the
// report -> the application -> its front end. Stages never import each other.
var arrows = []arrow{
	{"internal/cores", nil},
	{"internal/each", nil},
	{"internal/pages", nil},
	{"internal/samebits", nil},
	{"internal/oracle", nil}, // finds what tests are held against
	{"internal/oracle/browser", []string{"internal/oracle"}},
	{"internal/oracle/kept", nil}, // holds digests for tests
	{"label/unit", nil},
	{"label/strictyaml", []string{"label/unit"}},
	{"label/yamltest", nil}, // makes what tests need
	{"label", []string{"label/..."}},

	{"geo/invent", []string{"geo", "geo/crs", "geo/shapefile", "internal/cores", "label/unit"}},
	{"geo/crs", []string{"geo/internal/...", "internal/cores", "label/unit", "internal/samebits"}},
	{"geo/shapefile", []string{"geo", "geo/internal/...", "internal/cores", "label/unit"}},
	{"geo/geojson", []string{"geo", "internal/cores", "label/unit"}},
	{"geo/track", []string{"internal/samebits"}},
	{"geo/coverage", []string{"geo", "internal/cores"}},
	{"geo/lane", []string{"geo", "internal/samebits"}},
	{"geo/swath", []string{"geo/coverage", "geo/track", "internal/samebits"}},
	{"geo/internal/...", []string{"internal/cores", "internal/samebits"}},
	{"geo/raster", []string{"geo", "label/unit", "internal/samebits"}},
	{"geo/taskdata", []string{"geo", "geo/raster", "geo/track", "label/unit", "internal/samebits"}},
	{"geo", []string{"geo/internal/...", "internal/cores", "label/unit", "internal/samebits"}},

	{"rx/equip", []string{"label/...", "internal/samebits"}},
	{"rx", []string{"rx/equip", "geo", "geo/raster", "internal/cores", "label/..."}},
	{"rx/words", []string{"label/unit"}},
	{"rx/tell", []string{"rx", "rx/words", "label/..."}},
	{"rx/readout", []string{"geo", "rx", "internal/samebits", "label/..."}}, // arithmetic of strips, below the stages
	{"rx/read", append([]string{"rx/readout"}, stageMay...)},
	{"rx/check", stageMay},
	{"rx/day", stageMay},
	{"rx/ground", stageMay},
	{"rx/record", stageMay},
	{"rx/split", append([]string{"rx/readout"}, stageMay...)},
	{"rx/sheet", append([]string{"rx/words"}, stageMay...)},
	{"rx/write", stageMay},
	{"rx/rxtest", []string{"rx/...", "geo/...", "label/..."}}, // makes what tests need

	{"cmd/internal/report/figures", []string{"label/unit", "rx"}},
	{"cmd/internal/report/svg", []string{"cmd/internal/report/figures", "geo", "internal/cores", "label/unit", "internal/samebits"}},
	{"cmd/internal/report/data", append(showMay, "cmd/internal/report/svg", "internal/cores")},
	{"cmd/internal/report/text", append(showMay, "cmd/internal/report/data")},
	{"cmd/internal/report/page", append(showMay, "cmd/internal/report/svg", "internal/cores")},
	{"cmd/internal/report/reporttest", []string{"cmd/internal/report", "geo/invent", "rx/...", "label/..."}}, // makes what tests need
	{"cmd/internal/report", []string{"cmd/internal/report/figures", "rx/...", "label/..."}},
	{"cmd/inventfield", []string{"geo/...", "label/..."}},
	{"cmd/internal/app", []string{"cmd/internal/report", "cmd/internal/report/data", "cmd/internal/report/figures", "cmd/internal/report/page", "cmd/internal/report/text", "rx/...", "geo", "geo/raster", "geo/shapefile", "geo/taskdata", "internal/cores", "label/..."}},
	{"cmd/internal/serve", []string{"cmd/internal/app", "cmd/internal/report/...", "rx/...", "geo/...", "label/..."}},
	{"cmd/rxsplit", []string{"cmd/internal/app", "cmd/internal/serve", "cmd/internal/report", "cmd/internal/report/data", "cmd/internal/report/text", "rx", "rx/equip", "internal/pages", "label/..."}},
}

var stageMay = []string{"rx", "rx/tell", "rx/equip", "geo", "geo/crs", "geo/shapefile", "geo/geojson", "geo/raster", "geo/taskdata", "geo/coverage", "geo/lane", "geo/swath", "geo/track", "internal/cores", "label/...", "internal/samebits"}

// showMay is what a package may import that shows a result.
var showMay = []string{"cmd/internal/report", "cmd/internal/report/figures", "rx/...", "geo", "label/..."}

// testOnly are packages that no program may hold: only tests import them, and
// those that are named.
var testOnly = map[string][]string{
	"cmd/internal/report/reporttest": nil,

	"geo/invent":              {"cmd/inventfield", "rx/rxtest", "cmd/internal/report/reporttest"},
	"internal/oracle":         {"internal/oracle/browser"},
	"internal/oracle/browser": nil,
	"internal/oracle/kept":    nil,
	"label/yamltest":          nil,
	"rx/rxtest":               {"cmd/internal/report/reporttest"},
}

// wrongArrow says why a package may not import another of ours; empty if it may.
func wrongArrow(from, to string) string {
	if who, only := testOnly[to]; only && !slices.Contains(who, from) {
		return from + " imports " + to + ", which is for tests"
	}
	for _, a := range arrows {
		if !covers(a.from, from) {
			continue
		}
		if to == anywhere || slices.ContainsFunc(a.to, func(pattern string) bool { return covers(pattern, to) }) {
			return ""
		}
		return from + " may not import " + to
	}
	return from + " is in no row of the table of arrows"
}

// covers reports whether a pattern of the table stands for a package.
func covers(pattern, pkg string) bool {
	folder, all := strings.CutSuffix(pattern, "/...")
	return pkg == folder || all && strings.HasPrefix(pkg, folder+"/")
}

// imports returns our own imports of every package of the module, without those of
// its tests.
func imports(t *testing.T, root string) map[string][]string {
	t.Helper()
	found := map[string][]string{}
	err := filepath.WalkDir(root, func(file string, entry fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case entry.IsDir() && file != root && (strings.HasPrefix(entry.Name(), ".") || entry.Name() == "testdata"):
			return fs.SkipDir
		case entry.IsDir() || path.Ext(file) != ".go" || strings.HasSuffix(file, "_test.go"):
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, filepath.Dir(file))
		if err != nil {
			return err
		}
		pkg := filepath.ToSlash(rel)
		for _, spec := range parsed.Imports {
			name, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			if own, ok := strings.CutPrefix(name, module); ok {
				found[pkg] = append(found[pkg], own)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// wrongIn lists the wrong imports of a module.
func wrongIn(t *testing.T, root string) (wrong []string) {
	t.Helper()
	found := imports(t, root)
	for _, pkg := range slices.Sorted(maps.Keys(found)) {
		slices.Sort(found[pkg])
		for _, own := range slices.Compact(found[pkg]) {
			if why := wrongArrow(pkg, own); why != "" {
				wrong = append(wrong, why)
			}
		}
	}
	return wrong
}

func TestArrows(t *testing.T) {
	for _, why := range wrongIn(t, "../..") {
		t.Error(why)
	}
}

// A wrong import in a file is found, whatever it is called there and whatever
// system the file is for; one in a test is not looked at.
func TestWrongImportsAreFound(t *testing.T) {
	root := t.TempDir()
	for name, text := range map[string]string{
		"rx/read/read.go":        "package read\n\nimport (\n\t\"fmt\"\n\n\tgrade \"rxsplit/rx/check\"\n)\n",
		"rx/read/read_test.go":   "package read\n\nimport \"rxsplit/rx/write\"\n",
		"rx/read/testdata/x.go":  "package x\n\nimport \"rxsplit/cmd/rxsplit\"\n",
		"label/unit/unit.go":     "package unit\n\nimport _ \"rxsplit/geo\"\n",
		"geo/crs/windows.go":     "//go:build windows\n\npackage crs\n\nimport \"rxsplit/rx\"\n",
		"rx/write/write.go":      "package write\n\nimport \"rxsplit/geo/shapefile\"\n",
		"somewhere/new/file.go":  "package new\n\nimport \"rxsplit/rx\"\n",
		"cmd/rxsplit/rxsplit.go": "package main\n\nimport \"rxsplit/geo/invent\"\n",
	} {
		path := filepath.Join(root, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want := []string{
		"cmd/rxsplit imports geo/invent, which is for tests",
		"geo/crs may not import rx",
		"label/unit may not import geo",
		"rx/read may not import rx/check",
		"somewhere/new is in no row of the table of arrows",
	}
	if got := wrongIn(t, root); !slices.Equal(got, want) {
		t.Errorf("wrong imports %q, want %q", got, want)
	}
}

// The table itself: what must never go.
func TestWrongArrowsAreSeen(t *testing.T) {
	for _, c := range []struct {
		from, to string
		wrong    bool
	}{
		{"label/unit", "geo", true},
		{"label/unit", "label", true},
		{"label", "geo", true},
		{"label", "rx", true},
		{"label", "label/unit", false},
		{"geo", "rx", true},
		{"geo", "label", true},
		{"geo", "label/unit", false},
		{"geo", "geo/shapefile", true},
		{"geo/shapefile", "rx", true},
		{"rx/equip", "geo", true},
		{"rx/equip", "rx", true},
		{"rx", "rx/read", true},
		{"rx", "cmd/internal/report", true},
		{"rx/read", "rx/check", true},
		{"rx/check", "rx/read", true},
		{"rx/split", "rx/check", true},
		{"rx/write", "rx/read", true},
		{"rx/sheet", "rx/split", true},
		{"rx/write", "geo/shapefile", false},
		{"rx/write", "cmd/internal/report", true},
		{"rx/split", "geo/invent", true},
		{"cmd/rxsplit", "geo/invent", true},
		{"cmd/rxsplit", "rx/rxtest", true},
		{"cmd/inventfield", "geo/invent", false},
		{"cmd/internal/report", "cmd/rxsplit", true},
		{"cmd/internal/report", "cmd/internal/report/text", true},
		{"cmd/internal/report/svg", "cmd/internal/report", true},
		{"cmd/internal/report/svg", "rx", true},
		{"cmd/internal/report/page", "cmd/internal/report/text", true},
		{"cmd/internal/report/page", "cmd/internal/report/reporttest", true},
		{"cmd/internal/report/page", "cmd/internal/report/svg", false},
		{"cmd/internal/report", "cmd/internal/app", true},
		{"cmd/internal/app", "cmd/rxsplit", true},
		{"cmd/internal/app", "rx/read", false},
		{"cmd/rxsplit", "rx/read", true},
		{"cmd/internal/report", "rx/write", false},
		{"new/package", "rx", true},
	} {
		if why := wrongArrow(c.from, c.to); (why != "") != c.wrong {
			t.Errorf("%s -> %s: %q, want wrong: %v", c.from, c.to, why, c.wrong)
		}
	}
}
