package serve

import (
	"errors"
	"io"
	"io/fs"
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"

	"rxsplit/cmd/internal/app"
)

// ClaimName is a file in the folder that says where it is shown, as long as it is. Only its
// owner can read it: it holds the key.
const ClaimName = ".rxsplit-serve"

// Shown is the error of a folder that another run of the program shows already.
type Shown struct{ Address string }

// Error says where it is shown.
func (e *Shown) Error() string { return "this folder is shown already: " + e.Address }

// claim says where the folder is shown. The error is a [*Shown] where another run does so;
// one that was killed is told by its not answering.
func (f *folder) claim(address string) error {
	for range 3 {
		if err := f.place(ClaimName, 0o600, strings.NewReader(address)); !errors.Is(err, fs.ErrExist) {
			return nil // or it can't be written to: then nobody writes over anything
		}
		other, err := f.claimed()
		switch {
		case errors.Is(err, fs.ErrPermission):
			return &app.Error{What: "another user of this machine shows this folder, or did and was stopped", Hint: "end it there; if nobody does, remove " + ClaimName + " from the folder"}
		case isShownAt(other):
			return &Shown{other}
		}
		f.root.Remove(ClaimName)
	}
	return nil
}

// claimed reads where the folder is said to be shown.
func (f *folder) claimed() (string, error) {
	file, err := f.open(ClaimName)
	if err != nil {
		return "", err
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, 300))
	return string(text), err
}

// isShownAt reports whether a program of ours answers at an address. One that listens there
// and is slow to answer is taken for ours: two that write must never be.
func isShownAt(address string) bool {
	at, err := url.Parse(address)
	if err != nil || at.Scheme != "http" || at.Hostname() != "127.0.0.1" {
		return false
	}
	client := &http.Client{
		Timeout: 2 * time.Second, Transport: &http.Transport{DisableKeepAlives: true},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
	r, err := client.Get(address)
	if err != nil {
		var late net.Error
		return errors.As(err, &late) && late.Timeout()
	}
	r.Body.Close()
	return strings.HasPrefix(r.Header.Get("Set-Cookie"), cookieName+"=")
}

// leave takes the claim back.
func (f *folder) leave(address string) {
	if other, err := f.claimed(); err == nil && other == address {
		f.root.Remove(ClaimName)
	}
}
