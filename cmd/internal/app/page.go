package app

import (
	"io"
	"os"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/page"
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
