package main

import (
	"bufio"
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"rxsplit/internal/oracle"
)

// mayFuse is the one function that may, as it asks for it by [math.FMA].
const mayFuse = "rxsplit/internal/samebits.Exp(SB)"

// A product that is added to something without being rounded first has other last bits where
// the processor does both at once, and then a folder that is proved byte by byte has other
// bytes. The compiler decides where it does, also after a function was inlined; so the
// program is built for a processor that can, and none of its own functions may have such an
// instruction. A conversion around the product, float64(a*b), forbids it. Halves are exact
// either way and converted all the same, as the instruction does not tell. Libraries are not
// looked at: gonum's part of what strips say (means, Student's t) may differ in the last bit.
func TestNoProductIsFused(t *testing.T) {
	oracle.Asked(t) // the compiler for another processor takes longer than all scripts
	exe := filepath.Join(t.TempDir(), "rxsplit")
	build := exec.Command("go", "build", "-o", exe, ".")
	build.Env = append(os.Environ(), "GOARCH=arm64", "GOOS=linux", "CGO_ENABLED=0")
	if text, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	code, err := exec.Command("go", "tool", "objdump", "-s", "^rxsplit/|^main\\.", exe).Output()
	if err != nil {
		t.Fatal(err)
	}
	fused := regexp.MustCompile(`\bFN?M(ADD|SUB)[SD]\b`)
	function, seen := "", 0
	lines := bufio.NewScanner(bytes.NewReader(code))
	for lines.Scan() {
		line := lines.Text()
		if name, ok := strings.CutPrefix(line, "TEXT "); ok {
			function, _, _ = strings.Cut(name, " ")
			continue
		}
		if !fused.MatchString(line) {
			continue
		}
		seen++
		if where := strings.Fields(line)[0]; function != mayFuse {
			t.Errorf("%s, %s: a product is added without being rounded first", function, where)
		}
	}
	if lines.Err() != nil || seen == 0 {
		t.Errorf("not even samebits.Exp has such an instruction: %v", lines.Err())
	}
}

// Whatever a figure of a plan goes through has the same bits everywhere: elementary
// functions come from internal/samebits.
func TestElementaryFunctionsAreTheSameEverywhere(t *testing.T) {
	own := regexp.MustCompile(`^(Sin|Cos|Sincos|Tan|Asin|Acos|Atan|Atan2|Sinh|Cosh|Tanh|Asinh|Acosh|Atanh|Exp|Exp2|Expm1|Log|Log2|Log10|Log1p|Hypot|Cbrt|Gamma|Erf)$`)
	root := filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		rel, _ := filepath.Rel(root, path)
		switch rel = filepath.ToSlash(rel); {
		case err != nil:
			return err
		case d.IsDir() && (rel == "geo/invent" || rel == "internal/samebits" || strings.HasPrefix(d.Name(), ".") && rel != "."):
			return filepath.SkipDir // makes what tests need; has what is asked for here
		case !strings.HasSuffix(rel, ".go") || strings.HasSuffix(rel, "_test.go"):
			return nil
		}
		files := token.NewFileSet()
		file, err := parser.ParseFile(files, path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if call, ok := n.(*ast.SelectorExpr); ok {
				if pkg, ok := call.X.(*ast.Ident); ok && pkg.Name == "math" && own.MatchString(call.Sel.Name) {
					t.Errorf("%s: math.%s differs between processors, samebits.%s does not", files.Position(n.Pos()), call.Sel.Name, call.Sel.Name)
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
