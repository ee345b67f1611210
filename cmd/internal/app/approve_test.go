package app_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/write"
)

// morning is when the tests approve.
var morning = time.Date(2026, 5, 1, 7, 30, 0, 0, time.UTC)

// aPlan writes the demo's plan of a way; empty where the way is not possible.
func aPlan(t *testing.T, way string) (dir string) {
	t.Helper()
	field, q := demo(t, app.Values{"way": {way}})
	dir = filepath.Join(t.TempDir(), "plan")
	if _, _, err := (app.Run{}).Split(t.Context(), field, q, app.Target{Dir: dir}); err != nil {
		t.Logf("%s: %v", way, err)
		return ""
	}
	return dir
}

// The same approval at the same time makes the same bytes; it is of the manifest's digest,
// and of the way that the plan takes.
func TestApprovalIsOfThePlan(t *testing.T) {
	dir := aPlan(t, "loads")
	said := rx.Approval{By: "A. Nobody (invented)", Note: "seen", At: morning}
	got, _, err := (app.Run{}).Approve(t.Context(), dir, app.InputsAt{}, said)
	if err != nil {
		t.Fatal(err)
	}
	m, err := (app.Run{}).Verify(t.Context(), dir, app.InputsAt{})
	if err != nil {
		t.Fatal(err)
	}
	said.Plan, said.Way = m.Self, rx.Loads
	if *got != said || m.Approval == nil || *m.Approval != said {
		t.Errorf("got %+v and %+v, want %+v", got, m.Approval, said)
	}
	text, err := os.ReadFile(filepath.Join(dir, write.ApprovalName))
	if err != nil {
		t.Fatal(err)
	}
	if again, err := write.EncodeApproval(said); err != nil || !bytes.Equal(text, again) || !bytes.Contains(text, []byte(`"at": "2026-05-01T07:30:00Z"`)) {
		t.Errorf("got %s, %v", text, err)
	}
	if _, _, err := (app.Run{}).Approve(t.Context(), dir, app.InputsAt{}, rx.Approval{By: "B", At: morning}); err == nil {
		t.Error("was approved twice")
	}
}

// The release card of each way is one page, marks the way of the plan among all ways, and
// prints the cost that the plan's summary has.
func TestReleaseSheetIsOnePage(t *testing.T) {
	const most = 66 // lines of 1/6 in on Letter; A4 has more
	tried := 0
	for _, way := range equip.Ways() {
		dir := aPlan(t, string(way.Name))
		if dir == "" {
			continue
		}
		tried++
		_, s, err := (app.Run{}).Approve(t.Context(), dir, app.InputsAt{}, rx.Approval{By: "A", License: "00", Note: "seen", At: morning})
		if err != nil {
			t.Fatal(err)
		}
		var page strings.Builder
		if err := text.Sheets(&page, []rx.Sheet{s}); err != nil {
			t.Fatal(err)
		}
		if lines := strings.Count(page.String(), "\n"); lines > most || strings.Contains(page.String(), "\f") {
			t.Errorf("%s: %d lines", way.Name, lines)
		}
		marked := 0
		for _, section := range s.Sections {
			for _, table := range section.Tables {
				if len(table.Rows) != len(equip.Ways()) {
					t.Errorf("%s: %d ways", way.Name, len(table.Rows))
				}
				for _, row := range table.Rows {
					if row[0] == way.Name.Words()+" *" {
						marked++
						if !strings.Contains(page.String(), "$"+row[6]+" ($") {
							t.Errorf("%s: the decision doesn't cost $%s", way.Name, row[6])
						}
					}
				}
			}
		}
		if marked != 1 {
			t.Errorf("%s: marked %d times", way.Name, marked)
		}
	}
	if tried < 4 {
		t.Errorf("%d ways were tried", tried)
	}
}

// What is changed is not approved, and an approval that is canceled leaves nothing behind.
func TestNothingIsApprovedByHalves(t *testing.T) {
	dir := aPlan(t, "wet-boom")
	said := rx.Approval{By: "A", At: morning}
	stages := []string{"files", "source", "read", "zones", "check", "layers", "approve"}
	for _, stage := range stages {
		ctx, cancel := context.WithCancel(t.Context())
		run := app.Run{Progress: func(s app.Step) {
			if s.Stage == stage {
				cancel()
			}
		}}
		if _, _, err := run.Approve(ctx, dir, app.InputsAt{}, said); !errors.Is(err, context.Canceled) {
			t.Fatalf("canceled at %s: %v", stage, err)
		}
		cancel()
		untouched(t, dir)
	}
	for look := range 2 { // of the step, and of what writes
		ctx := &once{Context: t.Context()}
		run := app.Run{Progress: func(s app.Step) {
			if s.Stage == "approve" {
				ctx.looks.Store(int64(look + 1))
			}
		}}
		if _, _, err := run.Approve(ctx, dir, app.InputsAt{}, said); !errors.Is(err, context.Canceled) {
			t.Fatalf("canceled for look %d of approving: %v", look+1, err)
		}
		untouched(t, dir)
	}
	table := filepath.Join(dir, "zones.csv")
	whole, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(table, append(whole, '\n'), 0o666); err != nil {
		t.Fatal(err)
	}
	var wrong *write.VerifyError
	if _, _, err := (app.Run{}).Approve(t.Context(), dir, app.InputsAt{}, said); !errors.As(err, &wrong) {
		t.Errorf("a changed plan: %v", err)
	}
	untouched(t, dir)
}

func untouched(t *testing.T, dir string) {
	t.Helper()
	if _, err := os.Stat(filepath.Join(dir, write.ApprovalName)); err == nil {
		t.Fatal("there is an approval")
	}
	if beside, err := os.ReadDir(filepath.Dir(dir)); err != nil || len(beside) != 1 {
		t.Fatalf("beside the plan: %v, %v", beside, err)
	}
}
