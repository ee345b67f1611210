package app

import (
	"io"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/page"
	"rxsplit/rx/write"
)

// WritePage writes a result as a page, whole or not at all; of what stands there it
// replaces a page alone, never a file that somebody made.
func WritePage(path string, r report.Result) error {
	return writePage(path, []string{r.Prescription.Source.Path}, func(w io.Writer) error { return page.Write(w, r) })
}

// writePage writes what renders a page, never over one of the inputs.
func writePage(path string, inputs []string, render func(io.Writer) error) error {
	for _, input := range inputs {
		if sameFile(path, input) {
			return &Error{What: path + ": is the prescription itself", Hint: "choose another name for the page"}
		}
	}
	if isOther(path) {
		return &Error{What: path + ": is there already and is no page, so it is not replaced", Hint: "choose another name for the page"}
	}
	if dir := filepath.Dir(path); holdsPlan(dir) || holdsDay(dir) || holdsResults(dir) {
		return &Error{What: path + ": lies in a folder that holds its own files alone, which verify proves", Hint: "choose another place for the page"}
	}
	tmp := path + ".part"
	file, err := os.OpenFile(tmp, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return &Error{What: path + ": " + SystemSays(err), Hint: "choose another place for the page"}
	}
	err = render(file)
	if closed := file.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(tmp, path)
	}
	if err != nil {
		os.Remove(tmp)
		return &Error{What: path + ": " + SystemSays(err), Hint: "choose another place for the page"}
	}
	return nil
}

// isOther reports whether something else than a page, or an empty file, stands under a name.
func isOther(path string) bool {
	file, err := os.Open(path)
	if err != nil {
		return false // whoever writes it says what is wrong
	}
	defer file.Close()
	const page = "<!doctype html>"
	head := make([]byte, len(page))
	n, _ := io.ReadFull(file, head)
	return n > 0 && !strings.EqualFold(string(head[:n]), page)
}

// isPage reports whether a page stands under a name.
func isPage(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular() && info.Size() > 0 && !isOther(path)
}

func sameFile(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}

// SeasonField is what the page of a season says of one prescription.
type SeasonField = page.Field

// SeasonFieldOf sums up one checked prescription, as [Each] yields it with its ways.
func SeasonFieldOf(path string, r report.Result, err error) SeasonField {
	if err != nil {
		return page.FieldOf(path, data.FailedRow(path, err).Status, r, err)
	}
	return page.FieldOf(path, data.RowOf(path, r).Status, r, nil)
}

// WriteSeason writes the page of many prescriptions, whole or not at all, as [WritePage]
// does. A field whose own page stands beside it, or in a plan's folder beside it, is linked.
func WriteSeason(path, title string, fields []SeasonField) error {
	names(fields)
	plans := map[string][]plannedPage{} // by the folder that the plans' folders are in
	inputs := make([]string, len(fields))
	for i := range fields {
		inputs[i] = fields[i].Path
		fields[i].Link = linkTo(path, ownPage(fields[i].Path, plans))
	}
	return writePage(path, inputs, func(w io.Writer) error { return page.WriteSeason(w, title, Version, fields) })
}

// names calls each field by its path without the folder that all of them are in.
func names(fields []SeasonField) {
	if len(fields) == 0 {
		return
	}
	common := filepath.ToSlash(filepath.Dir(fields[0].Path)) + "/"
	for _, f := range fields {
		for common != "" && !strings.HasPrefix(filepath.ToSlash(f.Path), common) {
			common = common[:strings.LastIndex(strings.TrimSuffix(common, "/"), "/")+1]
		}
	}
	for i := range fields {
		fields[i].Name = strings.TrimPrefix(filepath.ToSlash(fields[i].Path), common)
	}
}

// pageOfPlan is the page in a plan's folder.
const pageOfPlan = "report.html"

// plannedPage is the page of a plan, and one of the files that it was made from.
type plannedPage struct{ input, page string }

// ownPage finds the page of a prescription: one of its name, or that of a plan made from it.
func ownPage(path string, plans map[string][]plannedPage) string {
	beside := strings.TrimSuffix(path, filepath.Ext(path)) + ".html"
	if isPage(beside) {
		return beside
	}
	dir := filepath.Dir(path)
	if _, looked := plans[dir]; !looked {
		plans[dir] = plansIn(dir)
	}
	for _, one := range plans[dir] {
		if sameFile(one.input, path) && isPage(one.page) {
			return one.page
		}
	}
	return ""
}

// plansIn lists the pages of the plans in a folder's folders, in their order.
func plansIn(dir string) (list []plannedPage) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil // whoever reads the prescriptions says what is wrong
	}
	for _, entry := range entries {
		plan := filepath.Join(dir, entry.Name())
		if !entry.IsDir() || !holdsPlan(plan) {
			continue
		}
		m, err := write.ReadManifest(plan)
		if err != nil {
			continue
		}
		for _, in := range m.Inputs {
			if in.Role == "prescription" {
				list = append(list, plannedPage{filepath.Join(plan, filepath.FromSlash(in.Path)), filepath.Join(plan, pageOfPlan)})
			}
		}
	}
	return list
}

// linkTo is the address of a page as seen from another.
func linkTo(from, to string) string {
	if to == "" || sameFile(from, to) {
		return ""
	}
	return (&url.URL{Path: relativePath(filepath.Dir(from), to)}).String()
}
