package serve

import (
	"errors"
	"testing"

	"rxsplit/cmd/internal/app"
	"rxsplit/label/strictyaml"
)

// What stops a check stands beside the option that it is about, and opens the group of that option
// alone; other groups stay as they are.
func TestFailureStandsBesideItsOption(t *testing.T) {
	for _, c := range []struct {
		err  error
		want [3]string // by option
	}{
		{&app.Error{What: "--loading:  is no loading"}, [3]string{"", "is no loading", ""}},
		{&app.Error{What: "--loadings: is no option here"}, [3]string{}},
		{strictyaml.Errors{{Key: "overlap", What: "is no length", Line: 1}, {Key: "loading", What: "is none", Line: 2}}, [3]string{"is no length", "is none", ""}},
		{errors.New("torn"), [3]string{}},
	} {
		of := func(name string, open bool) group {
			return group{Open: open, Fields: []option{{Option: app.Option{Name: name}}}}
		}
		v := field{Options: []group{of("overlap", false), of("loading", false), of("crs", true)}}
		v.fail(c.err)
		if v.Failure == nil {
			t.Errorf("%v is not told", c.err)
		}
		for i, g := range v.Options {
			if got := g.Fields[0].Err; got != c.want[i] || g.Open != (got != "" || i == 2) {
				t.Errorf("%v: beside %s stands %q, open %t; want %q", c.err, g.Fields[0].Name, got, g.Open, c.want[i])
			}
		}
	}
}
