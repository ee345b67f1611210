package write_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"rxsplit/geo/invent"
	"rxsplit/rx"
	"rxsplit/rx/write"
)

// approved writes a plan and approves it.
func approved(t testing.TB) (dir string, a rx.Approval) {
	t.Helper()
	dir = written(t, planned(t, invent.FourZones(), rx.WetBoom))
	m, err := write.ReadManifest(dir)
	if err != nil {
		t.Fatal(err)
	}
	a = rx.Approval{Plan: m.Self, Way: rx.WetBoom, By: "A. Nobody (invented) <&>", License: "00-000", Note: "höher", At: time.Date(2026, 5, 1, 7, 30, 0, 0, time.UTC)}
	if err := write.Approve(t.Context(), dir, a); err != nil {
		t.Fatal(err)
	}
	return dir, a
}

func standing(t testing.TB, dir string) (*rx.Approval, []write.Mismatch) {
	t.Helper()
	m, err := write.ReadManifest(dir)
	if err != nil {
		t.Fatal(err)
	}
	return m.CheckApproval(dir)
}

// An approval is read back as it was given, leaves the plan as it is and nothing beside it,
// and is not replaced by another.
func TestApprovalIsKept(t *testing.T) {
	dir, a := approved(t)
	got, wrong := standing(t, dir)
	if got == nil || *got != a || len(wrong) > 0 {
		t.Errorf("got %+v, %v; want %+v", got, wrong, a)
	}
	if rest := leftovers(t, dir); len(rest) > 0 {
		t.Errorf("left behind: %v", rest)
	}
	m, err := write.ReadManifest(dir)
	if err != nil {
		t.Fatal(err)
	}
	if wrong, others := m.CheckFiles(dir), m.Others(dir); len(wrong)+len(others) > 0 {
		t.Errorf("got %v and %v", wrong, others)
	}
	before := files(t, dir)[write.ApprovalName]
	second := a
	second.By = "B. Nobody (invented)"
	if err := write.Approve(t.Context(), dir, second); err == nil || !strings.Contains(err.Error(), "is there already") {
		t.Errorf("a second approval: %v", err)
	}
	if !bytes.Equal(before, files(t, dir)[write.ApprovalName]) {
		t.Error("the approval was replaced")
	}
}

// What is not the plan's digest approves nothing, and is not written.
func TestApprovalOfAnotherPlanIsNotWritten(t *testing.T) {
	dir := written(t, planned(t, invent.FourZones(), rx.WetBoom))
	a := rx.Approval{Plan: strings.Repeat("0", 64), Way: rx.WetBoom, By: "A"}
	if err := write.Approve(t.Context(), dir, a); err == nil {
		t.Error("was written")
	}
	if _, there := files(t, dir)[write.ApprovalName]; there || len(leftovers(t, dir)) > 0 {
		t.Error("something is left behind")
	}
}

// remake lists the files of a folder in its manifest as they are now, and makes the
// manifest whole again, as somebody would who wants the change to go unseen.
func remake(t *rapid.T, dir string) {
	text, err := os.ReadFile(filepath.Join(dir, write.ManifestName))
	if err != nil {
		t.Fatal(err)
	}
	var m write.Manifest
	if err := json.Unmarshal(text, &m); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	m.Files = nil
	for _, e := range entries {
		if e.Name() == write.ManifestName || e.Name() == write.ApprovalName {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		m.Files = append(m.Files, write.FileSum{Name: e.Name(), SHA256: write.Digest(data), Size: int64(len(data))})
	}
	zeros := strings.Repeat("0", 64)
	m.Self = zeros
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetIndent("", " ")
	if err := enc.Encode(m); err != nil {
		t.Fatal(err)
	}
	at := bytes.LastIndex(out.Bytes(), []byte(zeros))
	copy(out.Bytes()[at:], write.Digest(out.Bytes()))
	save(t, filepath.Join(dir, write.ManifestName), out.Bytes())
}

func save(t interface{ Fatal(...any) }, path string, data []byte) {
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
}

// An approval never fits a plan of which a file was changed, removed or added, though the
// manifest was made again; without that the change itself is found.
func TestApprovalNeverFitsAChangedPlan(t *testing.T) {
	dir, _ := approved(t)
	whole := files(t, dir)
	var names []string
	for name := range whole {
		if name != write.ManifestName && name != write.ApprovalName {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	seen := map[string]bool{}
	rapid.Check(t, func(t *rapid.T) {
		defer restore(t, dir, whole)
		name := rapid.SampledFrom(names).Draw(t, "file")
		how := rapid.SampledFrom([]string{"changed", "cut", "removed", "added", "renamed"}).Draw(t, "how")
		path := filepath.Join(dir, name)
		switch data := bytes.Clone(whole[name]); how {
		case "changed":
			data[rapid.IntRange(0, len(data)-1).Draw(t, "at")] ^= 1 << rapid.IntRange(0, 7).Draw(t, "bit")
			save(t, path, data)
		case "cut":
			save(t, path, data[:len(data)-1])
		case "removed":
			os.Remove(path)
		case "added":
			save(t, path+".more", data)
		case "renamed":
			os.Rename(path, path+".other")
		}
		m, err := write.ReadManifest(dir)
		if err != nil || len(m.CheckFiles(dir)) == 0 && len(m.Others(dir)) == 0 {
			t.Fatalf("%s %s: not seen, %v", name, how, err)
		}
		remake(t, dir)
		if m, err = write.ReadManifest(dir); err != nil || len(m.CheckFiles(dir)) > 0 {
			t.Fatalf("%s %s: the manifest was not made again: %v", name, how, err)
		}
		if a, wrong := m.CheckApproval(dir); a != nil || len(wrong) != 1 {
			t.Fatalf("%s %s: %+v, %v", name, how, a, wrong)
		}
		seen[how] = true
	})
	if len(seen) < 3 && !testing.Short() {
		t.Errorf("only %v were tried", seen)
	}
	if a, wrong := standing(t, dir); a == nil {
		t.Errorf("the whole plan is no longer approved: %v", wrong)
	}
}

func restore(t *rapid.T, dir string, whole map[string][]byte) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if _, ok := whole[e.Name()]; !ok {
			os.Remove(filepath.Join(dir, e.Name()))
		}
	}
	for name, data := range whole {
		save(t, filepath.Join(dir, name), data)
	}
}

// A changed byte of the approval itself is found, wherever it is; so is an approval that
// is of the right plan and of another way.
func TestChangedApprovalIsFound(t *testing.T) {
	dir, a := approved(t)
	path := filepath.Join(dir, write.ApprovalName)
	whole := files(t, dir)[write.ApprovalName]
	for at := range whole {
		data := bytes.Clone(whole)
		data[at] ^= 1
		save(t, path, data)
		if got, wrong := standing(t, dir); got != nil || len(wrong) != 1 {
			t.Fatalf("byte %d: got %+v, %v", at, got, wrong)
		}
	}
	a.Way = rx.Loads
	other, err := write.EncodeApproval(a)
	if err != nil {
		t.Fatal(err)
	}
	save(t, path, other)
	if got, wrong := standing(t, dir); got != nil || len(wrong) != 1 {
		t.Errorf("of another way: got %+v, %v", got, wrong)
	}
}

// A plan that is replaced takes its approval along; a file of that name that is none
// stays, and so does the plan.
func TestReplacingDropsTheApproval(t *testing.T) {
	dir, old := approved(t)
	job := planned(t, invent.FourZones(), rx.Loads)
	job.Force = true
	m, err := write.Plan(dir, job)
	if err != nil {
		t.Fatal(err)
	}
	if m.Dropped == nil || *m.Dropped != old {
		t.Errorf("dropped %+v, want %+v", m.Dropped, old)
	}
	if a, wrong := standing(t, dir); a != nil || len(wrong) > 0 {
		t.Errorf("got %+v, %v", a, wrong)
	}
	save(t, filepath.Join(dir, write.ApprovalName), []byte("my own notes"))
	if _, err := write.Plan(dir, job); err == nil || !strings.Contains(err.Error(), write.ApprovalName) {
		t.Errorf("a file that somebody made was dropped: %v", err)
	}
}

// Where the plan can't be read any more, nothing is approved, that is told, and nothing is left.
func TestNothingIsApprovedWithoutItsPlan(t *testing.T) {
	for name, damage := range map[string]func(dir string) error{
		"no manifest": func(dir string) error { return os.Remove(filepath.Join(dir, write.ManifestName)) },
		"half of one": func(dir string) error { return os.Truncate(filepath.Join(dir, write.ManifestName), 100) },
		"another plan": func(dir string) error {
			return os.WriteFile(filepath.Join(dir, write.ManifestName), []byte("{}"), 0o666)
		},
		"a folder":      func(dir string) error { return os.Mkdir(filepath.Join(dir, write.ApprovalName), 0o777) },
		"no plan there": os.RemoveAll,
	} {
		dir := written(t, planned(t, invent.FourZones(), rx.WetBoom))
		m, err := write.ReadManifest(dir)
		if err != nil {
			t.Fatal(err)
		}
		if err := damage(dir); err != nil {
			t.Fatal(err)
		}
		err = write.Approve(t.Context(), dir, rx.Approval{Plan: m.Self, Way: rx.WetBoom, By: "A. Nobody (invented)"})
		if err == nil || !strings.Contains(err.Error(), dir) {
			t.Errorf("%s: %v", name, err)
		}
		if info, err := os.Stat(filepath.Join(dir, write.ApprovalName)); err == nil && !info.IsDir() || len(leftovers(t, dir)) > 0 {
			t.Errorf("%s: something is left", name)
		}
	}
}
