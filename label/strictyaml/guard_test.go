package strictyaml

import (
	"strings"
	"testing"

	"github.com/goccy/go-yaml/ast"
)

// No text is known that makes the library panic; one that does must not end the program.
func TestPanicOfTheLibraryIsAnError(t *testing.T) {
	file, err := guarded(func() (*ast.File, error) { panic("index out of range") })
	if file != nil || err == nil || !strings.Contains(err.Error(), "is not YAML that can be read (index out of range)") {
		t.Errorf("got %v, %v", file, err)
	}
}
