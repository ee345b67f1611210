package serve

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"rxsplit/cmd/internal/app"
)

// fits reports whether a job may stand for prescriptions before anybody chose it. One that
// names a field or a customer would put these names onto the sheets of another field.
func fits(job string, files []string) bool {
	j, err := app.ReadJob(filepath.FromSlash(job))
	if err != nil {
		return true // its mistakes are told instead
	}
	if j.Field == "" && j.Customer == "" {
		return true
	}
	invented := isInvented(job)
	return !slices.ContainsFunc(files, func(file string) bool {
		if invented {
			return !isInvented(file)
		}
		stem := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
		return letters(j.Field) == "" || letters(j.Field) != letters(stem)
	})
}

// isInvented reports whether a file is one of the demonstration, unchanged.
func isInvented(name string) bool {
	local := filepath.FromSlash(name)
	info, err := os.Stat(local)
	return err == nil && slices.ContainsFunc(app.DemoFiles(), func(f app.DemoFile) bool {
		if info.Size() != int64(len(f.Text)) {
			return false
		}
		text, err := os.ReadFile(local)
		return err == nil && bytes.Equal(text, f.Text)
	})
}

// letters leaves of a name what does not change between a field and its file: "North 40"
// is north_40.zip.
func letters(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
}

// namesOf says which field and customer a job names; empty where it names neither.
func namesOf(job string) string {
	if job == "" {
		return ""
	}
	j, err := app.ReadJob(filepath.FromSlash(job))
	if err != nil {
		return ""
	}
	var names []string
	if j.Field != "" {
		names = append(names, "the field "+j.Field)
	}
	if j.Customer != "" {
		names = append(names, "the customer "+j.Customer)
	}
	if len(names) == 0 {
		return ""
	}
	return job + " names " + strings.Join(names, " and ") + ": so the sheets of the plan will say. Choose it only for that field."
}

// without lists the names that are no columns of the file.
func (l *looked) without(names []string) (missing []string) {
	for _, name := range names {
		if !slices.ContainsFunc(l.columns, func(c column) bool { return strings.EqualFold(c.Name, name) }) {
			missing = append(missing, name)
		}
	}
	return missing
}

// notInFile says that the job's rate is not in the file. Which column takes its place is
// for the user to say.
func notInFile(missing []string) error {
	columns := "column "
	if len(missing) > 1 {
		columns = "columns "
	}
	return &app.Error{What: "The chosen job asks for the " + columns + strings.Join(missing, ", ") + ", which this file does not have", Hint: "pick the rate below, and look whether the job's other figures are of this field"}
}
