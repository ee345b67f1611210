package write

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/sys/unix"

	"rxsplit/internal/oracle"
	"rxsplit/rx"
)

// What may not be read, made or replaced is told with its path, the system's reason and what to do,
// and nothing is left beside it.
func TestWhatTheSystemDenies(t *testing.T) {
	place := func() (parent, dir string) {
		parent = t.TempDir()
		dir = filepath.Join(parent, "plan")
		folder(t, dir, "loads")
		open := func(path string, mode fs.FileMode) {
			if err := os.Chmod(path, mode); err != nil {
				t.Fatal(err)
			}
		}
		for _, path := range []string{parent, dir, filepath.Join(dir, manifestName)} {
			if os.Geteuid() == 0 {
				if err := os.Chown(path, oracle.Nobody, -1); err != nil {
					t.Fatal(err)
				}
			}
		}
		open(filepath.Dir(parent), 0o755)
		t.Cleanup(func() { open(parent, 0o777); os.Chmod(dir, 0o777) })
		return parent, dir
	}
	chmod := func(name string, mode fs.FileMode) func(string) {
		return func(parent string) {
			if err := os.Chmod(filepath.Join(parent, name), mode); err != nil {
				t.Fatal(err)
			}
		}
	}
	nothing := func(string) {}
	manifest := func(dir string) error { _, err := ReadManifest(dir); return err }
	kept := func(dir string) error { _, err := readApproval(dir); return err }
	approve := func(dir string) error {
		m, err := ReadManifest(dir)
		if err != nil {
			return err
		}
		return Approve(t.Context(), dir, rx.Approval{Plan: m.Self, Way: rx.Loads, By: "A. Nobody (invented)"})
	}
	begin := func(force bool) func(string) error {
		return func(dir string) error {
			s, err := newStage(dir, force, true, nil)
			if err == nil {
				s.discard()
			}
			return err
		}
	}
	// commit makes a stage, has something happen, and puts it in its place
	commit := func(force bool, between func(dir string)) func(string) error {
		return func(dir string) error {
			s, err := newStage(dir, force, true, nil)
			if err != nil {
				return err
			}
			between(dir)
			err = s.commit()
			os.Chmod(filepath.Dir(dir), 0o777)
			s.discard()
			return err
		}
	}
	gone := func(parent string) {
		if err := os.RemoveAll(filepath.Join(parent, "plan")); err != nil {
			t.Fatal(err)
		}
	}
	put := func(name string) func(string) {
		return func(parent string) {
			if err := os.WriteFile(filepath.Join(parent, name), []byte("x"), 0o666); err != nil {
				t.Fatal(err)
			}
		}
	}
	const (
		name  = "name the folder that rxsplit split wrote"
		other = "choose another place with --out"
		fresh = "choose a new folder with --out"
	)
	type denial struct {
		what   string
		change func(parent string)
		do     func(dir string) error
		path   string // within the parent
		says   string // empty where it is the system's word alone
		hint   string
		behind error
	}
	all := []denial{
		{"manifest closed", chmod("plan/plan.json", 0), manifest, "plan/plan.json", "permission denied", name + ", where you may read it", fs.ErrPermission},
		{"folder closed", chmod("plan", 0), manifest, "plan/plan.json", "permission denied", name + ", where you may read it", fs.ErrPermission},
		{"folder gone", gone, manifest, "plan", "holds no plan: there is no plan.json", name, fs.ErrNotExist},
		{"a file", func(p string) { gone(p); put("plan")(p) }, manifest, "plan", "is a file, and a plan is a folder", name, unix.ENOTDIR},
		{"a folder for a manifest", func(p string) { gone(p); os.MkdirAll(p+"/plan/plan.json", 0o777) }, manifest, "plan/plan.json", "is no manifest", name, nil},
		{"approval closed", func(p string) { put("plan/approval.json")(p); chmod("plan/approval.json", 0)(p) }, kept, "plan/approval.json", "can't be read: permission denied", "", fs.ErrPermission},
		{"approval of something else", put("plan/approval.json"), kept, "plan/approval.json", "is no approval, or was changed since it was written", "move it elsewhere; approve the plan with: rxsplit approve", nil},
		{"approval beside nothing", chmod("", 0o555), approve, "plan", "the approval could not be written: the folder that it lies in can't be written to", "approve a copy of the plan that lies where you may write", fs.ErrPermission},
		{"approval into what is closed", chmod("plan", 0o555), approve, "plan", "the approval could not be written: permission denied", "approve it again where the folder can be written to", fs.ErrPermission},
		{"a second approval", put("plan/approval.json"), approve, "plan/approval.json", "is there already", "to approve the plan anew, move that approval elsewhere first", fs.ErrExist},
		{"canceled approval", nothing, func(dir string) error {
			m, err := ReadManifest(dir)
			if err != nil {
				return err
			}
			ctx, cancel := context.WithCancel(t.Context())
			cancel()
			return Approve(ctx, dir, rx.Approval{Plan: m.Self, Way: rx.Loads})
		}, "plan", "the approval could not be written: context canceled", "nothing was left behind; make room and approve again", context.Canceled},
		{"approval of another plan", nothing, func(dir string) error { return Approve(t.Context(), dir, rx.Approval{}) }, "plan", "was written anew by another run meanwhile", "look at that plan before you approve it", nil},
		{"no place", func(p string) { gone(p); chmod("", 0o555)(p) }, begin(false), "plan", "its folder can't be written to: permission denied", other, fs.ErrPermission},
		{"closed place", chmod("", 0), begin(false), "plan", "permission denied", other, fs.ErrPermission},
		{"taken", nothing, begin(false), "plan", "is there already", fresh + ", or replace the plan in it with --force", nil},
		{"taken by a file", func(p string) { gone(p); put("plan")(p) }, begin(true), "plan", "is there already and is no folder", "choose another name with --out", nil},
		{"taken by no plan", func(p string) { gone(p); os.Mkdir(p+"/plan", 0o777) }, begin(false), "plan", "is there already", fresh, nil},
		{"forced on no plan", func(p string) { gone(p); os.Mkdir(p+"/plan", 0o777) }, begin(true), "plan", "holds no whole plan, so it is not replaced", fresh, fs.ErrNotExist},
		{"forced on notes", put("plan/notes"), begin(true), "plan", "holds what is not of its plan, so it is not replaced: notes", "move that elsewhere, or choose a new folder with --out; rxsplit verify lists all of it", nil},
		{"made meanwhile", gone, commit(false, func(dir string) { os.Mkdir(dir, 0o777) }), "plan", "was made by somebody else meanwhile", "look at it, then " + fresh, fs.ErrExist},
		{"written meanwhile", nothing, commit(true, func(dir string) { folder(t, dir, "base") }), "plan", "was written by another run meanwhile", "look at what is there; to replace it, run again", nil},
		{"notes meanwhile", nothing, commit(true, func(dir string) { put("notes")(dir) }), "plan", "holds what is not of its plan, so it is not replaced: notes", "move that elsewhere, or choose a new folder with --out; rxsplit verify lists all of it", nil},
		{"place closed meanwhile", gone, commit(false, func(dir string) { chmod("", 0o555)(filepath.Dir(dir)) }), "plan", "permission denied", other, fs.ErrPermission},
		{"staged folder closed meanwhile", gone, commit(false, func(dir string) {
			staged, _ := filepath.Glob(filepath.Join(filepath.Dir(dir), ".plan*"))
			for _, s := range staged {
				chmod("", 0)(s)
			}
		}), "", "", "", nil},
	}
	if os.Geteuid() == 0 { // in a folder like /tmp nobody moves what is another's
		all = append(all, denial{"another's plan", func(parent string) {
			for _, path := range []string{parent, filepath.Join(parent, "plan")} {
				if err := errors.Join(os.Chown(path, 0, -1), os.Chmod(path, 0o777|fs.ModeSticky)); err != nil {
					t.Fatal(err)
				}
			}
		}, commit(true, func(string) {}), "plan", "can't be replaced in one step here: operation not permitted", fresh, fs.ErrPermission})
	}
	for _, c := range all {
		parent, dir := place()
		c.change(parent)
		oracle.AsNobody(t, func() {
			err := c.do(dir)
			var e *Error
			switch {
			case c.says == "":
				if err == nil || !strings.HasSuffix(err.Error(), "permission denied") {
					t.Errorf("%s: %v", c.what, err)
				}
			case !errors.As(err, &e):
				t.Errorf("%s: got %v", c.what, err)
			case e.Path != filepath.Join(parent, c.path) || e.What != c.says || e.Hint != c.hint || c.behind != nil && !errors.Is(err, c.behind) || err.Error() != e.Path+": "+c.says:
				t.Errorf("%s:\n%q, %q, behind it %v, want\n%q, %q, %v", c.what, err, e.Hint, e.Err, filepath.Join(parent, c.path)+": "+c.says, c.hint, c.behind)
			}
		})
		os.Chmod(parent, 0o777)
		if left, err := filepath.Glob(filepath.Join(parent, ".plan*")); err != nil || len(left) > 0 {
			t.Errorf("%s: left behind: %v", c.what, left)
		}
	}
}
