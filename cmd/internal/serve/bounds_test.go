package serve

import (
	"fmt"
	"net/http/httptest"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"rxsplit/cmd/internal/app"
)

// How far work is, in words: of each stage, with the files that are done once one is.
func TestHowFarWorkIs(t *testing.T) {
	for stage, want := range map[string]string{
		"": "Waiting for what is being worked out before it", "read": "Reading the file", "inspect": "Looking through its fields", "zones": "Measuring the zones",
		"check": "Holding every zone against the label", "ways": "Working out the ways to release it", "split": "Working out the way",
		"write": "Writing the files", "files": "Reading the files", "source": "Working the plan out again", "layers": "Holding every layer against the source",
		"verify": "Proving the files from the disk", "draw": "Drawing", "bytes": "Making every file again and comparing it", "rename": "Putting the folder in its place", "approve": "Adding the approval",
	} {
		for _, c := range []struct {
			done, total int
			count       string
		}{{0, 0, ""}, {1, 0, ""}, {0, 3, ""}, {1, 3, ", 1 of 3"}, {3, 3, ", 3 of 3"}} {
			w := &task{step: app.Step{Stage: stage, Done: c.done, Total: c.total}, since: time.Now()}
			if got := w.says(); got != want+c.count+". 0 s so far." {
				t.Errorf("%q: %q", stage, got)
			}
		}
	}
}

// The last of what is taken, and the first that is not.
func TestEndsOfWhatIsTaken(t *testing.T) {
	v := visit(t, map[string]string{
		"most.yaml": "name: x\n" + strings.Repeat("#", mostText-8), "more.yaml": "name: x\n" + strings.Repeat("#", mostText-7),
		"a.shp": "", "b.shp": "", "c.shp": "",
	})
	for _, link := range []string{"a.txt", "b.dbf"} {
		if err := os.Symlink("/etc/hostname", link); err != nil {
			t.Skip(err)
		}
	}
	wrong := func(err error) string {
		if err == nil {
			return ""
		}
		return app.Explain(err).Text
	}
	_, most := v.server.textOf(textFile{}, "most.yaml")
	_, more := v.server.textOf(textFile{}, "more.yaml")
	_, a := v.server.folder.inside("a.shp")
	_, b := v.server.folder.inside("b.shp")
	_, c := v.server.folder.inside("c.shp")
	for _, c := range []struct{ what, got, want string }{
		{"a long name", wrong(named(strings.Repeat("n", 400))), ""},
		{"a longer name", wrong(named(strings.Repeat("n", 401))), fmt.Sprintf("%q is no name of something in this folder", strings.Repeat("n", 60))},
		{"a long text", wrong(most), ""},
		{"a longer text", wrong(more), "more.yaml: is longer than such a file can be"},
		{"a part of another kind leads out", wrong(a), ""},
		{"a part leads out", wrong(b), "b.dbf: leads out of the folder"},
		{"a part of another file leads out", wrong(c), ""},
		{"bytes", sizeText(999), "999 bytes"},
		{"kilobytes", sizeText(1000), "1 kB"},
	} {
		if c.got != c.want {
			t.Errorf("%s: %q, want %q", c.what, c.got, c.want)
		}
	}
}

// The key lets in on the first page alone, asked for as pages are.
func TestFirstVisit(t *testing.T) {
	s := &server{key: "k", prefix: "/p/"}
	for _, c := range []struct {
		method, address string
		want            bool
	}{{"GET", "/p/?key=k", true}, {"POST", "/p/?key=k", false}, {"GET", "/p/field?key=k", false}, {"GET", "/p/?key=l", false}, {"POST", "/p/field?key=k", false}} {
		if got := s.firstVisit(httptest.NewRequest(c.method, c.address, nil)); got != c.want {
			t.Errorf("%s %s: %t", c.method, c.address, got)
		}
	}
}

// What is asked for stays, whatever else the folder holds; a mistake or a remark in a part opens the whole.
func TestAskedForStays(t *testing.T) {
	for _, names := range [][]string{{labelName}, {jobName}, {labelName, jobName}} {
		a := asked{File: "field.zip", Values: app.Values{}}
		for _, name := range names {
			a.Values[name] = []string{"mine.yaml"}
		}
		a.only(&holding{Fields: []string{"field.zip"}, Jobs: []string{"job.yaml"}, Labels: []string{"label.yaml"}})
		for _, name := range []string{labelName, jobName} {
			if got, want := strings.Join(a.Values[name], " "), map[bool]string{true: "mine.yaml"}[slices.Contains(names, name)]; got != want {
				t.Errorf("%v: --%s is %q, want %q", names, name, got, want)
			}
		}
	}
	wrong, odd, fine := ask{Parts: []ask{{Err: "x"}, {}}}, ask{Rows: []ask{{Parts: []ask{{Remark: "x"}}}, {}}}, ask{Parts: []ask{{}}}
	if !wrongIn(wrong) || wrongIn(odd) || wrongIn(fine) || !oddIn(odd) || oddIn(wrong) || oddIn(fine) {
		t.Error("a mistake or a remark is not where it is looked for")
	}
}
