package main

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// leanWay is a way for tests: it impregnates the blend at the lowest loading that serves.
const leanWay = `package split

import "rxsplit/rx"

func lean(t *Task) (solution, string) {
	dry, area, mass := span(t.steps())
	window, why := t.window(dry)
	if window == nil {
		return solution{}, why
	}
	g := grouping{{Loading: window[0].Min, Mass: mass, Area: area, Rates: dry, Materials: t.impregnated()}}
	return solution{
		Way:    rx.Way{Passes: 1, Loads: g, Why: "the least that the label asks for"},
		layers: []part{t.carried("dry-lean", nil, g[0])},
		gets:   g.gets,
	}, ""
}
`

// withLeanWay builds the program with one more way, added as anybody would add it: a
// file, and a line in each of the two lists.
func withLeanWay(t *testing.T) (program string) {
	t.Helper()
	dir := t.TempDir()
	replace := map[string]string{}
	put := func(path, text string) {
		whole, err := filepath.Abs(filepath.Join("../..", path))
		if err != nil {
			t.Fatal(err)
		}
		replace[whole] = filepath.Join(dir, fmt.Sprintf("%d.go", len(replace)))
		if err := os.WriteFile(replace[whole], []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	insert := func(path, after, line string) {
		text, err := os.ReadFile(filepath.Join("../..", path))
		if err != nil {
			t.Fatal(err)
		}
		at := strings.LastIndex(string(text), after) // the last row, whatever ways there are
		if at < 0 {
			t.Fatalf("%s holds no %q", path, after)
		}
		at += strings.Index(string(text[at:]), "\n") + 1
		put(path, string(text[:at])+line+"\n"+string(text[at:]))
	}
	put("rx/split/lean.go", leanWay)
	insert("rx/split/split.go", "\t{rx.", `{"lean", lean},`)
	insert("rx/equip/way.go", `{Name: "`, `{Name: "lean", Title: "the leanest load", Help: "one load at its lowest loading"},`)
	overlay, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		t.Fatal(err)
	}
	list := filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(list, overlay, 0o666); err != nil {
		t.Fatal(err)
	}
	program = filepath.Join(dir, "rxsplit.exe")
	if out, err := exec.Command("go", "build", "-overlay", list, "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return program
}

const leanJob = `label: label.yaml
rate-field: [DRY_LBAC]
rate-unit: lb/ac
way: lean
rate-error: 0 %
blend: [{name: urea, grade: 46-0-0, share: 100 %, density: 48 lb/ft3}]
blender: {batch: 3 ton}
spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}, bins: 1}
prices: {stabilizer: 40 $/gal, blending: 12 $/ton, dry-spreading: 7.50 $/ac}
`

// A way that is added by a file and a line in each list is a whole way: flag and help,
// job file and template, check, split, sheets, page, cost and proof know it.
func TestNewWayIsWhole(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program")
	}
	program, dir := withLeanWay(t), t.TempDir()
	field := rxtest.Write(t, rxtest.Strip(rxtest.Ground{Acres: 20, Rate: 110}, rxtest.Ground{Acres: 30, Rate: 170}))
	for name, text := range map[string]string{"label.yaml": "name: Test inhibitor (invented)\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n", "job.yaml": leanJob} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	says := func(worst int, args ...string) string {
		t.Helper()
		cmd := exec.Command(program, args...)
		cmd.Dir = dir
		out, _ := cmd.CombinedOutput()
		if code := cmd.ProcessState.ExitCode(); code > worst {
			t.Fatalf("rxsplit %s: exit %d\n%s", strings.Join(args, " "), code, out)
		}
		return strings.Join(strings.Fields(string(out)), " ") // however long its lines are
	}
	holds := func(what, text string, words ...string) {
		t.Helper()
		for _, w := range words {
			if !strings.Contains(text, w) {
				t.Errorf("%s does not hold %q", what, w)
			}
		}
	}
	holds("split --help", says(0, "split", "--help"), " or lean", "one load at its lowest loading")
	holds("a refusal", says(2, "split", field, "--job", "job.yaml", "--way", "leen", "--out", "plan"), `"leen" is none of`, ", lean")
	says(0, "job", "new", "template.yaml")
	says(1, "job", "check", "job.yaml")
	holds("the check", says(1, "check", "--full", field, "--job", "job.yaml"), "lean conditional only if")

	says(1, "split", field, "--job", "job.yaml", "--out", "plan")
	says(0, "verify", "plan")
	read := func(name string) string {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	remarks := strings.Fields(strings.ReplaceAll(read("template.yaml"), "#", " ")) // however long their lines are
	holds("the template", strings.Join(remarks, " "), " or lean")
	holds("the page", read("plan/report.html"), "Release it by the leanest load")
	var manifest struct {
		Way     string
		Summary struct {
			Loads, Batches int
			Loadings       []float64
			RateMin        float64 `json:"rate_min"`
			Volume         float64 `json:"stabilizer_volume"`
			Cost           struct {
				Items []struct {
					What   string
					Amount float64
				}
			}
		}
	}
	if err := json.Unmarshal([]byte(read("plan/plan.json")), &manifest); err != nil {
		t.Fatal(err)
	}
	s := manifest.Summary
	// The lowest rate gets the label's least, 20 fl oz/ac: 20·2000/110 fl oz/ton of 3.65 tons.
	if manifest.Way != "lean" || s.Loads != 1 || s.Batches != 2 || len(s.Loadings) != 1 || !within(s.Loadings[0], 363.636, 1e-5) || !within(s.RateMin, 20, 1e-6) || !within(s.Volume, 1327.27, 1e-3) {
		t.Errorf("way %s: %+v", manifest.Way, s)
	}
	amounts := map[string]float64{}
	for _, item := range s.Cost.Items {
		amounts[item.What] = item.Amount
	}
	if got := amounts["impregnating"]; !within(got, 12*3.65, 0.02) {
		t.Errorf("impregnating costs %v", got)
	}
	sheets := read("plan/sheets.txt")
	holds("the sheets", sheets, "BLENDER SHEET", "Layer file    dry-lean", "363.6 fl oz/ton", "2 batches")
}

func within(got, want, relative float64) bool {
	return got > want*(1-relative) && got < want*(1+relative)
}

// Nobody but the list of methods asks for a way by its name: what is told of it goes by
// what rx.Way holds, so that nothing has to be told of a new one.
func TestNoWayIsKnownByName(t *testing.T) {
	names := map[string]bool{}
	for _, w := range equip.Ways() {
		names[string(w.Name)] = true
	}
	isName := func(e ast.Expr) bool {
		lit, ok := e.(*ast.BasicLit)
		if !ok {
			return false
		}
		text, err := strconv.Unquote(lit.Value)
		return err == nil && names[text]
	}
	constants := constantsIn(t, "../../rx", isName)
	err := filepath.WalkDir("../..", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		files := token.NewFileSet()
		file, err := parser.ParseFile(files, path, nil, 0)
		if err != nil {
			return err
		}
		if rel, err := filepath.Rel("../..", path); err != nil || filepath.ToSlash(rel) == "rx/split/split.go" {
			return err
		}
		is := func(e ast.Expr) bool {
			if sel, ok := e.(*ast.SelectorExpr); ok {
				pkg, ok := sel.X.(*ast.Ident)
				return ok && pkg.Name == "rx" && constants[sel.Sel.Name]
			}
			return isName(e)
		}
		tell := func(list ...ast.Expr) {
			for _, e := range list {
				if is(e) {
					t.Errorf("%s names a way: ask for what the way does", files.Position(e.Pos()))
				}
			}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.SelectorExpr:
				tell(n)
			case *ast.BinaryExpr: // elsewhere "base" and "loads" are words
				if n.Op == token.EQL || n.Op == token.NEQ {
					tell(n.X, n.Y)
				}
			case *ast.CaseClause:
				tell(n.List...)
			case *ast.KeyValueExpr:
				tell(n.Key)
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// constantsIn returns the names of the constants of a package that hold what is looked for.
func constantsIn(t *testing.T, dir string, holds func(ast.Expr) bool) map[string]bool {
	t.Helper()
	constants := map[string]bool{}
	paths, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range paths {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if spec, ok := n.(*ast.ValueSpec); ok {
				for i, value := range spec.Values {
					if holds(value) {
						constants[spec.Names[i].Name] = true
					}
				}
			}
			return true
		})
	}
	if len(constants) == 0 {
		t.Errorf("%s names no way: this test finds nothing", dir)
	}
	return constants
}
