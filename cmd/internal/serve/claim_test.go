package serve

import (
	"errors"
	"os"
	"testing"
	"time"
)

func TestSecondServeSaysWhereTheFirstIs(t *testing.T) {
	v := visit(t, nil)
	_, err := New(0, Options{Now: time.Now})
	var shown *Shown
	if !errors.As(err, &shown) || shown.Address != v.server.Address() {
		t.Fatalf("the second one says %v", err)
	}
	if info, err := os.Stat(ClaimName); err != nil || info.Mode().Perm()&0o077 != 0 {
		t.Errorf("others can read where it is: %v", info.Mode())
	}
}

// A run that was killed left its claim; what it says is old, or is no address of ours.
func TestStaleClaims(t *testing.T) {
	for _, text := range []string{"", "http://127.0.0.1:1/x/?key=y", "http://attacker.example/", "\x00", "file:///etc/passwd"} {
		t.Chdir(t.TempDir())
		os.WriteFile(ClaimName, []byte(text), 0o600)
		v := visitHere(t, Options{Now: time.Now})
		if now, _ := os.ReadFile(ClaimName); string(now) != v.server.Address() {
			t.Errorf("after %q the claim is %q", text, now)
		}
		v.server.end()
		v.end()
		if _, err := os.Stat(ClaimName); err == nil {
			t.Errorf("after the end the claim is still there")
		}
	}
}
