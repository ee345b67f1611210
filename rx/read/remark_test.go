package read

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Whatever a reader remarks becomes a finding: none is dropped for want of a row in remarks, and
// no row stands for what nobody remarks.
func TestEveryRemarkIsTold(t *testing.T) {
	var known []string
	for _, r := range remarks {
		known = append(known, r.Rule.Rule())
	}
	var texts strings.Builder
	said := map[string]bool{}
	for _, pattern := range []string{"../../geo/*.go", "../../geo/*/*.go"} {
		list, err := filepath.Glob(pattern)
		if err != nil || len(list) == 0 {
			t.Fatal(pattern, err)
		}
		for _, path := range list {
			if strings.HasSuffix(path, "_test.go") {
				continue
			}
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			texts.Write(text)
			for _, m := range regexp.MustCompile(`Remark\{Rule: "([^"]*)"`).FindAllStringSubmatch(string(text), -1) {
				said[m[1]] = true
			}
		}
	}
	for rule := range said {
		if !slices.Contains(known, rule) && rule != "overflow" { // that is told of rate fields alone: see overflowed
			t.Errorf("%s is remarked, and is no row", rule)
		}
	}
	for _, rule := range known {
		if !strings.Contains(texts.String(), `"`+rule+`"`) {
			t.Errorf("%s is a row, and nobody remarks it", rule)
		}
	}
	if len(said) < 16 {
		t.Errorf("only %d remarks are found in the readers", len(said))
	}
}
