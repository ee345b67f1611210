package app

import (
	"context"
	"errors"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync/atomic"
	"syscall"
	"testing"

	"rxsplit/label"
)

// deadly is a context that counts how often the work asks for it, and kills its process at one
// of these times. The files of a plan are asked for with each block, on another core while this one counts.
type deadly struct {
	context.Context
	at    int64 // 0 for never
	asked atomic.Int64
}

func (d *deadly) count() {
	if d.asked.Add(1) == d.at {
		syscall.Kill(os.Getpid(), syscall.SIGKILL)
		select {} // until it is dead
	}
}

func (d *deadly) Err() error { d.count(); return d.Context.Err() }

// replaceDay replaces a day by one that costs something else, and returns how often it asked.
func replaceDay(folder, out, change string, at int64) (int64, error) {
	q, err := Resolve(Values{"label": {filepath.Join(filepath.Dir(out), "label.yaml")}, "rate-field": {"RATE"}, "rate-unit": {"lb/ac"}})
	if err != nil {
		return 0, err
	}
	ctx := &deadly{Context: context.Background(), at: at}
	r := Run{Progress: func(Step) { ctx.count() }}
	files, err := ListDay([]string{folder})
	if err != nil {
		return 0, err
	}
	d, err := r.Day(ctx, files, q, DayAsked{Change: change})
	if err == nil {
		err = r.WriteDay(ctx, out, d, isDay(out))
	}
	return ctx.asked.Load(), err
}

// Killed at any moment of its work, a run leaves the old day or the new one, whole; what it staged
// is swept by the next. RXSPLIT_KILLS sets how many times.
func TestDayKilledAtAnyMoment(t *testing.T) {
	if at, err := strconv.ParseInt(os.Getenv("RXSPLIT_DIES_AT"), 10, 64); err == nil { // the process that is killed
		replaceDay(os.Getenv("RXSPLIT_DAY_OF"), os.Getenv("RXSPLIT_DAY"), os.Getenv("RXSPLIT_CHANGE"), at)
		os.Exit(3)
	}
	kills := 4
	if n, err := strconv.Atoi(os.Getenv("RXSPLIT_KILLS")); err == nil {
		kills = n
	}
	dir, r := t.TempDir(), rand.New(rand.NewPCG(8, 1))
	folder, out := dayFolder(t, r, 4), filepath.Join(dir, "day")
	os.WriteFile(filepath.Join(dir, "label.yaml"), label.DemoYAML(), 0o666)
	if _, err := replaceDay(folder, out, "1 $", 0); err != nil {
		t.Fatal(err)
	}
	moments, err := replaceDay(folder, out, "1 $", 0)
	if err != nil || moments < 20 {
		t.Fatal(moments, err)
	}
	same, finished := dayIn(out).Self, 0
	for i := range kills {
		at := 1 + r.Int64N(moments)
		cmd := exec.Command(os.Args[0], "-test.run=^TestDayKilledAtAnyMoment$")
		cmd.Env = append(os.Environ(), "RXSPLIT_DIES_AT="+strconv.FormatInt(at, 10), "RXSPLIT_DAY="+out, "RXSPLIT_DAY_OF="+folder, "RXSPLIT_CHANGE="+strconv.Itoa(2+i)+" $")
		var exit *exec.ExitError
		switch err := cmd.Run(); {
		case !errors.As(err, &exit):
			t.Fatal(err)
		case exit.Sys().(syscall.WaitStatus).Signal() != syscall.SIGKILL:
			finished++ // it was asked less often
		}
		if err := verifyDay(out); err != nil {
			t.Fatalf("killed at %d of %d: %v", at, moments, err)
		}
		if now := dayIn(out).Self; now != same {
			t.Logf("killed at %d of %d, the new day stood there already", at, moments)
			same = now
		}
	}
	if t.Logf("%d of %d runs had finished, of some %d moments; every day was whole", finished, kills, moments); finished == kills {
		t.Error("no run was killed in its work")
	}
	if _, err := replaceDay(folder, out, "1 $", 0); err != nil {
		t.Fatal(err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".*.rxsplit-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}
