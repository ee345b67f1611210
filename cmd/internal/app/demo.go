package app

import (
	_ "embed" // for the demo's files
	"os"
	"path/filepath"

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
