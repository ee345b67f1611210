package serve

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync/atomic"
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

// Nobody is asked but who listens at the address that this program gives itself: what stands in a
// folder may name anybody.
func TestClaimsOfOthersAreNotAsked(t *testing.T) {
	asked := atomic.Int32{}
	other := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		asked.Add(1)
		http.SetCookie(w, &http.Cookie{Name: cookieName, Value: "x"})
	}))
	defer other.Close()
	if !isShownAt(other.URL) || asked.Load() != 1 {
		t.Fatalf("at %s somebody is shown: asked %d times", other.URL, asked.Load())
	}
	for _, address := range []string{strings.Replace(other.URL, "127.0.0.1", "localhost", 1), strings.Replace(other.URL, "http:", "ftp:", 1)} {
		if isShownAt(address) || asked.Load() != 1 {
			t.Errorf("%s was asked", address)
		}
	}
}
